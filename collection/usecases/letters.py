"""Sending one letter by mail, outside any transaction; a failure is an answer, not an error."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from typing import Any

from django.conf import settings
from django.core.mail import EmailMessage
from django.template import Context
from django.template.loader import get_template

STAYS_HERE = tuple(f"django.core.mail.backends.{name}" for name in ("filebased", "console", "dummy"))
log = logging.getLogger("teire.mail")


def send_letter(*, kind: str, to: str, values: Mapping[str, Any]) -> bool:
    """Send ``templates/mail/KIND.txt``, whose first line is the subject; False when it could not be sent.

    The mail server has ``EMAIL_TIMEOUT`` seconds to answer.
    """
    subject, text = written(kind, values)
    try:
        EmailMessage(subject, text, to=[to]).send()
    except OSError:  # what smtplib raises, and what a socket raises
        log.warning("a letter could not be sent", exc_info=True)
        return False
    return True


def mail_leaves() -> bool:
    """Whether mail goes to anybody: not while each letter becomes a file of this house, or is only shown."""
    return not settings.EMAIL_BACKEND.startswith(STAYS_HERE)


def written(kind: str, values: Mapping[str, Any]) -> tuple[str, str]:
    """Subject and text of a letter; nothing is escaped, for mail is plain text."""
    template: Any = get_template(f"mail/{kind}.txt")
    said = template.template.render(Context(dict(values), autoescape=False)).strip()
    subject, _, text = said.partition("\n")
    return " ".join(subject.split()), f"{text.strip()}\n"
