"""Recording many trees at once gives what recording them one by one gives, in a few statements."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection.models import Change, Job, Member, Round, RoundTree, Sitting, Tree
from collection.usecases import rounds
from collection.usecases.estimates import refresh_jobs
from collection.usecases.sittings import TaskDone, Worked, record
from tests.factories import BenchFactory, MemberFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db
BEGAN = datetime(2027, 3, 3, 9, tzinfo=UTC)
MINUTES = {"Ana": 90.0, "Ben": 45.0}
TASKS = (
    TaskDone("REPOT"),
    TaskDone("DECANDLE"),
    TaskDone("TRIM", amount=12, unit="shoots", finished=False),
)


class Bench:
    """A bench of pines with jobs on each, and a round of turning along it; every bench made is the same."""

    def __init__(self, size: int) -> None:
        self.bench = BenchFactory(name="Long shelf")
        self.club = self.bench.club
        self.people: dict[str, Member] = {n: MemberFactory(club=self.club, name=n) for n in MINUTES}
        self.trees: list[Tree] = [
            TreeFactory(
                site=self.bench.site, bench=self.bench, accession=f"2020.{n:03d}", two_flush_pine=True
            )
            for n in range(size)
        ]
        for tree in self.trees:
            for task, number, year in (
                ("REPOT", 1, 2027),
                ("DECANDLE", 1, 2026),
                ("DECANDLE", 2, 2026),
                ("TRIM", 1, 2027),
            ):
                self.job(task, tree=tree, target=f"tree:{tree.pk}", occurrence=number, season_year=year)
        self.round = Round.objects.create(
            club=self.club, bench=self.bench, bench_key=f"bench:{self.bench.pk}", task="TURN",
            on=date(2027, 3, 1), season_year=2027,
        )  # fmt: skip
        RoundTree.objects.bulk_create(
            RoundTree(club=self.club, round=self.round, tree=tree) for tree in self.trees
        )
        self.turning = self.job("TURN", round=self.round, target=f"round:{self.round.pk}", season_year=2027)
        refresh_jobs([*Job.objects.filter(club=self.club).values_list("pk", flat=True)])

    def job(self, task: str, **more: Any) -> Job:
        days = {"opens": date(2027, 3, 1), "closes": date(2027, 3, 14)}
        return Job.objects.create(club=self.club, task=task, origin="programme", **days, **more)

    def record(self, trees: list[Tree], tasks: tuple[TaskDone, ...], part: float, key: str) -> list[int]:
        return record(
            actor=actor_of(self.people["Ana"]),
            trees=[tree.pk for tree in trees],
            tasks=tasks,
            people=[Worked(self.people[name].pk, m * part) for name, m in MINUTES.items()],
            started=BEGAN,
            ended=BEGAN + timedelta(minutes=90),
            request_key=key,
            by_estimate=True,
        )

    def tick(self, left_out: list[int]) -> list[int]:
        return rounds.tick(
            actor=actor_of(self.people["Ana"]),
            round_id=self.round.pk,
            people=[Worked(self.people[name].pk, m) for name, m in MINUTES.items()],
            started=BEGAN,
            ended=BEGAN + timedelta(minutes=90),
            request_key="round",
            left_out=left_out,
        )

    def everything(self) -> dict[str, list[Any]]:
        """What stands in the tables of this club, with numbers of trees in the place of ids."""
        numbers = {tree.pk: tree.accession for tree in self.trees}
        sittings = Sitting.objects.filter(club=self.club).prefetch_related("people__member", "tasks__job")
        jobs = Job.objects.filter(club=self.club)
        names = {("sitting", s.pk): numbers[s.tree_id] for s in sittings}
        names |= {("job", j.pk): (numbers.get(j.tree_id or 0, ""), j.task, j.occurrence) for j in jobs}
        trail = Change.objects.filter(club=self.club, table__in=["sitting", "job"])
        return {
            "sittings": sorted(
                (
                    numbers[s.tree_id], s.started, s.ended, s.left_open, s.note, s.shared,
                    round(s.estimated_min or 0, 6), s.recorded_by.name,
                    sorted((p.member.name, round(p.minutes, 6), p.role) for p in s.people.all()),
                    sorted((t.task, t.amount, t.unit, t.finished, t.job and names["job", t.job.pk])
                           for t in s.tasks.all()),
                )
                for s in sittings
            ),
            "jobs": sorted(
                (*names["job", j.pk], j.origin, j.season_year, j.opens, j.closes, j.state, j.ended_on or 0,
                 j.edited, j.version, j.stress)
                for j in jobs
            ),
            "trail": sorted(
                str((line.table, names[line.table, line.row], sorted(line.before.items()),
                     sorted((n, v if n != "tree" else numbers[v]) for n, v in line.after.items())))
                for line in trail
            ),
        }  # fmt: skip


def test_several_trees_at_once_are_as_each_by_itself():
    once, single = Bench(4), Bench(4)
    once.record(once.trees, TASKS, 1.0, "all")
    for number, tree in enumerate(single.trees):
        single.record([tree], TASKS, 1 / 4, f"one-{number}")
    assert once.everything() == single.everything()
    found = once.everything()
    assert len(found["sittings"]) == 4
    looks = [job for job in found["jobs"] if job[1] == "LOOK_OVER"]
    assert len(looks) == 4 * 3
    assert {job[7] for job in found["jobs"] if job[1] == "TRIM"} == {"open"}
    assert {job[5] for job in found["jobs"] if job[1:3] == ("DECANDLE", 2)} == {date(2027, 3, 13)}


def test_a_round_is_as_each_of_its_trees_by_itself():
    once, single = Bench(5), Bench(5)
    left = once.trees[2].pk
    once.tick([left])
    named = (TaskDone("TURN", job_id=single.turning.pk),)
    for number, tree in enumerate(t for n, t in enumerate(single.trees) if n != 2):
        single.record([tree], named, 1 / 4, f"one-{number}")
    assert once.everything() == single.everything()
    assert {job[7] for job in once.everything()["jobs"] if job[1] == "TURN"} == {"done"}


def test_recording_again_adds_no_second_look_over():
    bench = Bench(2)
    bench.record(bench.trees[:1], TASKS, 1.0, "first")
    bench.record(bench.trees, TASKS, 1.0, "second")
    looks = Job.objects.filter(task="LOOK_OVER")
    assert looks.count() == 2 * 3
    assert Change.objects.filter(table="job", row__in=looks.values("pk")).count() == 2 * 3


@pytest.mark.parametrize("work", ["record", "tick"])
def test_sixty_trees_take_no_more_statements_than_two(work: str):
    counts = []
    for size in (2, 60):
        bench = Bench(size)
        with CaptureQueriesContext(connection) as queries:
            if work == "record":
                bench.record(bench.trees, TASKS, 1.0, "all")
            else:
                bench.tick([])
        counts.append(len(queries))
    # Rows are written in portions: a statement holds so many values and no more.
    assert counts[1] < counts[0] + 10
    assert counts[1] < 30
