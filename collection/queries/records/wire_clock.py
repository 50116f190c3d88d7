"""The wire clock of each species group, and of one wire."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from collection.queries.access import Actor
from collection.queries.gear import look_sum
from collection.queries.wire_clock import FEWEST_MARKS, club_clocks


@dataclass(frozen=True, slots=True)
class ClockRecord:
    """A group's clock fitted to the club's looks, in growing weeks.

    ``factor`` is against the table; 8 times in 10 it lies between ``factor_low`` and ``factor_high``. It
    moves look dates where ``used``: once enough wires were seen to mark.
    """

    group: str
    bites_from_weeks: float
    bites_to_weeks: float
    factor: float
    factor_low: float
    factor_high: float
    wires: int
    marked: int
    used: bool


@dataclass(frozen=True, slots=True)
class ClocksRecord:
    """The clock of every group whose wire the club has looked at."""

    clocks: tuple[ClockRecord, ...]


@dataclass(frozen=True, slots=True)
class WireClockRecord:
    """After how many growing weeks a wire is first looked at, and the parts that are multiplied."""

    wire_id: int
    weeks: float
    parts: tuple[str, ...]
    factors: tuple[float, ...]


def clock_records(actor: Actor) -> ClocksRecord:
    """Every group's clock."""
    return ClocksRecord(
        tuple(
            ClockRecord(
                one.group,
                one.bites_from_weeks,
                one.bites_to_weeks,
                one.factor,
                one.factor_low,
                one.factor_high,
                one.seen,
                one.marked,
                one.marked >= FEWEST_MARKS,
            )
            for _, one in club_clocks(actor)
        )
    )


def wire_clock_record(actor: Actor, wire_id: int, *, today: date) -> WireClockRecord:
    """One wire's clock, while it is on.

    Raises:
        Refused: ``not_found``.
    """
    found = look_sum(actor, wire_id, today=today)
    return WireClockRecord(
        wire_id,
        found.value,
        tuple(line.label for line in found.lines),
        tuple(line.value for line in found.lines),
    )
