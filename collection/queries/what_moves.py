"""What a change of frost, place or corrections would move, before it is kept."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Q

from collection.craft.season import Climate, ProgrammeRow, Window, window
from collection.models import Job, Tree
from collection.queries.access import Actor, club_of
from collection.queries.labels import group_name, task_name
from collection.queries.programme import climate_of, programme_of


@dataclass(frozen=True, slots=True)
class Moved:
    """One window of the programme, as it is and as it would be."""

    work: str
    was: Window
    becomes: Window


@dataclass(frozen=True, slots=True)
class Moves:
    """What would move.

    Attributes:
        windows: Windows of the programme, for the kinds of tree the club has, that get other dates.
        jobs: Open jobs that hang on them.
        kept: Of those, jobs with a plan, work begun or a change by hand: they stay until somebody chooses.
        rows: Every window that moves, by its new opening.
    """

    windows: int
    jobs: int
    kept: int
    rows: tuple[Moved, ...]


def what_moves(actor: Actor, today: date, changes: Mapping[str, Any]) -> Moves:
    """Compare the season of the club as it is with that of the club with ``changes``. Writes nothing.

    Args:
        actor: Whose club.
        today: The club's date; the season that is open or comes next is looked at.
        changes: New values of a club's columns; those that move no window are ignored.
    """
    club = club_of(actor)
    other = copy(club)
    for name, value in changes.items():
        setattr(other, name, value)
    before, after = climate_of(club), climate_of(other)
    if before == after:
        return Moves(0, 0, 0, ())
    groups = set(Tree.objects.filter(club=club, archived_at=None).values_list("group", flat=True))
    rows = [row for row in programme_of(club.pk) if row.task and (not row.group or row.group in groups)]
    moved = {row.key: found for row in rows if (found := _moved(row, before, after, today))}
    jobs = Job.objects.filter(
        club=club, state=Job.State.OPEN, tree__isnull=False, origin__in=moved, closes__gte=today
    )
    kept = with_hands_in(jobs.values_list("pk", flat=True)) if moved else set()
    ordered = sorted(moved.values(), key=lambda row: (row.becomes.opens, row.work))
    return Moves(len(moved), jobs.count() if moved else 0, len(kept), tuple(ordered))


def _moved(row: ProgrammeRow, before: Climate, after: Climate, today: date) -> Moved | None:
    year = next(
        (y for y in range(today.year - 2, today.year + 3) if window(row, before, y).closes >= today),
        today.year,
    )
    was, becomes = window(row, before, year), window(row, after, year)
    if was == becomes:
        return None
    work = f"{group_name(row.group)}: {task_name(row.task).lower()}" if row.group else task_name(row.task)
    return Moved(work, was, becomes)


def with_hands_in(ids: Any) -> set[int]:
    """Jobs that a person or a plan has a hand in: placed in a plan sent out, begun, or edited."""
    rows = Job.objects.filter(pk__in=ids).filter(
        Q(assignments__plan__sent_out=True) | Q(sitting_tasks__isnull=False) | Q(edited=True)
    )
    return set(rows.values_list("pk", flat=True))
