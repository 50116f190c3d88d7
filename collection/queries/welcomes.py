"""Letters of welcome as whoever holds one sees them, and as a coordinator does."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone

from collection.models import Account, Member, Welcome
from collection.queries.clock import local
from collection.queries.errors import Refused, not_found


@dataclass(frozen=True, slots=True)
class Letter:
    """An open letter, for whoever holds its secret.

    Attributes:
        known: Somebody signs in with the letter's e-mail already.
        in_club: The account that is signed in belongs to another person of this club.
    """

    club_id: int
    club_name: str
    name: str
    email: str
    last_day: date
    known: bool
    in_club: bool


def digest_of(secret: str) -> str:
    """What is kept of a letter's secret."""
    return hashlib.sha256(secret.encode()).hexdigest()


def letter_of(secret: str, *, account_id: int | None = None) -> Letter:
    """The open letter with this secret; reading it changes nothing.

    Raises:
        Refused: ``not_found``, ``letter_used``, ``letter_taken_back`` or ``letter_too_old``.
    """
    found = Welcome.objects.select_related("member", "club").filter(secret_digest=digest_of(secret)).first()
    now = timezone.now()
    if found is None or _closed(found, now):
        raise closed_reason(found, now)
    return Letter(
        found.club_id,
        found.club.name,
        found.member.name,
        found.email,
        local(found.good_until, found.club.zone).date(),
        known=Account.objects.filter(email=found.email).exists(),
        in_club=account_id is not None
        and Member.objects.filter(club_id=found.club_id, account_id=account_id).exists(),
    )


def closed_reason(letter: Welcome | None, now: datetime) -> Refused:
    """Why a letter cannot be used, without saying anything of accounts."""
    if letter is None:
        return not_found()
    return Refused(_closed(letter, now) or "letter_used", kind="conflict")


def _closed(letter: Welcome, now: datetime) -> str:
    if letter.used_at is not None:
        return "letter_used"
    if letter.taken_back_at is not None:
        return "letter_taken_back"
    if letter.good_until <= now:
        return "letter_too_old"
    return "letter_used" if letter.member.account_id is not None else ""
