"""Standard time and rest allowances. Each id names a check value; the evidence stands beside it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.craft.allowances import (
    Convention,
    allowance,
    basic_min,
    fine_work_standing,
    standard_min,
)
from collection.craft.labour_reference import read
from collection.craft.units import kg_from_pounds

OF_BASIC, OF_DAY = Convention.OF_BASIC_TIME, Convention.OF_WORKING_DAY
# NV-01: textbook exercise "Problem 7-6", the whole table typed a second time from the page.
PRINTED = {
    "personal": {"standard": 5},
    "fatigue": {"basic": 4},
    "standing": {"standing": 2},
    "position": {"slightly awkward": 0, "bending": 2, "lying or stretching": 7},
    "light": {"slightly below": 0, "well below": 2, "very inadequate": 5},
    "attention": {"fairly fine": 0, "fine or exacting": 2, "very fine": 5},
    "noise": {"continuous": 0, "intermittent loud": 2, "very loud": 5, "high-pitched loud": 5},
    "mental": {"fairly complex": 1, "complex or wide span": 4, "very complex": 8},
    "monotony": {"low": 0, "medium": 1, "high": 4},
    "tedium": {"rather tedious": 0, "tedious": 2, "very tedious": 5},
    "heat": {"least": 0, "most": 10},
}
WEIGHTS_LB = {5: 0, 10: 1, 15: 2, 20: 3, 25: 4, 30: 5, 35: 7, 40: 9, 45: 11, 50: 13, 60: 17, 70: 22}


def test_lab_09_a_rating_turns_an_observed_time_into_a_basic_one():
    # A work-measurement article (published)
    assert basic_min(800, 110) == pytest.approx(880)


def test_lab_10_fifteen_percent_of_basic_time_come_on_top():
    # Computed; the method from memory: ILO, Introduction to Work Study, 4th ed. 1992
    assert basic_min(0.20, 120) == pytest.approx(0.240)
    assert standard_min(0.240, 0.15, OF_BASIC) == pytest.approx(0.276)


@pytest.mark.parametrize(("observed", "rating"), [(0.16, 125), (0.25, 80)])
def test_lab_11_other_ratings_give_the_same_basic_time(observed, rating):
    assert basic_min(observed, rating) == pytest.approx(0.200)


def test_lab_12_fifteen_percent_of_the_working_day_are_more():
    # Computed. A textbook solution says "13 percent of job time" and divides by 1 - 0.13 all the same:
    # the words alone do not tell, so the convention is a name.
    assert standard_min(0.240, 0.15, OF_DAY) == pytest.approx(0.28235, abs=5e-6)
    for words in ("of_basic_time", "of job time", ""):
        with pytest.raises(ValueError, match="name the convention"):
            standard_min(0.240, 0.13, words)


def test_nv_01_every_printed_figure_is_in_the_table_and_no_other():
    rows = read("allowances")
    found = {part: {} for part in PRINTED}
    for row in rows:
        if row["part"] != "weight":
            found[row["part"]][row["level"]] = float(row["percent"])
    assert found == PRINTED
    weights = {int(row["to_lb"]): float(row["percent"]) for row in rows if row["part"] == "weight"}
    assert weights == WEIGHTS_LB


def test_nv_02_wiring_standing_at_a_bench_takes_69_minutes_for_60():
    found = fine_work_standing()
    assert [(part.part, part.percent) for part in found.parts] == [
        ("personal", 5), ("fatigue", 4), ("standing", 2), ("attention", 2), ("tedium", 2)
    ]  # fmt: skip
    assert found.percent == 15
    assert found.convention is OF_BASIC
    assert found.standard_min(60.0) == pytest.approx(69.0, abs=1e-9)


def test_nv_03_a_weight_between_two_rows_takes_the_heavier_one():
    # 43 lb: step-up 11; in proportion it would be 10.2
    assert allowance(weight_kg=kg_from_pounds(43)).parts[-1].percent == 11
    for lb, percent in WEIGHTS_LB.items():
        assert allowance(weight_kg=kg_from_pounds(lb)).parts[-1].percent == percent, lb


@given(st.floats(0.01, 31.7), st.floats(0, 10))
def test_a_heavier_weight_never_asks_for_less_rest(kg, more):
    heavier = min(kg + more, 31.75)
    assert allowance(weight_kg=kg).percent <= allowance(weight_kg=heavier).percent


@given(st.floats(0, 1e4), st.floats(0, 0.99))
def test_a_share_of_the_day_is_never_less_than_the_same_share_of_basic_time(basic, share):
    of_basic, of_day = (standard_min(basic, share, name) for name in (OF_BASIC, OF_DAY))
    assert basic <= of_basic <= of_day * (1 + 1e-12)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: standard_min(-1, 0.1, OF_BASIC),
        lambda: standard_min(1, 1, OF_DAY),
        lambda: standard_min(1, 1.1, OF_BASIC),
        lambda: basic_min(1, 0),
        lambda: allowance({"standing": "sitting"}),
        lambda: allowance({"mood": "bad"}),
        lambda: allowance({"personal": "standard"}),
        lambda: allowance({"weight": "up to"}),
        lambda: allowance(weight_kg=32),
        lambda: allowance(weight_kg=-1),
        lambda: allowance(heat_percent=11),
    ],
)
def test_what_the_table_does_not_hold_is_refused(wrong):
    with pytest.raises(ValueError, match=r"\w"):
        wrong()
