"""The line to the mail server: one connection used for many mails, and what came of each.

A mail is sent to one person. What the server says decides: taken, not now, never, or unsure, when it had
the whole mail and broke off before it said yes. A line that takes too long is cut.
"""

from __future__ import annotations

import os
import re
import secrets
import smtplib
import socket
import threading
from contextlib import suppress
from datetime import datetime, timedelta
from enum import StrEnum
from functools import partial
from pathlib import Path
from types import TracebackType
from typing import Any, NamedTuple

from django.conf import settings
from django.core.mail import EmailMessage, get_connection
from django.core.mail.backends.smtp import EmailBackend as Server
from django.utils import timezone

# How long a mail written into the folder is kept (assumption).
KEPT = timedelta(days=90)
STAMP = "%Y%m%d-%H%M%S"
OURS = re.compile(r"\d{8}-\d{6}-[0-9a-f]{8}\.eml")
# No mail holds its process longer than this, however slowly a server answers.
LONGEST_S = 15.0
# What servers say of an address that they do not have (RFC 5321).
NO_SUCH_ADDRESS = frozenset({550, 551, 553})


class Came(StrEnum):
    """What came of a mail."""

    SENT = "sent"
    LATER = "later"  # the server asks to try again later
    NEVER = "never"  # the server will not take it
    ADDRESS = "address"  # the server says that there is no such address
    UNSURE = "unsure"  # the server had all of it and broke off
    NO_SERVER = "no_server"  # no server answers, or it lets nobody in


class Result(NamedTuple):
    """What came of a mail, and the number the server gave, 0 where it gave none."""

    came: Came
    code: int = 0


class _Unsure(Exception):
    """The line broke after the whole mail was given."""


class _Watch:
    """Cuts a line that takes too long: a server may send a byte a second for ever."""

    def __init__(self) -> None:
        self.line: Any = None
        self._timer: threading.Timer | None = None

    def __enter__(self) -> None:
        self._timer = threading.Timer(LONGEST_S, self._cut)
        self._timer.daemon = True
        self._timer.start()

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._timer is not None:
            self._timer.cancel()

    def _cut(self) -> None:
        found = getattr(self.line, "sock", None)
        if found is not None:
            with suppress(OSError):
                found.shutdown(socket.SHUT_RDWR)


class _Watched:
    """What both kinds of line have more than the library's own."""

    def __init__(self, watch: _Watch, *args: Any, **options: Any) -> None:
        watch.line = self
        super().__init__(*args, **options)

    def data(self, msg: Any) -> tuple[int, bytes]:
        try:
            return super().data(msg)  # type: ignore[misc,no-any-return]
        except (smtplib.SMTPServerDisconnected, OSError) as broken:
            # An answer of the server that refuses the mail is another kind of error and goes on.
            if isinstance(broken, smtplib.SMTPResponseException):
                raise
            raise _Unsure from broken


class _Plain(_Watched, smtplib.SMTP):
    pass


class _Secret(_Watched, smtplib.SMTP_SSL):
    pass


class _Server(Server):
    """Django's own way to a server, over a line that is watched."""

    def __init__(self, watch: _Watch) -> None:
        super().__init__(fail_silently=False)
        self.watch = watch

    @property
    def connection_class(self) -> Any:
        return partial(_Secret if self.use_ssl else _Plain, self.watch)


class Post:
    """Sends mails one by one; use as a context, so that the line is closed at the end."""

    def __init__(self) -> None:
        self._watch = _Watch()
        self._server: _Server | None = None

    def __enter__(self) -> Post:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._close()

    def send(self, mail: EmailMessage, *, to_files: bool = False) -> Result:
        """Send one mail; ``to_files`` writes it into the mail folder whatever server is set.

        A line that served before and is gone is opened again once: servers end a long line.
        """
        used = self._server is not None
        result = self._try(mail, to_files=to_files)
        if used and result == Result(Came.NO_SERVER):
            result = self._try(mail, to_files=to_files)
        return result

    def _try(self, mail: EmailMessage, *, to_files: bool) -> Result:
        try:
            with self._watch:
                self._give(mail, to_files=to_files)
        except _Unsure:
            result = Result(Came.UNSURE)
        except (smtplib.SMTPConnectError, smtplib.SMTPHeloError, smtplib.SMTPAuthenticationError) as error:
            result = Result(Came.NO_SERVER, error.smtp_code)
        except smtplib.SMTPRecipientsRefused as error:
            result = _refused_address(*next(iter(error.recipients.values())))
        except smtplib.SMTPResponseException as error:
            result = _refused(error.smtp_code)
        except (smtplib.SMTPException, OSError):
            result = Result(Came.NO_SERVER)
        else:
            return Result(Came.SENT)
        self._close()
        return result

    def _give(self, mail: EmailMessage, *, to_files: bool) -> None:
        if to_files or settings.EMAIL_BACKEND.endswith("filebased.EmailBackend"):
            _keep(mail)
            return
        if not settings.EMAIL_BACKEND.endswith("smtp.EmailBackend"):
            get_connection().send_messages([mail])
            return
        if self._server is None:
            server = _Server(self._watch)
            server.open()
            self._server = server
        self._server.send_messages([mail])

    def _close(self) -> None:
        server, self._server = self._server, None
        if server is not None:
            with suppress(smtplib.SMTPException, OSError), self._watch:
                server.close()


def _keep(mail: EmailMessage) -> None:
    """Write the mail into a file of its own, which any mail program opens."""
    folder = Path(settings.MAIL_DIR)
    folder.mkdir(parents=True, exist_ok=True)
    name = f"{timezone.now():{STAMP}}-{secrets.token_hex(4)}.eml"
    (folder / name).write_bytes(mail.message().as_bytes())


def _refused_address(code: int, said: bytes) -> Result:
    """A refusal of the receiver; "5.7" says that the server minds the sender, whoever the receiver is."""
    if code in NO_SUCH_ADDRESS and not said.startswith(b"5.7"):
        return Result(Came.ADDRESS, code)
    return _refused(code)


def tidy_folder(now: datetime) -> int:
    """Delete mails of the folder that were kept long enough, and no other file; returns how many."""
    folder, first = Path(settings.MAIL_DIR), f"{now - KEPT:{STAMP}}"
    names = os.listdir(folder) if folder.is_dir() else []
    old = [name for name in names if OURS.fullmatch(name) and name < first]
    for name in old:
        # Another sweep may be at it too.
        (folder / name).unlink(missing_ok=True)
    return len(old)


def _refused(code: int) -> Result:
    return Result(Came.NEVER if code >= 500 else Came.LATER, code)
