"""A sign-in and the clubs it opens."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from collection.models import Account, Member
from collection.queries.access import Actor
from collection.queries.errors import not_found


@dataclass(frozen=True, slots=True)
class ClubChoice:
    """A club somebody is a member of now."""

    id: int
    name: str
    current: bool


@dataclass(frozen=True, slots=True)
class SignIn:
    """What a person's own page says of his sign-in."""

    email: str
    theme: str
    clubs: tuple[ClubChoice, ...]


def account_by_id(account_id: int) -> Account:
    """The account, to sign it in."""
    return Account.objects.get(pk=account_id)


def sign_in_of(actor: Actor, account: Account, *, today: date) -> SignIn:
    """The sign-in with the clubs it opens today, by name."""
    rows = Member.objects.filter(account=account, active_from__lte=today).select_related("club")
    rows = rows.filter(Q(active_to=None) | Q(active_to__gte=today)).order_by("club__name", "id")
    clubs = tuple(ClubChoice(row.club_id, row.club.name, row.club_id == actor.club_id) for row in rows)
    return SignIn(account.email, account.theme, clubs)


def club_to_enter(actor: Actor, account: Account, club_id: int, *, today: date) -> ClubChoice:
    """The club somebody wants to go to, when it is one of his.

    Raises:
        Refused: ``not_found``.
    """
    for club in sign_in_of(actor, account, today=today).clubs:
        if club.id == club_id:
            return club
    raise not_found()
