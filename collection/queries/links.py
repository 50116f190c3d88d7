"""Signed links for one act: a ticket for one row and one person, good until the fact is over.

A ticket opens nothing else. Each purpose has a salt of its own, so that a link made for one act is no
link for another; a key used before still opens what was signed with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal, get_args

from django.core.signing import BadSignature, TimestampSigner

Purpose = Literal["day", "place", "wire", "guy", "stop"]
PURPOSES: tuple[str, ...] = get_args(Purpose)


@dataclass(frozen=True, slots=True)
class Ticket:
    """One act of one person on one row; ``version`` is that of the row when the mail was written."""

    purpose: str
    row: int
    member_id: int
    version: int
    until: datetime


def token_of(ticket: Ticket) -> str:
    """The ticket as one piece of an address.

    Raises:
        KeyError: If the purpose is not known.
    """
    if ticket.purpose not in PURPOSES:
        raise KeyError(ticket.purpose)
    parts = [ticket.row, ticket.member_id, ticket.version, int(ticket.until.timestamp())]
    return f"{ticket.purpose}-{_signer(ticket.purpose).sign_object(parts)}"


def ticket_in(token: str, now: datetime) -> Ticket | None:
    """The ticket of a token; None for one that is wrong, for another purpose, or too old."""
    purpose, _, signed = token.partition("-")
    if purpose not in PURPOSES:
        return None
    try:
        row, member_id, version, until = _signer(purpose).unsign_object(signed)
        ticket = Ticket(purpose, row, member_id, version, datetime.fromtimestamp(until, UTC))
    except (BadSignature, ValueError, TypeError, OverflowError, OSError):
        return None
    return ticket if ticket.until > now else None


def _signer(purpose: str) -> TimestampSigner:
    # A dot ends no address in a mail program; a colon may.
    return TimestampSigner(salt=f"teire.link.{purpose}", sep=".")
