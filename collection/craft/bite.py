"""When to look at a wire: a clock that counts growing weeks only.

Every figure is an assumption bracketed by published statements on how long wire stays on (see
``fixtures/reference/bite.csv``); the club's own looks must replace them.
"""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path

REFERENCE = Path(__file__).resolve().parents[2] / "fixtures" / "reference"

# Look when this part of the shortest time to bite has gone (assumption).
EARLY = 0.7
# A week counts whole in May to September, in part in April and October, not in winter (northern; assumption).
MONTH_WEIGHT = {4: 0.3, 5: 1.0, 6: 1.0, 7: 1.0, 8: 1.0, 9: 1.0, 10: 0.3}
# The apex swells first (assumption).
POSITION = {"apex": 0.6, "upper": 0.8, "middle": 1.0, "lower": 1.2, "inner": 1.4}
FIT = {("copper", "snug"): 0.9, ("aluminium", "loose"): 1.15}
STAGE = {"R": 0.8, "B": 0.9, "F": 1.0, "S": 1.1}
# No wire is left longer than this without a look, however slow the growth (common practice, no source).
LONGEST_DAYS = 365


@dataclass(frozen=True, slots=True)
class Bite:
    """One group's clock: growing weeks until wire bites, and the days between later looks."""

    group: str
    bites_from_weeks: float
    bites_to_weeks: float
    first_check_weeks: float
    repeat_days: int
    label: str
    source: str


@cache
def bites() -> dict[str, Bite]:
    """The clock of every group."""
    with (REFERENCE / "bite.csv").open(encoding="utf-8", newline="") as lines:
        return {
            row["group"]: Bite(
                row["group"],
                float(row["bites_from_weeks"]),
                float(row["bites_to_weeks"]),
                float(row["first_check_weeks"]),
                int(row["repeat_days"]),
                row["label"],
                row["source"],
            )
            for row in csv.DictReader(lines)
        }


def growing_weeks(start: date, end: date, *, southern: bool) -> float:
    """Growing weeks between two days; a southern garden grows half a year later."""
    days = (end - start).days
    total = 0.0
    for n in range(max(days, 0)):
        month = (start + timedelta(days=n)).month
        total += MONTH_WEIGHT.get((month + 5) % 12 + 1 if southern else month, 0.0)
    return total / 7


def wire_factors(position: str, metal: str, fit: str, stage: str) -> dict[str, float]:
    """By what a wire's clock differs from its group's: position, fit, stage; 1 where nothing is known."""
    return {
        "position": POSITION.get(position, 1.0),
        "fit": FIT.get((metal, fit), 1.0),
        "stage": STAGE.get(stage, 1.0),
    }


def look_date(
    group: str,
    on: date,
    *,
    southern: bool,
    position: str = "middle",
    metal: str = "copper",
    fit: str = "snug",
    stage: str = "F",
    factor: float = 1.0,
) -> date:
    """First day on which wire put on ``on`` should be looked at.

    Args:
        factor: By what the club's own looks move the group's clock.

    Raises:
        ValueError: If the group is not known.
    """
    if group not in bites():
        raise ValueError(f"no such group: {group}")
    clock = bites()[group].bites_from_weeks * factor * EARLY
    due = clock * math.prod(wire_factors(position, metal, fit, stage).values())
    grown, day = 0.0, on
    while grown < due and (day - on).days < LONGEST_DAYS:
        month = (day.month + 5) % 12 + 1 if southern else day.month
        grown += MONTH_WEIGHT.get(month, 0.0) / 7
        day += timedelta(days=1)
    return day


def next_look(group: str, on: date) -> date:
    """The look after one on ``on``, at the group's repeat interval."""
    return on + timedelta(days=bites()[group].repeat_days)
