"""Jobs due on trees, and rounds over benches."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from django.db.models import QuerySet

from collection.models import Job, Round
from collection.queries.access import Actor, job_for
from collection.queries.errors import not_found
from collection.queries.records.base import record, records
from collection.queries.slices import Slice, Wanted

JobState = Literal["open", "done", "missed", "withdrawn", "not_this_year"]


@dataclass(frozen=True, slots=True)
class JobRecord:
    """A task due on a tree, or a round; minutes are of labour, all people together."""

    id: int
    version: int
    task: str
    tree_id: int | None
    round_id: int | None
    bend_id: int | None
    origin: str
    season_year: int
    occurrence: int
    opens: date
    closes: date
    moved_opens: date | None
    moved_closes: date | None
    stress: int
    priority: int
    crew: int
    state: JobState
    ended_on: date | None
    reason: str
    likely_min: float | None
    cautious_min: float | None
    held_min: float | None
    trust: Literal["guess", "estimate", "measured"] | None


@dataclass(frozen=True, slots=True)
class RoundTreeRecord:
    """A tree on a round."""

    tree_id: int
    left_out: bool


@dataclass(frozen=True, slots=True)
class RoundRecord:
    """One repeating task over the trees of a bench on a date."""

    id: int
    version: int
    task: str
    bench_id: int | None
    on: date
    season_year: int
    job_id: int | None
    state: JobState | None
    trees: tuple[RoundTreeRecord, ...]


@dataclass(frozen=True, slots=True)
class JobsAsked:
    """Which jobs: a state, a task, a tree, and a window that overlaps some days."""

    state: str = ""
    task: str = ""
    tree: int | None = None
    opens_by: date | None = None
    closes_from: date | None = None


def job_records(actor: Actor, wanted: Wanted, asked: JobsAsked) -> Slice[JobRecord]:
    """Jobs by the day on which their window closes."""
    rows = _in_window(Job.objects.filter(club_id=actor.club_id), asked).select_related("estimate")
    if asked.state:
        rows = rows.filter(state=asked.state)
    if asked.tree is not None:
        rows = rows.filter(tree_id=asked.tree)
    return records(JobRecord, rows, ("closes", "id"), wanted, _minutes)


def _in_window(rows: QuerySet[Job], asked: JobsAsked) -> QuerySet[Job]:
    if asked.task:
        rows = rows.filter(task=asked.task)
    if asked.opens_by is not None:
        rows = rows.filter(opens__lte=asked.opens_by)
    if asked.closes_from is not None:
        rows = rows.filter(closes__gte=asked.closes_from)
    return rows


def job_record(actor: Actor, job_id: int) -> JobRecord:
    """One job.

    Raises:
        Refused: ``not_found``.
    """
    job = job_for(actor, job_id)
    return record(JobRecord, job, **_minutes(job))


def _minutes(job: Job) -> dict[str, Any]:
    found = job.estimate
    return {
        "likely_min": found.mean_min if found else None,
        "cautious_min": found.cautious_min if found else None,
        "held_min": found.held_min if found else None,
        "trust": found.trust if found else None,
    }


def round_records(actor: Actor, wanted: Wanted, asked: JobsAsked) -> Slice[RoundRecord]:
    """Rounds by their day."""
    rows = Round.objects.filter(club_id=actor.club_id)
    if asked.task:
        rows = rows.filter(task=asked.task)
    if asked.opens_by is not None:
        rows = rows.filter(on__lte=asked.opens_by)
    if asked.closes_from is not None:
        rows = rows.filter(on__gte=asked.closes_from)
    if asked.state:
        rows = rows.filter(jobs__state=asked.state)
    rows = rows.prefetch_related("lines", "jobs")
    return records(RoundRecord, rows, ("on", "id"), wanted, _round)


def round_record(actor: Actor, round_id: int) -> RoundRecord:
    """One round.

    Raises:
        Refused: ``not_found``.
    """
    row = Round.objects.filter(club_id=actor.club_id, pk=round_id).first()
    if row is None:
        raise not_found()
    return record(RoundRecord, row, **_round(row))


def _round(row: Round) -> dict[str, Any]:
    job = next(iter(row.jobs.all()), None)
    lines = sorted(row.lines.all(), key=lambda line: line.tree_id)
    return {
        "job_id": job.pk if job else None,
        "state": job.state if job else None,
        "trees": tuple(RoundTreeRecord(line.tree_id, line.left_out) for line in lines),
    }
