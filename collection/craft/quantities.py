"""How much of everything a tree has: counted, typed, or filled in by stated defaults."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from collection.craft.labour_reference import read

ORIGINS = ("counted", "default", "typed", "last_year", "split")
ORDERS = ("primary", "secondary", "fine")
METRES = ("wire_thick_m", "wire_thin_m")
WIRING = frozenset({"WIRE_STRUCT", "WIRE_DETAIL", "WIRE_OFF"})
STAGES = ("R", "B", "F", "S")
# What is counted for each task; a task lists every kind it can use.
KINDS: dict[str, tuple[str, ...]] = {
    "WATER": ("trees",),
    "FEED_START": ("trees",),
    "FEED_STOP": ("trees",),
    "CANDLE_BREAK": ("candles",),
    "DECANDLE": ("cut_sites",),
    "CANDLE_PINCH": ("candles",),
    "BUD_SELECT": ("cut_sites",),
    "NEEDLE_PLUCK": ("shoots",),
    "PINCH": ("shoots",),
    "TRIM": ("cut_sites",),
    "PRUNE_STRUCT": ("cuts_small", "cuts_medium", "cuts_large"),
    "DEFOL_PART": ("leaves",),
    "DEFOL_FULL": ("leaves",),
    "DEADHEAD": ("flowers",),
    "FLOWER_THIN": ("flowers",),
    "WIRE_DETAIL": ("secondary", "fine", *METRES),
    "WIRE_STRUCT": ("primary", *METRES),
    "WIRE_CHECK": ("trees",),
    "WIRE_OFF": ORDERS + METRES,
    "GUY": ("guys",),
    "HEAVY_BEND": ("bends", "wrap_cm", "guys"),
    "REPOT": ("pots",),
    "UP_POT": ("pots",),
    "DEADWOOD": ("deadwood_cm2",),
    "LIME": ("trees",),
    "GRAFT": ("scions", "grafts_thread"),
    "LAYER": ("layers",),
    "PEST": ("trees",),
    "LOOK_OVER": ("trees",),
    "SPRAY": ("trees",),
    "TURN": ("trees",),
    "PROTECT": ("trees",),
    "SHOW_PREP": ("trees",),
    "RECORD": ("trees",),
}
# What is filled in when none of a task's kinds is known.
_FILLED: dict[str, tuple[str, ...]] = {
    "PRUNE_STRUCT": ("cuts_medium",),
    "WIRE_STRUCT": ("primary",),
    "WIRE_DETAIL": ("secondary", "fine"),
    "WIRE_OFF": ORDERS,
    "GRAFT": ("scions",),
}


@dataclass(frozen=True, slots=True)
class Amount:
    """How many (or how long, how large), where the number comes from, and of which day."""

    value: float
    origin: str = "counted"
    on: date | None = None
    label: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.value < math.inf:
            raise ValueError(f"an amount must be 0 or more, not {self.value}")
        if self.origin not in ORIGINS:
            raise ValueError(f"unknown origin {self.origin!r}; use one of {', '.join(ORIGINS)}")


def default_quantities(
    task: str,
    group: str | None = None,
    stage: str | None = None,
    height_cm: float | None = None,
    known: Mapping[str, Amount] | None = None,
    *,
    summer: bool = False,
) -> dict[str, Amount]:
    """What a task would count on a tree nobody has counted, every amount marked "default".

    Args:
        group: G01 to G15, checked only: the default tree is the same for every group.
        stage: R, B, F or S; without one the tree is read as F.
        height_cm: Height above the pot, cm; used for the pot's volume.
        known: Counts that exist already; the defaults build on them.
        summer: Shoots at decandling are one to a cut site; in autumn 1.8 to a cut site.

    Raises:
        ValueError: If the task or the stage is unknown.

    Source: assumption (8 primaries, 4 secondaries to each, 3 fine to a secondary when refining and
    5 on a show tree; cut sites 0.8 x fine; autumn shoots 1.8 x cut sites); cuts per branch from
    Arboriculture & Urban Forestry, Table 1, pruning severity trial.
    """
    if task not in KINDS:
        raise ValueError(f"unknown kind of work {task!r}")
    if group is not None and not (len(group) == 3 and group[0] == "G" and group[1:].isdigit()):
        raise ValueError(f"unknown species group {group!r}; use G01 to G15")
    have = dict(known or {})
    if summer and task == "NEEDLE_PLUCK" and "shoots" not in have:
        return {"shoots": _default("cut_sites", task, _stage(stage), have)}
    filled = _FILLED.get(task, KINDS[task])
    made = {kind: _default(kind, task, _stage(stage), have) for kind in filled if kind not in have}
    if task == "HEAVY_BEND" and "bend_mm" not in have:
        made["bend_mm"] = _default("bend_mm", task, _stage(stage), have)
    if task in ("REPOT", "UP_POT") and "pot_litres" not in have:
        made["pot_litres"] = Amount(default_pot_litres(height_cm), "default", label="assumption")
    return made


def default_pot_litres(height_cm: float | None) -> float:
    """Pot volume, L, guessed from height, cm: 20 L at 70 cm, with the cube of the height.

    Raises:
        ValueError: If the height is not above zero.

    Source: assumption; a height nobody measured is read as 60 cm.
    """
    height = 60.0 if height_cm is None else height_cm
    if not 0 < height < math.inf:
        raise ValueError(f"a tree's height must be above 0 cm, not {height}")
    return 20 * (height / 70) ** 3


def guessed_mass_kg(pot_litres: float, height_cm: float | None) -> float:
    """Tree and pot, kg, when nobody has weighed them.

    Raises:
        ValueError: If the volume is below zero or the height not above zero.

    Source: assumption: 1.4 kg of wet mix and 0.5 kg of pot to a litre, 0.5 kg to 10 cm of height.
    """
    height = 60.0 if height_cm is None else height_cm
    if pot_litres < 0 or height <= 0:
        raise ValueError("a pot's volume must be 0 L or more and a height above 0 cm")
    return 1.9 * pot_litres + 0.05 * height


def split_branches(total: Amount, task: str, stage: str | None) -> dict[str, Amount]:
    """A bare number of branches shared out by order, marked "split".

    For structural wiring every branch named is a primary, for detail wiring none is; otherwise the
    shares are those of the default tree of the stage (F: 8 primary to 32 secondary to 96 fine).

    Source: assumption.
    """
    if task == "WIRE_STRUCT":
        return {"primary": Amount(total.value, "split", total.on, "assumption")}
    orders = ORDERS[1:] if task == "WIRE_DETAIL" else ORDERS
    whole = {kind: _default(kind, task, _stage(stage), {}).value for kind in orders}
    sum_of_all = sum(whole.values())
    return {
        kind: Amount(total.value * part / sum_of_all, "split", total.on, "assumption")
        for kind, part in whole.items()
    }


def order_by_diameter(diameter_mm: float, *, on_trunk: bool) -> str:
    """A branch's order when nobody wrote it down, from its thickness in mm.

    Raises:
        ValueError: If the thickness is not above zero.

    Source: assumption: on the trunk or 8 mm and up primary, 3 to 8 mm secondary, under 3 mm fine.
    """
    if not 0 < diameter_mm < math.inf:
        raise ValueError(f"a branch must be thicker than 0 mm, not {diameter_mm}")
    if on_trunk or diameter_mm >= 8:
        return "primary"
    return "secondary" if diameter_mm >= 3 else "fine"


def _stage(stage: str | None) -> str:
    if stage is None:
        return "F"
    if stage not in STAGES:
        raise ValueError(f"unknown stage {stage!r}; use R, B, F or S")
    return stage


def _default(kind: str, task: str, stage: str, known: Mapping[str, Amount]) -> Amount:
    if kind in known:
        return known[kind]
    row = _row(kind, task, stage)
    base = _default(row["of"], task, stage, known).value if row["of"] else 1.0
    return Amount(base * float(row["times"]), "default", label=row["label"])


def _row(kind: str, task: str, stage: str) -> dict[str, str]:
    for row in _rows():
        if row["kind"] == kind and row["stage"] in ("", stage) and row["task"] in ("", task):
            return row
    raise ValueError(f"no default for {kind}; count it")


@lru_cache(maxsize=1)
def _rows() -> tuple[dict[str, str], ...]:
    # Rows for one task or stage come before the general row in the file.
    return tuple(read("count_defaults"))
