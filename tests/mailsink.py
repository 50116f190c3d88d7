"""A real mail server on this machine for tests: it keeps what it takes and misbehaves as it is told."""

from __future__ import annotations

import asyncio
import socket
from dataclasses import dataclass, field
from email import message_from_bytes
from email.message import Message
from typing import Any

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP


@dataclass
class Sink:
    """What came in, and how to answer: ``say`` is what the server says to the address or the whole mail."""

    mails: list[Message] = field(default_factory=list)
    say: dict[str, str] = field(default_factory=dict)
    drop_after_data: bool = False
    drop_at_start: bool = False
    most_on_one_line: int = 0
    pause_s: float = 0.0
    lines: int = 0

    async def handle_EHLO(
        self, server: SMTP, session: Any, envelope: Any, hostname: str, responses: list[str]
    ) -> list[str]:
        self.lines += 1
        session.host_name = hostname
        session.taken = 0
        return responses

    async def handle_MAIL(
        self, server: SMTP, session: Any, envelope: Any, address: str, options: list[str]
    ) -> str:
        if self.drop_at_start or (self.most_on_one_line and session.taken >= self.most_on_one_line):
            server.transport.close()
            return "421 closing"
        envelope.mail_from = address
        return "250 OK"

    async def handle_RCPT(
        self, server: SMTP, session: Any, envelope: Any, address: str, options: list[str]
    ) -> str:
        said = self.say.get(address) or self.say.get("*", "250 OK")
        if said.startswith("250"):
            envelope.rcpt_tos.append(address)
        return said

    async def handle_DATA(self, server: SMTP, session: Any, envelope: Any) -> str:
        said = self.say.get("data", "250 OK")
        if self.pause_s:
            await asyncio.sleep(self.pause_s)
        if said.startswith("250"):
            self.mails.append(message_from_bytes(envelope.content))
            session.taken += 1
        if self.drop_after_data:
            server.transport.close()
        return said

    def ids(self) -> list[str]:
        """Message-IDs in the order they came."""
        return [mail["Message-ID"] for mail in self.mails]


class Server:
    """A sink on a free port; use as a context."""

    def __init__(self) -> None:
        self.sink = Sink()
        self.port = free_port()
        self._controller = Controller(self.sink, hostname="127.0.0.1", port=self.port)

    @property
    def url(self) -> str:
        return f"smtp://127.0.0.1:{self.port}"

    def __enter__(self) -> Server:
        self._controller.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._controller.stop()


def free_port() -> int:
    """A port that nobody listens on just now."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return int(taken.getsockname()[1])
