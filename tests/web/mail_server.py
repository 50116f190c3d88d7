"""A real mail server for tests: it listens on this machine and keeps what it is sent."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from email import message_from_bytes, policy
from email.message import EmailMessage
from typing import Any

from aiosmtpd.controller import Controller


class Keeper:
    """Takes every mail, or refuses every one."""

    def __init__(self, *, refuses: bool = False) -> None:
        self.refuses = refuses
        self.mails: list[EmailMessage] = []

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:
        if self.refuses:
            return "451 try again later"
        self.mails.append(message_from_bytes(envelope.content, policy=policy.default))
        return "250 kept"


@contextmanager
def mail_server(settings: Any, *, refuses: bool = False) -> Iterator[Keeper]:
    """Send all mail through a server of our own while the block runs."""
    keeper = Keeper(refuses=refuses)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    controller = Controller(keeper, hostname="127.0.0.1", port=port)
    controller.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", port
    try:
        yield keeper
    finally:
        controller.stop()
