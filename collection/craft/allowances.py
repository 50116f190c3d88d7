"""Rest on top of work: a published table of allowances, and the two conventions of giving a share.

A share means nothing until somebody says of what: of the basic time, or of the working day. The
convention is therefore one of two names and never free text.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from collection.craft.labour_reference import read
from collection.craft.units import kg_from_pounds

ALWAYS = (("personal", "standard"), ("fatigue", "basic"))


class Convention(StrEnum):
    """Of what an allowance is a share."""

    OF_BASIC_TIME = "of_basic_time"
    OF_WORKING_DAY = "of_working_day"


@dataclass(frozen=True, slots=True)
class Part:
    """One line of an allowance, percent of basic time."""

    part: str
    level: str
    percent: float
    label: str
    source: str


@dataclass(frozen=True, slots=True)
class Allowance:
    """A whole allowance with its parts; percent of ``convention``."""

    parts: tuple[Part, ...]
    convention: Convention = Convention.OF_BASIC_TIME

    @property
    def percent(self) -> float:
        """The parts added up."""
        return sum(part.percent for part in self.parts)

    def standard_min(self, basic_min: float) -> float:
        """Minutes with rest."""
        return standard_min(basic_min, self.percent / 100, self.convention)


def basic_min(observed_min: float, rating: float) -> float:
    """Basic time from an observed one at a rating, where 100 is the standard pace.

    Raises:
        ValueError: If the time is below 0 or the rating not above 0.

    Source: ILO, *Introduction to Work Study*, 4th ed. 1992 (from memory); a work-measurement article.
    """
    if not (0 <= observed_min < math.inf and 0 < rating < math.inf):
        raise ValueError(f"a time is 0 or more and a rating above 0: {observed_min}, {rating}")
    return observed_min * rating / 100


def standard_min(basic: float, share: float, convention: Convention) -> float:
    """Time with rest: ``basic * (1 + share)`` of basic time, ``basic / (1 - share)`` of the working day.

    Args:
        basic: Basic time; the answer is in the same unit.
        share: 0 to 1; below 1 for a share of the day.
        convention: Of what it is a share.

    Raises:
        ValueError: If a figure is out of its range, or the convention is not one of ``Convention``.
    """
    if not isinstance(convention, Convention):
        raise ValueError(f"name the convention: one of {', '.join(Convention)}, not {convention!r}")
    if not 0 <= basic < math.inf:
        raise ValueError(f"a basic time is 0 or more, not {basic}")
    if not 0 <= share <= 1 or (share == 1 and convention is Convention.OF_WORKING_DAY):
        raise ValueError(f"a share runs from 0 to 1, and of a working day it is less than 1: {share}")
    if convention is Convention.OF_BASIC_TIME:
        return basic * (1 + share)
    return basic / (1 - share)


def allowance(
    levels: Mapping[str, str] | None = None, *, weight_kg: float = 0.0, heat_percent: float = 0.0
) -> Allowance:
    """The allowance of basic time for work of some kind; personal and basic fatigue always count.

    Args:
        levels: Level by part, such as {"standing": "standing", "attention": "fine or exacting"}.
        weight_kg: What is lifted. A weight between two rows takes the heavier row (step-up); the table
            names no rule, and the steps are not equal.
        heat_percent: For heat and humidity, within the table's range.

    Raises:
        ValueError: If a part or level is not in the table, or a figure is outside it.

    Source: ``fixtures/reference/allowances.csv`` (a textbook table).
    """
    wanted = [*ALWAYS, *(levels or {}).items()]
    if len({part for part, _ in wanted}) != len(wanted):
        raise ValueError("personal and basic fatigue count already")
    parts = [_part(part, level) for part, level in wanted]
    if weight_kg:
        parts.append(_weight(weight_kg))
    least, most = (_part("heat", level) for level in ("least", "most"))
    if not least.percent <= heat_percent <= most.percent:
        raise ValueError(f"heat adds {least.percent:g} to {most.percent:g} percent, not {heat_percent}")
    if heat_percent:
        parts.append(Part("heat", "chosen", heat_percent, most.label, most.source))
    return Allowance(tuple(parts))


@cache
def fine_work_standing() -> Allowance:
    """Fine work at a bench, standing: 15 % of basic time (which levels fit our work is an assumption)."""
    return allowance({"standing": "standing", "attention": "fine or exacting", "tedium": "tedious"})


@cache
def _rows() -> tuple[dict[str, str], ...]:
    return tuple(read("allowances"))


def _part(part: str, level: str) -> Part:
    for row in _rows():
        if (row["part"], row["level"]) == (part, level) and not row["to_lb"]:
            return Part(part, level, float(row["percent"]), row["label"], row["source"])
    raise ValueError(f"the table of allowances has no {part} {level!r}")


def _weight(kg: float) -> Part:
    if not 0 < kg < math.inf:
        raise ValueError(f"a weight must be above 0 kg, not {kg}")
    for row in _rows():
        if row["to_lb"] and kg <= kg_from_pounds(float(row["to_lb"])) + 1e-9:
            level = f"up to {row['to_lb']} lb"
            return Part("weight", level, float(row["percent"]), row["label"], row["source"])
    raise ValueError(f"the table of allowances ends at 70 lb (31.8 kg); {kg} kg is more")
