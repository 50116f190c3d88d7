"""A kept letter as a mail: its links made, as plain text first and the same in simple HTML."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from email.utils import formataddr, parseaddr
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.mail import EmailMultiAlternatives
from django.core.validators import validate_email
from django.template import Context
from django.template.loader import get_template, render_to_string

from collection.models import Contact, Member, Message
from collection.queries.letter import Act, Letter, letter_from
from collection.queries.links import Ticket, token_of
from collection.queries.reach import COMES_BACK, comes_back

# A link that ends the mails works long after the mail it came with.
STOP_LASTS = timedelta(days=400)
# What the kept text shows in place of a link: nobody who reads it later can act with it.
CUT = "[link]"
Link = Callable[[str, int, int, datetime, str], str]


@dataclass(frozen=True, slots=True)
class _Answer:
    words: str
    url: str


def address_of(member: Member) -> tuple[str, str]:
    """The one address of a member, or the code of why no mail can reach him."""
    if not member.wants_mail:
        return "", "wants_no_mail"
    try:
        address = member.contact.email
    except Contact.DoesNotExist:
        address = ""
    address = address or (member.account.email if member.account else "")
    if not address:
        return "", "no_address"
    try:
        validate_email(address)
    except ValidationError:
        return "", "address_wrong"
    return ("", COMES_BACK) if comes_back(member.pk) else (address, "")


def mail_of(message: Message, address: str, now: datetime) -> EmailMultiAlternatives:
    """The mail of a message, with the Message-ID it was given when it was written.

    Raises:
        ValueError: If a header would hold a line break.
    """
    member, club = message.member, message.club

    def link(purpose: str, row: int, version: int, until: datetime, say: str) -> str:
        token = token_of(Ticket(purpose, row, member.pk, version, until))
        return f"{settings.SITE_URL}/a/{token}" + (f"?say={say}" if say else "")

    stop = link("stop", member.pk, 0, now + STOP_LASTS, "")
    values = _values(letter_from(message.body), link, club.name, stop)
    _name, sender = parseaddr(settings.DEFAULT_FROM_EMAIL)
    mail = EmailMultiAlternatives(
        subject=message.subject,
        body=_text(values),
        from_email=formataddr((" ".join(club.name.split()), sender)),
        to=[address],
        headers={
            "Message-ID": message.message_id,
            "Auto-Submitted": "auto-generated",
            "List-Unsubscribe": f"<{stop}>",
            "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
        },
    )
    mail.attach_alternative(render_to_string("mail/roundup.html", values), "text/html")
    return mail


def kept_text(letter: Letter, club_name: str) -> str:
    """The text of a letter as it goes out, without its links."""
    return _text(_values(letter, lambda *_: CUT, club_name, CUT))


def _values(letter: Letter, link: Link, club_name: str, stop: str) -> dict[str, Any]:
    def answer(act: Act) -> _Answer:
        url = link(act.purpose, act.row, act.version, datetime.fromisoformat(act.until), act.say)
        return _Answer(act.words, url)

    parts = [
        {
            "title": part.title,
            "lines": [
                {
                    "text": line.text,
                    "people": line.people,
                    "answers": [answer(act) for act in line.acts],
                    "below": line.below,
                }
                for line in part.lines
            ],
        }
        for part in letter.parts
    ]
    return {"letter": letter, "parts": parts, "club": club_name, "stop": stop}


def _text(values: dict[str, Any]) -> str:
    # Nothing is escaped: in plain text a name such as O'Hara stays as it is.
    template: Any = get_template("mail/roundup.txt")
    lines = template.template.render(Context(values, autoescape=False)).splitlines()
    text = "\n".join(line.rstrip() for line in lines).strip()
    return re.sub(r"\n{3,}", "\n\n", text) + "\n"
