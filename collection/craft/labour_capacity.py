"""Hours a tree needs in a year when nobody has counted, and hours an offer is worth."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from collection.craft.labour_reference import PaceTable, read, reference_paces
from collection.craft.quantities import STAGES

PRODUCTIVE_SHARE = 0.81  # 3.25 h of work in a day of 4 h, assumption
# A topiary day has 5 h of clipping in 8 h (professional clipper's web log): a share of 0.625.
TURN_OUT_DATED_YES, TURN_OUT_HABIT = 0.85, 0.6


@dataclass(frozen=True, slots=True)
class YearHours:
    """Hours of a practised hand in a year for one tree, marked as made without counts.

    Attributes:
        base_hours: Hours for a tree of 45 to 75 cm.
        size_factor: Times for this tree's height; 1 when nobody measured it.
        counted: Always False: never to be read as an estimate from branches and wire.
    """

    hours: float
    base_hours: float
    size_factor: float
    height_known: bool
    family: str
    label: str
    source: str
    counted: bool = False


def season_hours_without_counts(group: str, stage: str, height_cm: float | None = None) -> YearHours:
    """Yearly hours for a tree with no counts at all, all its jobs, watering left out.

    Args:
        group: G01 to G15.
        stage: R, B, F or S.
        height_cm: Height, cm.

    Raises:
        ValueError: If the group or stage is unknown or the height is not above zero.

    Source: assumption; refined two-flush pine 6 to 10 h a year in a practitioner's web log,
    Melbourne, "Needle work", 30 April 2012.
    """
    if stage not in STAGES:
        raise ValueError(f"unknown stage {stage!r}; use R, B, F or S")
    for row in _rows("yearly_hours"):
        if group in row["groups"].split():
            base, factor = float(row[stage]), _size_factor(height_cm)
            known = height_cm is not None
            return YearHours(base * factor, base, factor, known, row["family"], row["label"], row["source"])
    raise ValueError(f"unknown species group {group!r}; use G01 to G15")


def practised_hours(hours: float, turn_out: float, level: str, paces: PaceTable | None = None) -> float:
    """Hours of a practised hand that an offer of hours is worth.

    Args:
        hours: Hours offered, person-hours.
        turn_out: Share of offers kept, 0 to 1: 0.85 for a yes to a dated day, 0.6 for a stated habit.
        level: Skill of whoever offers; use "practised" where the work already carries the skill.

    Raises:
        ValueError: If a figure is out of range or the level unknown.

    Source: assumption: hours x 0.81 x turn-out / skill multiplier; 0.6 from one collection's stated
    hours against its counted ones (National Bonsai Foundation, web log).
    """
    skills = (paces or reference_paces()).skills
    if level not in skills:
        raise ValueError(f"unknown skill {level!r}; use one of {', '.join(skills)}")
    if not 0 <= hours < math.inf:
        raise ValueError(f"hours offered must be 0 or more, not {hours}")
    if not 0 <= turn_out <= 1:
        raise ValueError(f"turn-out is a share from 0 to 1, not {turn_out}")
    return hours * PRODUCTIVE_SHARE * turn_out / skills[level]


def _size_factor(height_cm: float | None) -> float:
    if height_cm is None:
        return 1.0
    if not 0 < height_cm < math.inf:
        raise ValueError(f"a tree's height must be above 0 cm, not {height_cm}")
    # 100 cm still counts as 75-100: the last class is "over 100".
    rows = _rows("size_factor")
    inside = [r for r in rows if float(r["from_cm"]) <= height_cm and r is not rows[-1]]
    return float(rows[-1]["times"]) if height_cm > float(rows[-1]["from_cm"]) else float(inside[-1]["times"])


@lru_cache(maxsize=2)
def _rows(name: str) -> tuple[dict[str, str], ...]:
    return tuple(read(name))
