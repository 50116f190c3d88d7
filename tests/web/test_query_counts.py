"""A page costs the same number of queries whatever the number of rows behind it."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from collection import models
from collection.queries.access import Actor
from collection.queries.clubs import holdings
from collection.queries.day_problem import day_problem
from collection.queries.season import season_of
from collection.usecases import bends, branches, counts, plans, season, sittings, trees, workdays
from collection.usecases.sittings import TaskDone, Worked
from tests.factories import BenchFactory, MemberFactory, SiteFactory, actor_of

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 3)
GROUPS = ["G01", "G03", "G07", "G08"]


class House:
    """A club that can grow by more of the same."""

    def __init__(self) -> None:
        self.site = SiteFactory()
        self.bench = BenchFactory(site=self.site)
        self.member = MemberFactory(club=self.site.club, coordinator=True)
        self.actor: Actor = actor_of(self.member)
        self.day = workdays.create_workday(
            actor=self.actor,
            site_id=self.site.pk,
            on=date(2027, 3, 6),
            opens=time(9, 30),
            closes=time(13, 30),
        )
        self.trees: list[int] = []
        self.first = 0

    def grow(self, count: int) -> None:
        """More trees with everything on them, more people with answers, a new plan."""
        for n in range(count):
            tree = trees.add_tree(
                actor=self.actor,
                accession=f"2020.{len(self.trees):03d}",
                group=GROUPS[n % 4],
                stage="F",
                site_id=self.site.pk,
                bench_id=self.bench.pk,
                on=date(2020, 1, 1),
                height_mm=500.0,
                pot_litres=6.0,
            )
            self.trees.append(tree)
            self.furnish(tree, n)
            person = MemberFactory(club=self.site.club)
            workdays.offer_hours(actor=self.actor, workday_id=self.day, member_id=person.pk, answer="yes")
            models.Habit.objects.create(
                club=self.site.club, member=person, weekday=2, minutes=120, starts=date(2027, 1, 1)
            )
            models.MemberSkill.objects.create(
                club=self.site.club, member=person, family="trimming", level="expert", since=TODAY
            )
        season.regenerate(actor=self.actor, today=TODAY)

    def furnish(self, tree: int, n: int) -> None:
        counts.record_counts(actor=self.actor, tree_id=tree, on=TODAY, counts={"primary": 8, "fine": 40})
        branch = branches.add_branch(
            actor=self.actor, tree_id=tree, label="B1", diameter_mm=12.0, height_mm=200.0
        )
        trees.put_wire_on(
            actor=self.actor, tree_id=tree, label="W1", length_m=1.2, gauge_mm=2.0, metal="copper",
            on=date(2026, 11, 1), branch_id=branch,
        )  # fmt: skip
        models.Care.objects.create(
            club=self.site.club, tree_id=tree, member=self.member, role="owner", ask_first=True
        )
        began = datetime(2026, 10, 3, 9, tzinfo=UTC) + timedelta(days=n)
        sittings.record(
            actor=self.actor, trees=[tree], tasks=[TaskDone("TRIM")], people=[Worked(self.member.pk, 50)],
            started=began, ended=began + timedelta(hours=1), request_key=f"k{tree}", left_open=n % 2 == 0,
            note="Stopped at the top.",
        )  # fmt: skip
        bends.want_bend(
            actor=self.actor, tree_id=tree, diameter_mm=25.0, opens=date(2027, 3, 1), closes=date(2027, 4, 1)
        )

    def plan(self) -> None:
        plans.work_out(plans.request_plan(actor=self.actor, workday_id=self.day), effort=0.2)


@pytest.fixture
def house(time_machine: object) -> House:
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)  # type: ignore[attr-defined]
    house = House()
    house.grow(4)
    house.plan()
    return house


def cost(call) -> int:
    call()  # caches of the process are filled first
    with CaptureQueriesContext(connection) as taken:
        call()
    return len(taken)


def costs(house: House) -> dict[str, int]:
    browser = Client()
    browser.force_login(house.member.account)

    def page(address: str):
        def ask() -> None:
            assert browser.get(address).status_code == 200, address

        return ask

    plan = models.Plan.objects.select_related("workday").order_by("-number").first()
    week = "2027-03-01"
    job = models.Job.objects.filter(tree_id=house.trees[0], estimate__isnull=False).order_by("id").first()
    calls = {
        "season": page("/season"),
        "trees": page("/trees"),
        "trees to ask about": page("/trees?state=ask"),
        "trees resting, by window": page("/trees?state=resting&sort=window"),
        "tree": page(f"/trees/{house.trees[0]}"),
        "a tree's history": page(f"/trees/{house.trees[0]}/history"),
        "days": page("/days"),
        "day": page(f"/days/{house.day}"),
        "sitting": page(f"/sittings/new?tree={house.trees[0]}"),
        "number of a job": page(f"/numbers/job/{job.pk}"),
        "number of a week": page(f"/numbers/week-likely/{week}"),
        "the day's problem": lambda: day_problem(plan),
        "the season": lambda: season_of(house.actor, today=TODAY).load,
        "what the club holds": lambda: holdings(house.actor),
    }
    return {name: cost(call) for name, call in calls.items()}


def test_three_times_the_rows_cost_the_same_queries(house: House):
    few = costs(house)
    house.grow(8)
    house.plan()
    assert len(house.trees) == 12
    assert costs(house) == few
    assert max(few.values()) <= 40
