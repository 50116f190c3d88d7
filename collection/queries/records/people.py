"""Members, what they can do, how they are reached, and the hours they usually give."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from django.db.models import Q

from collection.models import Declaration, Habit, Member, MemberSkill
from collection.queries.access import Actor, habit_for, member_for, must_be_or_plan
from collection.queries.errors import not_found
from collection.queries.reach import reach_of
from collection.queries.records.base import record, records
from collection.queries.slices import Slice, Wanted

Kind = Literal["can_lift", "power_tools", "sprays", "first_aid", "wants_bends"]


@dataclass(frozen=True, slots=True)
class MemberRecord:
    """A person of the club."""

    id: int
    version: int
    name: str
    role: Literal["member", "bench_lead", "coordinator", "admin"]
    active_from: date
    active_to: date | None


@dataclass(frozen=True, slots=True)
class ContactRecord:
    """How a person is reached; ``version`` 0 where nothing is written yet.

    ``letters_come_back`` is true from when the mail server refuses the address until the address is changed.
    """

    version: int
    member_id: int
    email: str
    telephone: str
    wants_mail: bool
    letters_come_back: bool


@dataclass(frozen=True, slots=True)
class SkillRecord:
    """How well a member does a family of tasks, from a day on."""

    id: int
    member_id: int
    family: str
    level: Literal["novice", "learning", "practised", "expert"]
    since: date
    by_id: int | None


@dataclass(frozen=True, slots=True)
class DeclarationRecord:
    """A plain yes or no that a member gave about himself."""

    id: int
    member_id: int
    kind: Kind
    answer: bool
    given_on: date
    until: date | None


@dataclass(frozen=True, slots=True)
class HabitRecord:
    """Hours a member gives most weeks; weekday 0 is Monday."""

    id: int
    version: int
    member_id: int
    weekday: int
    every_weeks: int
    minutes: int
    starts: date
    ends: date | None


def member_records(actor: Actor, wanted: Wanted, *, today: date, left: bool = False) -> Slice[MemberRecord]:
    """Members by name: those of today, or those who have left."""
    rows = Member.objects.filter(club_id=actor.club_id)
    gone = Q(active_to__lt=today)
    return records(MemberRecord, rows.filter(gone) if left else rows.exclude(gone), ("name", "id"), wanted)


def member_record(actor: Actor, member_id: int) -> MemberRecord:
    """One member.

    Raises:
        Refused: ``not_found``.
    """
    return record(MemberRecord, member_for(actor, member_id))


def contact_record(actor: Actor, member_id: int) -> ContactRecord:
    """How a person is reached: for himself and coordinators.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_be_or_plan(actor, member_id)
    member = member_for(actor, member_id)
    reach = reach_of(member.pk)
    return ContactRecord(
        reach.version, member.pk, reach.email, reach.telephone, member.wants_mail, reach.comes_back
    )


def skill_records(actor: Actor, member_id: int, wanted: Wanted) -> Slice[SkillRecord]:
    """What was said of how well a member does each kind of work, newest first."""
    rows = MemberSkill.objects.filter(member=member_for(actor, member_id))
    return records(SkillRecord, rows, ("-since", "-id"), wanted)


def declaration_records(actor: Actor, member_id: int, wanted: Wanted) -> Slice[DeclarationRecord]:
    """What a member declared, newest first: for himself and coordinators.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_be_or_plan(actor, member_id)
    rows = Declaration.objects.filter(member=member_for(actor, member_id))
    return records(DeclarationRecord, rows, ("-given_on", "-id"), wanted)


def declaration_record(actor: Actor, member_id: int, kind: str) -> DeclarationRecord:
    """The newest answer of a member to one question.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_be_or_plan(actor, member_id)
    rows = Declaration.objects.filter(member=member_for(actor, member_id), kind=kind)
    row = rows.order_by("-given_on", "-id").first()
    if row is None:
        raise not_found()
    return record(DeclarationRecord, row)


def habit_records(actor: Actor, member_id: int, wanted: Wanted) -> Slice[HabitRecord]:
    """Hours a member usually gives: for himself and coordinators.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_be_or_plan(actor, member_id)
    return records(HabitRecord, Habit.objects.filter(member=member_for(actor, member_id)), ("id",), wanted)


def habit_record(actor: Actor, habit_id: int) -> HabitRecord:
    """Hours of one weekday.

    Raises:
        Refused: ``not_found``, also for those of somebody else.
    """
    return record(HabitRecord, habit_for(actor, habit_id))
