"""Paces, set-up times and multipliers of the trade, read from ``fixtures/reference``.

A club's own rows or learned paces replace single rows: ``PaceTable.replaced``. Nearly every figure
is an assumption (see the label of each row); no timed study of this craft was found.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TypedDict

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "reference"
EDITION = "2026-11"
SKILLS = ("novice", "learning", "practised", "expert")
CONDITIONS = ("neglect_1", "neglect_2", "first_styling", "tall", "show_tree", "brittle", "weather")


class Scaling(TypedDict):
    """The fields of a line that skill and conditions set."""

    skill: str
    conditions: frozenset[str]
    multiplier: float


def three_point(low: float, likely: float, high: float) -> tuple[float, float]:
    """Mean and spread (standard deviation) from a low, a likely and a high value, same unit.

    Raises:
        ValueError: Unless 0 <= low <= likely <= high.

    Source: Malcolm, Roseboom, Clark and Fazar 1959, Operations Research 7(5):646-669 (from memory).
    """
    if not 0 <= low <= likely <= high < math.inf:
        raise ValueError(f"low, likely and high must rise from 0: {low}, {likely}, {high}")
    return (low + 4 * likely + high) / 6, (high - low) / 6


def log_moments(mean: float, sd: float) -> tuple[float, float]:
    """Mean and spread of the logarithm of a lognormal quantity with this mean and spread.

    Raises:
        ValueError: If the mean is not above zero or the spread is below zero.

    Source: moments of the lognormal, textbook result: variance of logs = ln(1 + (sd/mean)^2).
    """
    if not (mean > 0 and sd >= 0):
        raise ValueError(f"no logarithm of a mean of {mean} with a spread of {sd}")
    variance = math.log1p((sd / mean) ** 2)
    return math.log(mean) - variance / 2, math.sqrt(variance)


@dataclass(frozen=True, slots=True)
class Pace:
    """Minutes of a practised hand for ``per`` units of one kind.

    Attributes:
        key: Stable name of the row.
        kind: What is counted.
        per: How many of them the minutes are for, such as 100 leaves.
        unit: The unit in words.
        size_by: Quantity that chooses between rows of one task and kind ('' when only one row).
        size_from, size_to: Bounds of that quantity (mm, L or kg).
        elapsed: The minutes are of the whole crew together.
        crew: People the row itself asks for.
        logs: Logged jobs behind the row; 0 for the starting table.
    """

    key: str
    task: str
    kind: str
    low_min: float
    likely_min: float
    high_min: float
    per: float = 1
    unit: str = ""
    size_by: str = ""
    size_from: float = 0
    size_to: float = math.inf
    elapsed: bool = False
    crew: int = 1
    note: str = ""
    label: str = "assumption"
    source: str = "no source"
    logs: int = 0

    def __post_init__(self) -> None:
        three_point(self.low_min, self.likely_min, self.high_min)
        if not (self.low_min > 0 and self.per > 0 and self.crew >= 1 and self.logs >= 0):
            raise ValueError(f"pace {self.key}: minutes, amount and people must be above zero")

    @property
    def mean_min(self) -> float:
        """Mean minutes for ``per`` units."""
        return three_point(self.low_min, self.likely_min, self.high_min)[0]

    @property
    def log_min(self) -> tuple[float, float]:
        """Mean and spread of the log of the minutes for ``per`` units; learning works on these."""
        return log_moments(*three_point(self.low_min, self.likely_min, self.high_min))

    def fits(self, size: float | None) -> bool:
        """Whether this row is the one for the size; mass reads "up to", other sizes "from"."""
        if not self.size_by:
            return True
        if size is None:
            return False
        if self.size_by == "mass_kg":
            return self.size_from < size <= self.size_to or size == self.size_from == 0
        return self.size_from <= size < self.size_to


@dataclass(frozen=True, slots=True)
class SetUpTime:
    """Minutes of one set-up item, such as clearing the bench; skill does not change them."""

    key: str
    low_min: float
    likely_min: float
    high_min: float
    per: str
    label: str = "assumption"
    source: str = "no source"

    def __post_init__(self) -> None:
        three_point(self.low_min, self.likely_min, self.high_min)


@dataclass(frozen=True, slots=True)
class Factor:
    """One multiplier; with ``tasks`` it holds for those tasks only, in place of the general row."""

    times: float
    tasks: frozenset[str] = frozenset()
    label: str = "assumption"
    source: str = "no source"

    def __post_init__(self) -> None:
        if not 0 < self.times < math.inf:
            raise ValueError(f"a multiplier must be above zero: {self.times}")


@dataclass(frozen=True, slots=True)
class PaceTable:
    """Everything an estimate multiplies: paces, set-up times, skills, conditions, cap.

    Attributes:
        shared_log_sd: Spread of log minutes that all lines of one job share: the person and the tree.
    """

    paces: tuple[Pace, ...]
    set_ups: Mapping[str, SetUpTime]
    skills: Mapping[str, float]
    conditions: Mapping[str, tuple[Factor, ...]]
    cap: float
    shared_log_sd: float
    edition: str = EDITION
    shared_label: str = "assumption"

    def __post_init__(self) -> None:
        if len({pace.key for pace in self.paces}) != len(self.paces):
            raise ValueError("two paces have the same key; keep one of them")
        if self.cap < 1 or self.shared_log_sd < 0:
            raise ValueError("the cap must be at least 1 and the shared spread at least 0")

    def of(self, task: str) -> tuple[Pace, ...]:
        """Every pace row of a task, in table order."""
        return tuple(pace for pace in self.paces if pace.task == task)

    def uncapped(self, task: str, conditions: Iterable[str]) -> float:
        """The conditions' factors for a task multiplied together, before the cap.

        Raises:
            ValueError: If a condition is unknown.
        """
        return math.prod(self._condition(task, condition) for condition in conditions)

    def _condition(self, task: str, condition: str) -> float:
        if condition not in self.conditions:
            raise ValueError(f"unknown condition {condition!r}; use one of {', '.join(self.conditions)}")
        rows = self.conditions[condition]
        special = [row.times for row in rows if task in row.tasks]
        general = [row.times for row in rows if not row.tasks]
        return (special + general + [1.0])[0]

    def scaling(self, task: str, skill: str, conditions: Iterable[str]) -> Scaling:
        """What a work line is multiplied by, with the conditions that change this task.

        Raises:
            ValueError: If the skill or a condition is unknown.
        """
        if skill not in self.skills:
            raise ValueError(f"unknown skill {skill!r}; use one of {', '.join(self.skills)}")
        felt = frozenset(name for name in conditions if self._condition(task, name) != 1)
        times = self.skills[skill] * min(self.uncapped(task, sorted(felt)), self.cap)
        return Scaling(skill=skill, conditions=felt, multiplier=times)

    def replaced(self, rows: Iterable[Pace], *, shared_log_sd: float | None = None) -> PaceTable:
        """The table with these rows in place of those with the same key; new keys are added."""
        own = {row.key: row for row in rows}
        kept = tuple(own.pop(pace.key, pace) for pace in self.paces)
        shared = self.shared_log_sd if shared_log_sd is None else shared_log_sd
        label = self.shared_label if shared_log_sd is None else "learned"
        return PaceTable(
            paces=kept + tuple(own.values()),
            set_ups=self.set_ups,
            skills=self.skills,
            conditions=self.conditions,
            cap=self.cap,
            shared_log_sd=shared,
            edition=self.edition,
            shared_label=label,
        )


def read(name: str, folder: Path = FOLDER) -> list[dict[str, str]]:
    """The rows of ``<name>.csv`` as dicts of text.

    Raises:
        FileNotFoundError: If there is no such file.
    """
    with (folder / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def load_paces(folder: Path = FOLDER) -> PaceTable:
    """The starting table from the CSV files of ``folder``.

    Raises:
        ValueError: If a row's low, likely and high do not rise or a number is not a number.
    """
    factors = read("multipliers", folder)
    conditions: dict[str, tuple[Factor, ...]] = {}
    for row in factors:
        if row["factor"] == "condition":
            conditions[row["level"]] = (*conditions.get(row["level"], ()), _factor(row))
    skill_rows = [row for row in factors if row["factor"] == "skill"]
    return PaceTable(
        paces=tuple(_pace(row) for row in read("pace", folder)),
        set_ups={row["key"]: _set_up(row) for row in read("setup", folder)},
        skills={row["level"]: float(row["times"]) for row in skill_rows},
        conditions=conditions,
        cap=next(float(row["times"]) for row in factors if row["factor"] == "cap"),
        shared_log_sd=_shared_log_sd(skill_rows),
    )


@lru_cache(maxsize=1)
def reference_paces() -> PaceTable:
    """The starting table that comes with the service."""
    return load_paces()


def _shared_log_sd(rows: list[dict[str, str]]) -> float:
    # Assumption: a level's printed range holds four people of five, so it spans 2 x 1.2816 spreads of
    # the log; the two printed ranges (1.5-2.5, 0.6-0.9) are averaged: about 0.18.
    spans = [math.log(float(row["high"]) / float(row["low"])) for row in rows if row["low"]]
    return sum(spans) / len(spans) / (2 * 1.2815515655446004)


def _pace(row: dict[str, str]) -> Pace:
    return Pace(
        key=row["key"],
        task=row["task"],
        kind=row["kind"],
        low_min=float(row["low_min"]),
        likely_min=float(row["likely_min"]),
        high_min=float(row["high_min"]),
        per=float(row["per"]),
        unit=row["unit"],
        size_by=row["by"],
        size_from=float(row["size_from"] or 0),
        size_to=float(row["size_to"] or math.inf),
        elapsed=row["elapsed"] == "1",
        crew=int(row["crew"]),
        note=row["note"],
        label=row["label"],
        source=row["source"],
    )


def _set_up(row: dict[str, str]) -> SetUpTime:
    low, likely, high = (float(row[name]) for name in ("low_min", "likely_min", "high_min"))
    return SetUpTime(row["key"], low, likely, high, row["per"], row["label"], row["source"])


def _factor(row: dict[str, str]) -> Factor:
    return Factor(float(row["times"]), frozenset(row["tasks"].split()), row["label"], row["source"])
