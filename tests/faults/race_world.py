"""What two people run for: plans that need the same people, the last place of a day, one version of a row."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, time

from collection import models
from collection.queries.access import Actor
from collection.usecases import places
from collection.usecases.plans import person_key
from collection.usecases.sittings import TaskDone, Worked, record
from tests.factories import (
    AccountFactory,
    JobFactory,
    MemberFactory,
    PlanFactory,
    SiteFactory,
    TreeFactory,
    WorkdayFactory,
)
from tests.usecases.bend_world import TODAY, trio

NOON = datetime(2027, 3, 6, 11, tzinfo=UTC)


def ready_plan(site: models.Site, people: Sequence[models.Member]) -> models.Plan:
    """A day with a plan that is ready: everybody on one job of his own, at the same time."""
    day = WorkdayFactory(site=site, opens=time(9), closes=time(15))
    plan = PlanFactory(workday=day, state="ready", ready_at=NOON)
    for person in people:
        models.Assignment.objects.create(
            club=site.club, plan=plan, job=JobFactory(tree=TreeFactory(site=site)), member=person,
            person_key=person_key(person), role="lead", starts=NOON, ends=NOON.replace(hour=12), done_min=60,
        )  # fmt: skip
    return plan


def two_clubs_one_team(people: int) -> None:
    """People who are members of two clubs, each of which has a plan for them at the same time.

    The second plan names them in the other order, so that whoever locks them one by one may meet head-on.
    """
    accounts = [AccountFactory() for _ in range(people)]
    for order in (1, -1):
        site = SiteFactory()
        members = [MemberFactory(club=site.club, account=account) for account in accounts]
        MemberFactory(club=site.club, coordinator=True)
        ready_plan(site, members[::order])


def one_club_two_days(people: int) -> None:
    """Two grounds of one club, each with a plan for the same people, who have no sign-in, at one time."""
    site = SiteFactory()
    members = [MemberFactory(club=site.club, account=None) for _ in range(people)]
    for order in (1, -1):
        MemberFactory(club=site.club, coordinator=True)
        ready_plan(SiteFactory(club=site.club), members[::order])


def one_seat_left() -> None:
    """A day that takes one more person, and two who would come."""
    day = WorkdayFactory(most_people=1, least_people=1)
    for _ in range(2):
        MemberFactory(club=day.club)


def one_tree() -> None:
    """A tree, and two coordinators who have read it."""
    tree = TreeFactory(mass_kg=20.0)
    for _ in range(2):
        MemberFactory(club=tree.club, coordinator=True)


def one_day() -> None:
    """A day with a plan that is ready for three people who said yes, the last of whom may leave."""
    site = SiteFactory()
    MemberFactory(club=site.club, coordinator=True)
    plan = ready_plan(site, people := [MemberFactory(club=site.club) for _ in range(3)])
    for person in people:
        models.Offer.objects.create(club=site.club, workday=plan.workday, member=person, answer="yes")


def one_asked() -> None:
    """A heavy bend on a day, and somebody who is asked to help."""
    made = trio()
    places.ask(actor=made.planner, bend_id=made.bend.pk, member_id=made.people["Dilip"].pk, today=TODAY)


def two_admins() -> None:
    """A club with two admins and a coordinator."""
    planner = MemberFactory(coordinator=True)
    for _ in range(2):
        MemberFactory(club=planner.club, role="admin")


def two_jobs() -> None:
    """A tree with two jobs, and a coordinator."""
    tree = TreeFactory()
    MemberFactory(club=tree.club, coordinator=True)
    for task in ("WIRE_DETAIL", "REPOT"):
        JobFactory(tree=tree, task=task)


def sitting_on(tree: models.Tree, actor: Actor, order: int) -> None:
    """Write down that both jobs of a tree are done, in one order or the other."""
    tasks = [TaskDone(task) for task in ("WIRE_DETAIL", "REPOT")][::order]
    record(
        actor=actor, trees=[tree.pk], tasks=tasks, people=[Worked(actor.member_id or 0, 60.0)], started=NOON,
        ended=NOON.replace(hour=12), request_key=f"{tree.pk} {order}",
    )  # fmt: skip
