"""What goes into a time estimate and what comes out, line by line."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from collection.craft.labour_reference import CONDITIONS, SKILLS, three_point
from collection.craft.quantities import KINDS, ORDERS, STAGES, Amount
from collection.craft.reasons import Reason

OTHER_KINDS = frozenset(
    {*ORDERS, "bend_mm", "pot_litres", "mix_litres", "branches_total", "mass_kg", "height_cm"}
)
ALL_KINDS = OTHER_KINDS | {kind for kinds in KINDS.values() for kind in kinds}
CIRCUMSTANCES = frozenset({"lever_under_load", "trunk_bend", "pot_must_be_held", "powered_carving", "steps"})


@dataclass(frozen=True, slots=True)
class SetUps:
    """How often each set-up item is done; bench and clean-down count for everyone in the crew."""

    bench: int = 0
    clean_down: int = 0
    disinfect: int = 0
    record: int = 0
    briefing: int = 0
    spray_batch: int = 0
    mix: bool = False
    design: bool = False

    def __post_init__(self) -> None:
        counts = (self.bench, self.clean_down, self.disinfect, self.record, self.briefing, self.spray_batch)
        if min(counts) < 0:
            raise ValueError("a set-up cannot be done fewer than 0 times")


NO_SET_UP = SetUps()


@dataclass(frozen=True, slots=True)
class EstimateRequest:
    """One task and what is known about the tree.

    Attributes:
        quantities: Counts by kind (a tree's whole count may be handed in; the task takes its own).
        conditions: Any of ``CONDITIONS``; brittle and tall follow from group and height when None.
        branch_total: A bare number of branches, split by order.
        wire_total_m: Metres of wire of unknown thickness.
        group_limit_mm: Branch diameter from which one person may not bend this group alone, mm.
        thickest_wire_mm: From 5 mm laying the thick wire is a held step.
        lifts: How often the tree is lifted or turned by hand; by task when None.
        set_ups: Replaces the service's own set-up (bench, disinfect, clean down, record per sitting).
        summer: Shoots are counted as at decandling, one to a cut site.
    """

    task: str
    quantities: Mapping[str, Amount] = field(default_factory=dict)
    group: str | None = None
    stage: str | None = None
    height_cm: float | None = None
    pot_litres: float | None = None
    mass_kg: float | None = None
    skill: str = "practised"
    conditions: frozenset[str] = frozenset()
    brittle: bool | None = None
    tall: bool | None = None
    branch_total: Amount | None = None
    wire_total_m: Amount | None = None
    group_limit_mm: float | None = None
    thickest_wire_mm: float | None = None
    circumstances: frozenset[str] = frozenset()
    lifts: int | None = None
    set_ups: SetUps | None = None
    summer: bool = False

    def __post_init__(self) -> None:
        if self.task not in KINDS:
            raise ValueError(f"unknown kind of work {self.task!r}; use one of {', '.join(sorted(KINDS))}")
        if self.skill not in SKILLS:
            raise ValueError(f"unknown skill {self.skill!r}; use one of {', '.join(SKILLS)}")
        if self.stage is not None and self.stage not in STAGES:
            raise ValueError(f"unknown stage {self.stage!r}; use R, B, F or S")
        _refuse_unknown("count", set(self.quantities), ALL_KINDS)
        _refuse_unknown("condition", self.conditions, frozenset(CONDITIONS))
        _refuse_unknown("circumstance", self.circumstances, CIRCUMSTANCES)
        if {"neglect_1", "neglect_2"} <= self.conditions:
            raise ValueError("a job was missed one season or more; choose neglect_1 or neglect_2, not both")
        self._refuse_sizes()

    def _refuse_sizes(self) -> None:
        sizes = {
            "height (cm)": self.height_cm,
            "pot volume (L)": self.pot_litres,
            "mass (kg)": self.mass_kg,
            "bend limit (mm)": self.group_limit_mm,
            "wire thickness (mm)": self.thickest_wire_mm,
        }
        for name, size in sizes.items():
            if size is not None and not 0 < size < math.inf:
                raise ValueError(f"{name} must be above 0, not {size}; leave it empty if nobody knows")
        if self.lifts is not None and self.lifts < 0:
            raise ValueError("a tree cannot be lifted fewer than 0 times")


def _refuse_unknown(what: str, given: set[str] | frozenset[str], known: frozenset[str]) -> None:
    strange = sorted(given - known)
    if strange:
        raise ValueError(f"unknown {what} {', '.join(strange)}; use one of {', '.join(sorted(known))}")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the sum. Its minutes are minutes of labour, all people together.

    Attributes:
        code: Key of the pace or set-up row.
        amount, unit, per: How much, of what, and for how many of them the ``*_per`` minutes are.
        scales: Whether skill and conditions change it (work does, set-up does not).
        conditions: Those of the job's conditions that change this line.
        multiplier: Skill times conditions, capped; 1 for a set-up.
        together: Everyone in the crew spends the line's minutes at once; else they share it out.
        held: All must hold at once, so the line is never split.
        side: "branches" or "metres" where wiring is known from both, else "".
    """

    code: str
    task: str
    kind: str
    amount: float
    unit: str
    per: float
    origin: str
    on: date | None
    low_per: float
    likely_per: float
    high_per: float
    skill: str
    conditions: frozenset[str]
    multiplier: float
    scales: bool
    crew: int
    together: bool
    held: bool
    side: str
    label: str
    source: str
    logs: int = 0

    def __post_init__(self) -> None:
        three_point(self.low_per, self.likely_per, self.high_per)
        if not (self.amount >= 0 and self.per > 0 and self.multiplier > 0 and self.crew >= 1):
            raise ValueError(f"line {self.code}: amounts must be 0 or more, the rest above 0")

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Line:
        """Read back a line kept as JSON: dates as ISO text, sets as lists.

        Raises:
            TypeError: If a field is missing or strange.
            ValueError: If a value makes no sense.
        """
        on = date.fromisoformat(data["on"]) if data["on"] else None
        return cls(**{**data, "on": on, "conditions": frozenset(data["conditions"])})

    @property
    def _times(self) -> float:
        return self.amount / self.per * self.multiplier * (self.crew if self.together else 1)

    @property
    def low_min(self) -> float:
        """Low minutes of labour."""
        return self._times * self.low_per

    @property
    def likely_min(self) -> float:
        """Likely minutes of labour."""
        return self._times * self.likely_per

    @property
    def high_min(self) -> float:
        """High minutes of labour."""
        return self._times * self.high_per

    @property
    def mean_min(self) -> float:
        """Mean minutes of labour (three-point mean)."""
        return three_point(self.low_min, self.likely_min, self.high_min)[0]

    @property
    def sd_min(self) -> float:
        """Spread (standard deviation) of the minutes of labour."""
        return three_point(self.low_min, self.likely_min, self.high_min)[1]


@dataclass(frozen=True, slots=True)
class Total:
    """A sum of lines, minutes of labour unless the name says elapsed or held."""

    low_min: float
    likely_min: float
    high_min: float
    mean_min: float
    sd_min: float
    elapsed_min: float
    elapsed_likely_min: float
    held_min: float
    branches_min: float | None = None  # likely minutes by branches, where metres are known too
    metres_min: float | None = None


@dataclass(frozen=True, slots=True)
class Estimate:
    """A job's time with everything that made it.

    Minutes are minutes of labour (a pair at work for an hour is 120) unless the name says elapsed.

    Attributes:
        sd_min: Spread with the table's own rule: lines independent.
        log_mean, log_sd: Of the minutes; ``log_sd`` adds the spread shared by person and tree.
        range80_min: From the tenth to the ninetieth of a hundred.
        cautious_min: Eighty of a hundred are done by then (one-sided, z = 0.84).
        held_min: Minutes of the clock in which everyone must hold at once.
        sittings: Spells of up to 195 working minutes, each with its own set-up; 1 if never split.
        stints: Spells of at most 90 minutes on the clock, with a pause between them.
        trust: "guess" under 5 logs or with filled-in counts, "estimate", "measured" from 20 logs.
        notes: What the reader should know about the number.
    """

    lines: tuple[Line, ...]
    skill: str
    conditions: frozenset[str]
    low_min: float
    likely_min: float
    high_min: float
    mean_min: float
    sd_min: float
    log_mean: float
    log_sd: float
    range80_min: tuple[float, float]
    cautious_min: float
    labour_min: float
    elapsed_min: float
    elapsed_cautious_min: float
    crew: int
    crew_reasons: tuple[Reason, ...]
    held_min: float
    sittings: int
    stints: int
    trust: str
    notes: tuple[Reason, ...]
    edition: str
    shared_log_sd: float
    shared_label: str
