"""What it touches when somebody leaves the club, said before it is done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Q, QuerySet

from collection.models import (
    Assignment,
    Bend,
    Care,
    Contact,
    Declaration,
    Habit,
    Invitation,
    Job,
    Member,
    Notice,
    Offer,
    Place,
    ProgramKey,
    SittingMember,
    Tree,
    Welcome,
    Workday,
)
from collection.queries.access import PLANNERS, Actor, member_for, must_administer, must_be_or_plan
from collection.queries.people import active
from collection.queries.trees import title_of

COMING = (Workday.State.DRAFT, Workday.State.OPEN, Workday.State.SENT)


@dataclass(frozen=True, slots=True)
class TreeToSettle:
    """A tree the person owns or cares for; ``shared`` with another owner it needs no answer."""

    tree_id: int
    accession: str
    title: str
    shared: bool = False


@dataclass(frozen=True, slots=True)
class DayTouched:
    """A coming day: what the person answered, leads, or was given to do."""

    day_id: int
    on: date
    site: str
    answer: str
    leads: bool
    first_aider: bool
    jobs: int
    places: int
    plan_made: bool


@dataclass(frozen=True, slots=True)
class Leaving:
    """Everything that leaving touches.

    Attributes:
        receivers: (id, name) of members a tree may go to.
        brings: Numbers of trees somebody else must bring from now on.
        bends: Numbers of trees with a bend that needs another lead.
        questions: Questions for a helper that were not answered yet.
        signs_in_elsewhere: The sign-in stays, for another club.
    """

    id: int
    version: int
    name: str
    is_me: bool
    has_left: bool
    role: str
    owned: tuple[TreeToSettle, ...]
    cared: tuple[TreeToSettle, ...]
    receivers: tuple[tuple[int, str], ...]
    brings: tuple[str, ...]
    days: tuple[DayTouched, ...]
    bends: tuple[str, ...]
    questions: int
    weekly: int
    unsent: int
    answers: int
    contact: bool
    letter: bool
    keys: int
    signs_in: bool
    signs_in_elsewhere: bool
    sittings: int

    @property
    def nothing_left(self) -> bool:
        """Somebody who has left already, with nothing more to settle."""
        rows = (self.owned, self.cared, self.brings, self.days, self.bends)
        counts = (self.questions, self.weekly, self.unsent, self.answers, self.keys)
        flags = (self.contact, self.letter, self.signs_in)
        return self.has_left and not (any(rows) or any(counts) or any(flags))


def leaving_of(actor: Actor, member_id: int, *, today: date) -> Leaving:
    """What it touches when a member leaves: for himself, or for a coordinator.

    Raises:
        Refused: ``coordinators_only``, ``club_admins_only`` for a coordinator or club admin, ``not_found``.
    """
    member = may_settle(actor, member_id)
    account = member.account_id
    others = Member.objects.filter(account_id=account).exclude(pk=member.pk) if account else None
    return Leaving(
        id=member.pk,
        version=member.version,
        name=member.name,
        is_me=member.pk == actor.member_id,
        has_left=member.active_to is not None and member.active_to < today,
        role=member.role,
        owned=_trees(member, "owner"),
        cared=_trees(member, "carer"),
        receivers=tuple((m.pk, m.name) for m in active(member.club_id, today) if m.pk != member.pk),
        brings=tuple(brought_by(member).values_list("accession", flat=True)),
        days=_days(member, today),
        bends=tuple(led_bends(member).values_list("tree__accession", flat=True)),
        questions=Invitation.objects.filter(
            member=member, answer="", place__workday__state__in=COMING
        ).count(),
        weekly=open_habits(member, today).count(),
        unsent=unsent_notices(member).count(),
        answers=Declaration.objects.filter(member=member).count(),
        contact=Contact.objects.filter(member=member).exclude(email="", telephone="").exists(),
        letter=Welcome.objects.filter(member=member, used_at=None, taken_back_at=None).exists(),
        keys=ProgramKey.objects.filter(member=member).count(),
        signs_in=account is not None,
        signs_in_elsewhere=others is not None and others.exists(),
        sittings=SittingMember.objects.filter(member=member, sitting__corrected_by=None).count(),
    )


def may_settle(actor: Actor, member_id: int) -> Member:
    """The member, for whoever may let him leave: he himself, a coordinator; for those who plan a club admin.

    Raises:
        Refused: ``coordinators_only``, ``club_admins_only`` or ``not_found``.
    """
    must_be_or_plan(actor, member_id)
    member = member_for(actor, member_id)
    if member.role in PLANNERS and member.pk != actor.member_id:
        must_administer(actor)
    return member


def care_rows(member: Member, role: str) -> QuerySet[Care]:
    """Trees in the collection that a member owns ("owner") or cares for ("carer")."""
    rows = Care.objects.filter(member=member, role=role, tree__archived_at=None)
    return rows.select_related("tree").order_by("tree__accession")


def other_owners(member: Member) -> frozenset[int]:
    """Of the trees a member owns, those that have another owner too."""
    mine = care_rows(member, "owner").values_list("tree_id", flat=True)
    others = Care.objects.filter(tree_id__in=mine, role="owner").exclude(member=member)
    return frozenset(others.values_list("tree_id", flat=True))


def brought_by(member: Member) -> QuerySet[Tree]:
    """Trees in the collection that a member brings to workdays."""
    return Tree.objects.filter(brought_by=member, archived_at=None).order_by("accession")


def led_bends(member: Member) -> QuerySet[Bend]:
    """Bends that are still to be done and that a member leads."""
    rows = Bend.objects.filter(lead=member, jobs__state=Job.State.OPEN).select_related("tree")
    return rows.distinct().order_by("tree__accession", "id")


def open_habits(member: Member, today: date) -> QuerySet[Habit]:
    """Weekly hours that go on today or later."""
    return Habit.objects.filter(member=member).filter(Q(ends=None) | Q(ends__gte=today)).order_by("id")


def unsent_notices(member: Member) -> QuerySet[Notice]:
    """What a member was to be told and was not told yet."""
    return Notice.objects.filter(member=member).filter(Q(message=None) | Q(message__sent_at=None))


def _trees(member: Member, role: str) -> tuple[TreeToSettle, ...]:
    shared = other_owners(member) if role == "owner" else frozenset()
    return tuple(
        TreeToSettle(row.tree_id, row.tree.accession, title_of(row.tree), row.tree_id in shared)
        for row in care_rows(member, role)
    )


def _days(member: Member, today: date) -> tuple[DayTouched, ...]:
    coming = Workday.objects.filter(club_id=member.club_id, date__gte=today, state__in=COMING)
    said = dict(Offer.objects.filter(member=member, workday__in=coming).values_list("workday_id", "answer"))
    jobs = _count(Assignment.objects.filter(member=member, confirmed=True), "plan__workday")
    places = _count(Place.objects.filter(winner=member), "workday")
    planned = set(coming.filter(plans__isnull=False).values_list("pk", flat=True))
    found = []
    for day in coming.select_related("site").order_by("date", "id"):
        answer = said.get(day.pk, "")
        leads, aids = day.lead_id == member.pk, day.first_aider_id == member.pk
        if answer in ("yes", "perhaps") or leads or aids or jobs.get(day.pk) or places.get(day.pk):
            found.append(
                DayTouched(
                    day.pk, day.date, day.site.name, answer, leads, aids,
                    jobs.get(day.pk, 0), places.get(day.pk, 0), day.pk in planned and answer == "yes",
                )
            )  # fmt: skip
    return tuple(found)


def _count(rows: QuerySet[Any], by: str) -> dict[int, int]:
    counts: dict[int, int] = {}
    for pk in rows.values_list(by, flat=True):
        counts[pk] = counts.get(pk, 0) + 1
    return counts
