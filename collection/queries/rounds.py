"""Rounds as people walk them: what is due on which bench, and the trees of one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Count

from collection.models import Job, Round, RoundTree
from collection.queries.access import Actor
from collection.queries.errors import not_found
from collection.queries.labels import task_name
from collection.queries.numbers import job_number
from collection.queries.opened import Opened
from collection.queries.trees import title_of

# Rounds that come up this soon are listed too.
AHEAD = timedelta(days=14)
DONE_SHOWN = 10


@dataclass(frozen=True, slots=True)
class RoundRow:
    """A round in a list."""

    id: int
    task: str
    title: str
    bench: str
    on: date
    closes: date
    trees: int
    number: Opened | None
    ended_on: date | None


@dataclass(frozen=True, slots=True)
class Rounds:
    """Rounds that are due by bench, those of the next fortnight, and those done lately."""

    due: tuple[RoundRow, ...]
    ahead: tuple[RoundRow, ...]
    done: tuple[RoundRow, ...]


@dataclass(frozen=True, slots=True)
class RoundSheet:
    """One round with its trees: (id, number, what it is called, left out)."""

    row: RoundRow
    open: bool
    minutes: int
    trees: tuple[tuple[int, str, str, bool], ...]


def round_for(actor: Actor, round_id: int) -> Round:
    """A round of the actor's club.

    Raises:
        Refused: ``not_found``.
    """
    row = Round.objects.filter(club_id=actor.club_id, pk=round_id).select_related("bench").first()
    if row is None:
        raise not_found()
    return row


def rounds_of(actor: Actor, *, today: date) -> Rounds:
    """The club's rounds: due ones first by bench, a constant number of queries."""
    jobs = Job.objects.filter(club_id=actor.club_id, round__isnull=False)
    jobs = jobs.select_related("round__bench", "estimate").annotate(size=Count("round__lines"))
    open_ones = jobs.filter(state=Job.State.OPEN, size__gt=0)
    due = open_ones.filter(opens__lte=today).order_by("round__bench__name", "opens", "id")
    ahead = open_ones.filter(opens__gt=today, opens__lte=today + AHEAD).order_by("opens", "id")
    done = jobs.filter(state=Job.State.DONE).order_by("-ended_on", "-id")[:DONE_SHOWN]
    return Rounds(tuple(map(_row, due)), tuple(map(_row, ahead)), tuple(map(_row, done)))


def _row(job: Job) -> RoundRow:
    row = job.round
    assert row is not None
    size = getattr(job, "size", None)
    return RoundRow(
        row.pk,
        job.task,
        task_name(job.task),
        row.bench.name if row.bench else "",
        job.opens,
        job.closes,
        row.lines.count() if size is None else size,
        job_number(job),
        job.ended_on,
    )


def round_sheet(actor: Actor, round_id: int) -> RoundSheet:
    """One round with its trees.

    Raises:
        Refused: ``not_found``.
    """
    row = round_for(actor, round_id)
    job = Job.objects.filter(round=row).select_related("round__bench", "estimate").order_by("-id").first()
    if job is None:
        raise not_found()
    lines = RoundTree.objects.filter(round=row).select_related("tree").order_by("tree__accession")
    return RoundSheet(
        _row(job),
        job.state == Job.State.OPEN,
        max(5, 5 * round(job.estimate.mean_min / 5)) if job.estimate else 0,
        tuple((line.tree_id, line.tree.accession, title_of(line.tree), line.left_out) for line in lines),
    )
