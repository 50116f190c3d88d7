"""Turning the programme into jobs and rounds: any number of times, without doubles."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.db import transaction
from django.db.models import Q, QuerySet

from collection.craft.due import due
from collection.craft.due_types import Due, DueJob, DueRound
from collection.craft.reference import tasks as catalogue
from collection.models import Club, Job, Round, RoundTree, Tree
from collection.queries.access import Actor, club_of, must_plan
from collection.queries.programme import climate_of, programme_of
from collection.queries.season_inputs import tree_inputs
from collection.queries.what_moves import with_hands_in
from collection.usecases.edit import edit_many
from collection.usecases.estimates import refresh_jobs

# How far ahead jobs are made; the page draws a year.
HORIZON = timedelta(days=371)
# A window that closed this long ago without a sitting counts as missed (assumption).
MISSED_AFTER = timedelta(days=14)
# A job that a programme row made names the row as its origin.
PROGRAMME_ROW = re.compile(r"(G\d\d|ALL)-")

REOPENED: dict[str, Any] = {"state": Job.State.OPEN, "reason": "", "ended_on": None}


@dataclass(frozen=True, slots=True)
class Regenerated:
    """What working the season out again did."""

    jobs: int
    rounds: int
    moved: int
    kept: int
    withdrawn: int
    missed: int


def regenerate(*, actor: Actor, today: date, horizon: timedelta = HORIZON) -> Regenerated:
    """Work the season out from the programme and bring jobs and rounds in line with it.

    A job with a placement, a sitting or a human edit is never moved or withdrawn: its new window is
    kept beside the old one, and the page shows the choice. Whoever asked for it before is answered.

    Raises:
        Refused: ``coordinators_only``.
    """
    must_plan(actor)
    club = club_of(actor)
    found = due(
        tree_inputs(club.pk), programme_of(club.pk), climate_of(club), today=today, until=today + horizon
    )
    with transaction.atomic():
        rounds = _rounds(club.pk, found.rounds)
        jobs, moved, kept = _jobs(actor, found.jobs)
        withdrawn = _withdraw(actor, found, today, today + horizon)
        missed = _miss(actor, today)
        stale = Job.objects.filter(club_id=club.pk, state=Job.State.OPEN)
        # A season that was missed makes the next one slower, so those trees are worked out again.
        stale = stale.filter(Q(estimate=None) | Q(tree_id__in=missed))
        refresh_jobs([*stale.values_list("pk", flat=True)], today=today)
        answered(club.pk, club.season_asked_at)
    return Regenerated(jobs, rounds, moved, kept, withdrawn, len(missed))


def answered(club_id: int, asked: datetime | None) -> None:
    """A season asked for at a moment waits no longer, unless it was asked for again since."""
    Club.objects.filter(pk=club_id, season_asked_at=asked).update(season_asked_at=None)


def _jobs(actor: Actor, wanted: Sequence[DueJob], trees: Sequence[int] | None = None) -> tuple[int, int, int]:
    """Make the missing jobs and move the ones whose window changed; returns made, moved, kept.

    A job that was taken back and is asked for again is open again.
    """
    club_id, years = actor.club_id, {job.season_year for job in wanted}
    rows = Job.objects.filter(club_id=club_id, season_year__in=years, tree__isnull=False)
    if trees is not None:
        rows = rows.filter(tree_id__in=trees)
    have = {(job.tree_id, job.task, job.origin, job.season_year, job.occurrence): job for job in rows}
    fixed = with_hands_in([job.pk for job in have.values()])
    made, kept = [], []
    moved: list[tuple[Job, dict[str, Any]]] = []
    for job in wanted:
        old = have.get((job.tree, job.task, job.row_key, job.season_year, job.occurrence))
        if old is None:
            made.append(_new_job(club_id, job))
        elif old.state == Job.State.WITHDRAWN and not old.edited:
            moved.append((old, REOPENED | {"opens": job.opens, "closes": job.closes}))
        elif (old.opens, old.closes) == (job.opens, job.closes):
            if old.moved_opens is not None:
                old.moved_opens = old.moved_closes = None
                kept.append(old)
        elif old.state != Job.State.OPEN:
            continue
        elif old.pk in fixed:
            if (old.moved_opens, old.moved_closes) != (job.opens, job.closes) and not old.edited:
                old.moved_opens, old.moved_closes = job.opens, job.closes
                kept.append(old)
        else:
            moved.append((old, {"opens": job.opens, "closes": job.closes}))
    Job.objects.bulk_create(made, ignore_conflicts=True)
    edit_many(moved, actor)
    Job.objects.bulk_update(kept, ["moved_opens", "moved_closes"], batch_size=200)
    return len(made), len(moved), len(kept)


def _new_job(club_id: int, job: DueJob) -> Job:
    return Job(
        club_id=club_id,
        tree_id=job.tree,
        target=f"tree:{job.tree}",
        task=job.task,
        origin=job.row_key,
        season_year=job.season_year,
        occurrence=job.occurrence,
        opens=job.opens,
        closes=job.closes,
        stress=job.stress,
        crew=catalogue()[job.task].people,
    )


def _rounds(club_id: int, wanted: Sequence[DueRound]) -> int:
    """Make the missing rounds with their job, and bring the trees of the others up to date."""
    days = {item.on for item in wanted}
    rows = Round.objects.filter(club_id=club_id, on__in=days).prefetch_related("lines", "jobs")
    have = {(row.bench_key, row.task, row.on): row for row in rows}
    fresh = [item for item in wanted if (_bench_key(item), item.task, item.on) not in have]
    made = Round.objects.bulk_create(
        Round(
            club_id=club_id,
            bench_id=item.bench,
            bench_key=_bench_key(item),
            task=item.task,
            on=item.on,
            season_year=item.season_year,
        )
        for item in fresh
    )
    Job.objects.bulk_create(_round_job(row, item) for row, item in zip(made, fresh, strict=True))
    lines = [
        RoundTree(club_id=club_id, round=row, tree_id=tree)
        for row, item in zip(made, fresh, strict=True)
        for tree in item.trees
    ]
    for item in wanted:
        row = have.get((_bench_key(item), item.task, item.on))
        if row is None or any(job.state != Job.State.OPEN for job in row.jobs.all()):
            continue
        there = {line.tree_id: line.pk for line in row.lines.all()}
        lines += [
            RoundTree(club_id=club_id, round=row, tree_id=tree) for tree in item.trees if tree not in there
        ]
        gone = [pk for tree, pk in there.items() if tree not in item.trees]
        if gone or len(there) != len(item.trees):
            RoundTree.objects.filter(pk__in=gone).delete()
            Job.objects.filter(round=row).update(estimate=None)
    RoundTree.objects.bulk_create(lines)
    return len(made)


def _bench_key(item: DueRound) -> str:
    return f"bench:{item.bench}" if item.bench else ""


def _round_job(row: Round, item: DueRound) -> Job:
    return Job(
        club_id=row.club_id,
        round=row,
        target=f"round:{row.pk}",
        task=item.task,
        origin="programme",
        season_year=item.season_year,
        occurrence=item.occurrence,
        opens=item.on,
        closes=item.closes,
        stress=catalogue()[item.task].stress,
        crew=1,
    )


def bring_up_to_date(actor: Actor, tree: Tree, today: date, *, horizon: timedelta = HORIZON) -> None:
    """Bring the jobs of one tree in line with the programme, after something about it changed.

    To be called inside the transaction of the change; rounds wait for the season to be worked out again.
    """
    until = today + horizon
    inputs = tree_inputs(tree.club_id, [] if tree.archived_at else [tree])
    found = due(inputs, programme_of(tree.club_id), climate_of(tree.club), today=today, until=until)
    _jobs(actor, found.jobs, [tree.pk])
    back = _no_longer_asked(_open_ones(tree.club_id, today, until).filter(tree=tree), found.jobs)
    _take_back(actor, back, today)
    refresh_jobs([*Job.objects.filter(tree=tree, state=Job.State.OPEN).values_list("pk", flat=True)])


def _open_ones(club_id: int, today: date, until: date) -> QuerySet[Job]:
    return Job.objects.filter(
        club_id=club_id, state=Job.State.OPEN, edited=False, closes__gte=today, opens__lte=until
    )


def _no_longer_asked(rows: Iterable[Job], wanted: Sequence[DueJob]) -> list[Job]:
    asked = {(j.tree, j.task, j.row_key, j.season_year, j.occurrence) for j in wanted}
    jobs = [job for job in rows if PROGRAMME_ROW.match(job.origin)]
    fixed = with_hands_in([job.pk for job in jobs])
    return [
        job
        for job in jobs
        if job.pk not in fixed
        and (job.tree_id, job.task, job.origin, job.season_year, job.occurrence) not in asked
    ]


def _take_back(actor: Actor, jobs: Sequence[Job], today: date) -> int:
    reason = "The programme no longer asks for it."
    ended = {"state": Job.State.WITHDRAWN, "reason": reason, "ended_on": today}
    edit_many([(job, ended) for job in jobs], actor)
    return len(jobs)


def _withdraw(actor: Actor, found: Due, today: date, until: date) -> int:
    """Take back open jobs and rounds the programme no longer asks for; people's own stay."""
    open_ones = _open_ones(actor.club_id, today, until)
    back = _no_longer_asked(open_ones.filter(tree__isnull=False), found.jobs)
    rounds = {(_bench_key(item), item.task, item.on) for item in found.rounds}
    for job in open_ones.filter(round__on__gte=today).select_related("round"):
        if job.round and (job.round.bench_key, job.task, job.round.on) not in rounds:
            back.append(job)
    return _take_back(actor, back, today)


def _miss(actor: Actor, today: date) -> list[int]:
    """Windows that closed a fortnight ago without the work are written down as missed; their trees, or 0."""
    found = list(
        Job.objects.filter(club_id=actor.club_id, state=Job.State.OPEN, closes__lt=today - MISSED_AFTER)
    )
    ended = {"state": Job.State.MISSED, "reason": "The window closed.", "ended_on": today}
    edit_many([(job, ended) for job in found], actor)
    return [job.tree_id or 0 for job in found]
