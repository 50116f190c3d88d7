"""The shape of something that people are to be told, and who can be told at all."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Q

from collection.models import Care, Club, Member
from collection.queries.clock import local
from collection.queries.notice_kinds import NoticeKind

Key = tuple[str, int, str, str]


@dataclass(frozen=True, slots=True)
class Fact:
    """Something that holds now and that somebody is to be told; the key is that of its notice."""

    kind: NoticeKind
    member_id: int
    subject: str
    period: str
    due_at: datetime
    expires_at: datetime
    values: dict[str, Any]

    @property
    def key(self) -> Key:
        """Kind, member, subject and period: the same fact is told to the same person once."""
        return (self.kind.value, self.member_id, self.subject, self.period)


@dataclass(frozen=True, slots=True)
class Asking:
    """Whose facts are asked for: a club at an instant, and its members who may be told."""

    club: Club
    now: datetime
    today: date
    people: dict[int, Member]

    @property
    def planners(self) -> tuple[int, ...]:
        """Coordinators, or where there is none the club admins: they hear of what nobody keeps."""
        roles = {role: [m.pk for m in self.people.values() if m.role == role] for role in PLANNING_ROLES}
        return tuple(next((ids for ids in roles.values() if ids), []))


PLANNING_ROLES = (Member.Role.COORDINATOR, Member.Role.ADMIN)


def asking(club: Club, now: datetime) -> Asking:
    """The club's members of today who want mails."""
    today = local(now, club.zone).date()
    rows = Member.objects.filter(club=club, active_from__lte=today, wants_mail=True)
    rows = rows.filter(Q(active_to=None) | Q(active_to__gte=today)).order_by("id")
    return Asking(club, now, today, {member.pk: member for member in rows})


def keepers(asked: Asking, trees: Iterable[int]) -> dict[int, tuple[int, ...]]:
    """Who looks after each tree: those who carry it, or else its owners; a tree of nobody is left out."""
    found: dict[int, dict[str, list[int]]] = {}
    rows = Care.objects.filter(club=asked.club, tree_id__in=list(trees), member_id__in=asked.people)
    for tree, role, member in rows.order_by("id").values_list("tree_id", "role", "member_id"):
        found.setdefault(tree, {}).setdefault(role, []).append(member)
    return {tree: tuple(by.get("carer") or by.get("owner") or ()) for tree, by in found.items()}
