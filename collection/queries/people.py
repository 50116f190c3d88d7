"""People of a club as pages and plans need them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from collection.models import Account, Club, Declaration, Member, MemberSkill
from collection.queries.access import Actor
from collection.queries.errors import Refused

LEVELS = ("novice", "learning", "practised", "expert")


def active(club_id: int, on: date) -> list[Member]:
    """Members on a day, by name."""
    rows = Member.objects.filter(club_id=club_id, active_from__lte=on)
    return list(rows.filter(Q(active_to=None) | Q(active_to__gte=on)).order_by("name", "id"))


def other_admins(club_id: int, member_id: int, on: date) -> bool:
    """Whether somebody else can sign in as club admin, on this day and with no last day set."""
    rows = Member.objects.filter(
        club_id=club_id, role=Member.Role.ADMIN, active_from__lte=on, active_to=None, account__isnull=False
    )
    return rows.exclude(pk=member_id).exists()


def has_account(email: str) -> bool:
    """Whether somebody signs in with this e-mail already."""
    return Account.objects.filter(email=email.lower()).exists()


def names(actor: Actor, on: date) -> list[tuple[int, str]]:
    """(id, name) of members on a day, for a list to choose from."""
    return [(m.pk, m.name) for m in active(actor.club_id, on)]


def first_aid_names(actor: Actor, on: date) -> list[tuple[int, str]]:
    """(id, name) of members on a day, those who have said that they are first aiders first and marked."""
    everybody = names(actor, on)
    trained = declared([pk for pk, _ in everybody], "first_aid", on)
    marked = [(pk, f"{name}, first aider" if pk in trained else name) for pk, name in everybody]
    return sorted(marked, key=lambda person: person[0] not in trained)


def member_named(actor: Actor, name: str, on: date) -> int:
    """The member of that name on a day, whatever the case of its letters.

    Raises:
        Refused: ``no_such_person`` naming who there is, or ``two_of_that_name``.
    """
    everybody = names(actor, on)
    found = [pk for pk, known in everybody if known.casefold() == name.strip().casefold()]
    if len(found) > 1:
        raise Refused("two_of_that_name", kind="conflict", field="lead", name=name)
    if not found:
        known = ", ".join(person for _, person in everybody)
        raise Refused("no_such_person", kind="not_found", field="lead", name=name, known=known)
    return found[0]


def levels(member_ids: Iterable[int], on: date) -> dict[int, dict[str, str]]:
    """Each member's newest level in each family, as known on a day."""
    found: dict[int, dict[str, str]] = {member: {} for member in member_ids}
    rows = MemberSkill.objects.filter(member_id__in=found, since__lte=on).order_by("since", "id")
    for member, family, level in rows.values_list("member_id", "family", "level"):
        found[member][family] = level
    return found


def declared(member_ids: Iterable[int], kind: str, on: date) -> frozenset[int]:
    """Members whose newest answer on ``kind``, valid on the day, is yes."""
    newest: dict[int, bool] = {}
    rows = Declaration.objects.filter(member_id__in=list(member_ids), kind=kind, given_on__lte=on)
    rows = rows.filter(Q(until=None) | Q(until__gte=on)).order_by("given_on", "id")
    for member, answer in rows.values_list("member_id", "answer"):
        newest[member] = answer
    return frozenset(member for member, answer in newest.items() if answer)


def usual_level(known: dict[str, str]) -> str:
    """One level for a person's hours as a whole: the middle one of his families, lower of two."""
    ranks = sorted(LEVELS.index(level) for level in known.values())
    return LEVELS[ranks[(len(ranks) - 1) // 2]] if ranks else "novice"


@dataclass(frozen=True, slots=True)
class ClubFacts:
    """What every page knows of its club."""

    id: int
    name: str
    zone: str
    southern: bool
    inches: bool


def club_facts(club_id: int) -> ClubFacts:
    """Name, zone and half of the world of a club."""
    club = Club.objects.get(pk=club_id)
    return ClubFacts(club.pk, club.name, club.zone, club.latitude < 0, club.inches)
