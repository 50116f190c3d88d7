"""What a task is: its code, family, stress and who may do it.

The rows themselves are in ``fixtures/reference/tasks.csv``; this module gives them a shape and
names the sets of tasks that the rules speak of.
"""

from __future__ import annotations

from dataclasses import dataclass

SKILL_LEVELS = ("novice", "learning", "practised", "expert")
FAMILIES = (
    "water_feed",
    "candles_needles",
    "trimming",
    "pruning",
    "wiring",
    "bending",
    "repotting",
    "deadwood",
    "grafting",
    "plant_health",
    "moving",
    "show_record",
)

# Things that happen to a tree and matter to a rule, yet are no task of their own.
WRAP = "WRAP"  # raffia put on before a bend
SHOW = "SHOW"  # the tree travels to a show
EVENTS = frozenset({WRAP, SHOW})

# Only somebody trained for sprays does these.
SPRAYED = frozenset({"SPRAY", "LIME"})

# "Any cutting" (rule X13), read as every task that takes living tissue off; common practice, no source.
CUTTING = frozenset(
    {
        "CANDLE_BREAK",
        "DECANDLE",
        "CANDLE_PINCH",
        "BUD_SELECT",
        "NEEDLE_PLUCK",
        "PINCH",
        "TRIM",
        "PRUNE_STRUCT",
        "DEFOL_PART",
        "DEFOL_FULL",
        "REPOT",
        "DEADWOOD",
        "GRAFT",
        "LAYER",
    }
)
# Work on the crown (rule X11), common practice, no source.
TOP_WORK = (CUTTING - {"REPOT"}) | {"WIRE_DETAIL", "WIRE_STRUCT", "HEAVY_BEND", "GUY"}
DEFOLIATION = frozenset({"DEFOL_PART", "DEFOL_FULL"})
WIRING = frozenset({"WIRE_DETAIL", "WIRE_STRUCT"})
# One styling counts once: assumption.
STYLING = frozenset({"PRUNE_STRUCT", "WIRE_STRUCT", "WIRE_DETAIL", "HEAVY_BEND", "DEADWOOD"})
# A weak tree gets water, light and pest care; looking at it does it no harm.
CARE_OF_WEAK = frozenset({"WATER", "TURN", "PROTECT", "PEST", "SPRAY"})
LOOKING = frozenset({"WIRE_CHECK", "RECORD", "LOOK_OVER"})


@dataclass(frozen=True, slots=True)
class Task:
    """One row of the task catalogue.

    Attributes:
        code: Such as ``DECANDLE``.
        stress: 0 none, 1 light, 2 moderate, 3 major (assumption).
        people: Normal crew.
        second_past_threshold: Whether the second person is needed only past a size.
        least_skill: Lowest level that may do it.
        needs_training: Whether a dated declaration of training is needed as well.
    """

    code: str
    name: str
    family: str
    driver: str
    stress: int
    people: int
    second_past_threshold: bool
    least_skill: str
    needs_training: bool
    label: str
    source: str
    note: str

    def __post_init__(self) -> None:
        if self.family not in FAMILIES:
            raise ValueError(f"task {self.code}: no family called {self.family!r}")
        if self.least_skill not in SKILL_LEVELS:
            raise ValueError(f"task {self.code}: no skill level called {self.least_skill!r}")
        if not 0 <= self.stress <= 3:
            raise ValueError(f"task {self.code}: stress must be 0 to 3, not {self.stress}")
        if not 1 <= self.people <= 4:
            raise ValueError(f"task {self.code}: people must be 1 to 4, not {self.people}")


@dataclass(frozen=True, slots=True)
class Group:
    """One species group and the limits of its kind.

    Attributes:
        bend_limit_mm: Branch diameter from which a bend needs two people.
        foliage_off_most: Most foliage taken off at once, share of 1.
        root_off_most: Most root taken off at once, share of 1; the stricter end of a range.
        shelter_below_c: The pot is sheltered below this, degrees Celsius.
        budget_kind: Row of the stress budget.
        rest_column: Column of the recovery table.
        repot_column: Column of the repotting table.
    """

    code: str
    name: str
    species: str
    kind: str
    flushes: str
    bend_limit_mm: float
    foliage_off_most: float
    root_off_most: float
    shelter_below_c: float
    growing_from_month: int
    growing_to_month: int
    budget_kind: str
    rest_column: str
    repot_column: str
    label: str
    source: str
    note: str

    def __post_init__(self) -> None:
        if self.bend_limit_mm <= 0:
            raise ValueError(f"group {self.code}: the bend limit must be above 0 mm")
        if not (0 < self.foliage_off_most <= 1 and 0 < self.root_off_most <= 1):
            raise ValueError(f"group {self.code}: shares taken off must be above 0 and at most 1")
        if self.budget_kind not in {"conifer", "deciduous", "fig_elm_trident"}:
            raise ValueError(f"group {self.code}: no stress budget for {self.budget_kind!r}")

    @property
    def is_conifer(self) -> bool:
        """Whether the conifer figures of the rules apply."""
        return self.budget_kind == "conifer"
