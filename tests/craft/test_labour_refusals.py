"""What the labour sum refuses, and how it says so."""

from __future__ import annotations

import math

import pytest

from collection.craft.labour import estimate, estimate_together
from collection.craft.labour_reference import Pace
from collection.craft.labour_types import NO_SET_UP, Estimate, EstimateRequest, SetUps
from collection.craft.quantities import Amount


def wire(**known: object) -> Estimate:
    return estimate(EstimateRequest("WIRE_STRUCT", set_ups=NO_SET_UP, **known))  # type: ignore[arg-type]


def counted(**counts: float) -> dict[str, Amount]:
    return {kind: Amount(value) for kind, value in counts.items()}


NONSENSE = [
    ({"task": "DANCE"}, "unknown kind of work"),
    ({"skill": "wizard"}, "unknown skill"),
    ({"stage": "X"}, "unknown stage"),
    ({"quantities": counted(wishes=3)}, "unknown count wishes"),
    ({"conditions": frozenset({"haunted"})}, "unknown condition haunted"),
    ({"conditions": frozenset({"neglect_1", "neglect_2"})}, "not both"),
    ({"circumstances": frozenset({"moonlight"})}, "unknown circumstance"),
    ({"height_cm": 0}, "height"),
    ({"pot_litres": -1}, "pot volume"),
    ({"mass_kg": math.nan}, "mass"),
    ({"thickest_wire_mm": math.inf}, "wire thickness"),
    ({"lifts": -1}, "lifted"),
]


@pytest.mark.parametrize(("change", "words"), NONSENSE)
def test_nonsense_is_refused_with_what_is_wrong(change: dict[str, object], words: str):
    with pytest.raises(ValueError, match=words):
        EstimateRequest(**({"task": "PINCH"} | change))  # type: ignore[arg-type]


@pytest.mark.parametrize("value", [-1, math.nan, math.inf])
def test_an_amount_is_a_real_number_from_nought(value: float):
    with pytest.raises(ValueError, match="amount must be 0 or more"):
        Amount(value)


def test_an_amount_says_where_it_comes_from():
    with pytest.raises(ValueError, match="unknown origin"):
        Amount(1, "dreamt")


@pytest.mark.parametrize("figures", [(0, 1, 2), (2, 1, 3), (1, 3, 2), (1, 2, math.inf)])
def test_a_pace_rises_from_above_nought(figures: tuple[float, float, float]):
    with pytest.raises(ValueError, match=r"low, likely and high|above zero"):
        Pace("X", "PINCH", "shoots", *figures)


def test_wire_is_given_by_thickness_or_as_one_length():
    with pytest.raises(ValueError, match="not both"):
        wire(quantities=counted(wire_thick_m=3), wire_total_m=Amount(3))


def test_tasks_done_together_need_one_skill_and_at_least_one_task():
    with pytest.raises(ValueError, match="at least one"):
        estimate_together([])
    with pytest.raises(ValueError, match="one person's skill"):
        estimate_together([EstimateRequest("PINCH"), EstimateRequest("TRIM", skill="novice")])


def test_a_set_up_cannot_be_done_fewer_than_no_times():
    with pytest.raises(ValueError, match="fewer than 0"):
        SetUps(bench=-1)
