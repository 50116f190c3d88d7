"""Who asks, and the getters that check it: each returns the row or says "not found"."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from django.db import models

from collection.models import (
    Account,
    Branch,
    Care,
    Club,
    Habit,
    Job,
    Member,
    Plan,
    Sitting,
    Tree,
    Workday,
)
from collection.queries.clock import today_in
from collection.queries.errors import Refused, not_found

PLANNERS = frozenset({"coordinator", "admin"})
Row = TypeVar("Row", bound=models.Model)


@dataclass(frozen=True, slots=True)
class Actor:
    """A person acting in one club, by one door.

    ``settled`` names columns ("tree:12:mass_kg") where he was shown two answers and chose the one that is
    there: ``edit`` leaves them as they are.
    """

    club_id: int
    member_id: int | None
    role: str
    name: str
    door: str = "page"
    settled: frozenset[str] = frozenset()

    @property
    def plans(self) -> bool:
        """May plan days, edit the programme and see everybody's hours."""
        return self.role in PLANNERS

    @property
    def administers(self) -> bool:
        """May say who coordinates the club."""
        return self.role == "admin"


def actor_of(account: Account, *, club_id: int | None = None, door: str = "page") -> Actor:
    """The account's membership today by the club's own date, in the club asked for or in its first one.

    Raises:
        Refused: ``not_a_member`` when the account belongs to no club now.
    """
    members = Member.objects.filter(account=account).select_related("club")
    if club_id is not None:
        members = members.filter(club_id=club_id)
    member = next((m for m in members.order_by("id") if _is_member_on(m, today_in(m.club.zone))), None)
    if member is None:
        raise Refused("not_a_member", kind="forbidden")
    return Actor(member.club_id, member.pk, member.role, member.name, door)


def _is_member_on(member: Member, today: date) -> bool:
    return member.active_from <= today and (member.active_to is None or member.active_to >= today)


def house(club: Club, *, door: str = "command") -> Actor:
    """The club acting for itself: commands and workers."""
    return Actor(club.pk, None, "admin", "", door)


def must_plan(actor: Actor) -> None:
    """Refuse everybody but coordinators and club admins."""
    if not actor.plans:
        raise Refused("coordinators_only", kind="forbidden")


def must_administer(actor: Actor) -> None:
    """Refuse everybody but club admins."""
    if not actor.administers:
        raise Refused("club_admins_only", kind="forbidden")


def must_be_or_plan(actor: Actor, member_id: int) -> None:
    """Refuse everybody but the member himself, coordinators and club admins."""
    if actor.member_id != member_id:
        must_plan(actor)


def knows(actor: Actor, tree: Tree) -> bool:
    """Whether somebody may say what was done to a tree before: coordinators, its owner and its carers."""
    if actor.plans or actor.member_id is None:
        return actor.plans
    return Care.objects.filter(tree=tree, member_id=actor.member_id).exists()


def must_know(actor: Actor, tree: Tree) -> None:
    """Refuse everybody but coordinators and the people of the tree."""
    if not knows(actor, tree):
        raise Refused("carers_only", kind="forbidden")


def _own(actor: Actor, rows: models.QuerySet[Row], pk: int) -> Row:
    row = rows.filter(club_id=actor.club_id, pk=pk).first()
    if row is None:
        raise not_found()
    return row


def club_of(actor: Actor) -> Club:
    """The actor's club."""
    return Club.objects.get(pk=actor.club_id)


def tree_for(actor: Actor, tree_id: int) -> Tree:
    """A tree of the actor's club."""
    return _own(actor, Tree.objects.all(), tree_id)


def tree_by_accession(actor: Actor, accession: str) -> Tree:
    """A tree of the actor's club by the number on its tag."""
    tree = Tree.objects.filter(club_id=actor.club_id, accession=accession.strip()).first()
    if tree is None:
        raise not_found()
    return tree


def branch_for(actor: Actor, branch_id: int) -> Branch:
    """A branch of a tree of the actor's club."""
    return _own(actor, Branch.objects.select_related("tree"), branch_id)


def job_for(actor: Actor, job_id: int) -> Job:
    """A job of the actor's club."""
    return _own(actor, Job.objects.select_related("tree", "round", "estimate"), job_id)


def member_for(actor: Actor, member_id: int) -> Member:
    """A member of the actor's club."""
    return _own(actor, Member.objects.all(), member_id)


def habit_for(actor: Actor, habit_id: int) -> Habit:
    """Weekly hours of a member of the actor's club; a member sees only his own.

    Raises:
        Refused: ``not_found`` or ``coordinators_only``.
    """
    habit = _own(actor, Habit.objects.select_related("member"), habit_id)
    must_be_or_plan(actor, habit.member_id)
    return habit


def workday_for(actor: Actor, workday_id: int) -> Workday:
    """A workday of the actor's club; a draft is there for coordinators only."""
    day = _own(actor, Workday.objects.select_related("site", "lead", "first_aider", "club"), workday_id)
    if day.state == Workday.State.DRAFT and not actor.plans:
        raise not_found()
    return day


def plan_for(actor: Actor, plan_id: int) -> Plan:
    """A plan of the actor's club."""
    return _own(actor, Plan.objects.select_related("workday"), plan_id)


def sitting_for(actor: Actor, sitting_id: int) -> Sitting:
    """A sitting of the actor's club."""
    return _own(actor, Sitting.objects.all(), sitting_id)
