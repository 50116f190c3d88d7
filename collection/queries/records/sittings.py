"""The record of work."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from collection.models import Sitting
from collection.queries.access import Actor, sitting_for
from collection.queries.records.base import record, records
from collection.queries.slices import Slice, Wanted


@dataclass(frozen=True, slots=True)
class DoneRecord:
    """A task done in a sitting, with what was done of it."""

    task: str
    job_id: int | None
    amount: float | None
    unit: str
    finished: bool


@dataclass(frozen=True, slots=True)
class WorkedRecord:
    """A person in a sitting and his own minutes, breaks left out."""

    member_id: int
    minutes: float
    role: str


@dataclass(frozen=True, slots=True)
class SittingRecord:
    """One spell of work on a tree; ``corrected_by_id`` names the one that took its place."""

    id: int
    tree_id: int
    workday_id: int | None
    started: datetime
    ended: datetime
    left_open: bool
    note: str
    remembered: bool
    shared: bool
    estimated_min: float | None
    corrects_id: int | None
    corrected_by_id: int | None
    recorded_by_id: int | None
    recorded_at: datetime
    tasks: tuple[DoneRecord, ...]
    people: tuple[WorkedRecord, ...]


@dataclass(frozen=True, slots=True)
class Recorded:
    """What one recording wrote: a sitting for each tree."""

    sittings: tuple[SittingRecord, ...]


@dataclass(frozen=True, slots=True)
class SittingsAsked:
    """Which sittings: on a tree, of a person, of a workday, since a day."""

    tree: int | None = None
    member: int | None = None
    workday: int | None = None
    since: date | None = None


def sitting_records(actor: Actor, wanted: Wanted, asked: SittingsAsked) -> Slice[SittingRecord]:
    """Sittings, newest first."""
    rows = _rows(actor)
    if asked.tree is not None:
        rows = rows.filter(tree_id=asked.tree)
    if asked.member is not None:
        rows = rows.filter(people__member_id=asked.member)
    if asked.workday is not None:
        rows = rows.filter(workday_id=asked.workday)
    if asked.since is not None:
        rows = rows.filter(ended__date__gte=asked.since)
    return records(SittingRecord, rows, ("-ended", "-id"), wanted, _parts)


def sitting_record(actor: Actor, sitting_id: int) -> SittingRecord:
    """One sitting.

    Raises:
        Refused: ``not_found``.
    """
    row = _rows(actor).get(pk=sitting_for(actor, sitting_id).pk)
    return record(SittingRecord, row, **_parts(row))


def recorded(actor: Actor, sitting_ids: list[int]) -> Recorded:
    """The sittings of one recording, in their order."""
    rows = {row.pk: row for row in _rows(actor).filter(pk__in=sitting_ids)}
    return Recorded(tuple(record(SittingRecord, rows[pk], **_parts(rows[pk])) for pk in sitting_ids))


def _rows(actor: Actor) -> Any:
    rows = Sitting.objects.filter(club_id=actor.club_id).select_related("corrected_by")
    return rows.prefetch_related("tasks", "people")


def _parts(row: Sitting) -> dict[str, Any]:
    later = getattr(row, "corrected_by", None)
    return {
        "corrected_by_id": later.pk if later else None,
        "tasks": tuple(record(DoneRecord, task) for task in sorted(row.tasks.all(), key=lambda t: t.pk)),
        "people": tuple(record(WorkedRecord, one) for one in sorted(row.people.all(), key=lambda p: p.pk)),
    }
