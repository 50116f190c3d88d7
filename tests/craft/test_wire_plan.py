"""Wire for a whole job: pairs, order, and branches left out."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.craft.figures import OutOfRange
from collection.craft.wire import Winding, cut_for, gauge_for
from collection.craft.wire_plan import ToWire, WirePlan, wire_plan


def branch(label: str, mm: float | None = 6, **changes: Any) -> ToWire:
    return ToWire(**({"label": label, "length_mm": 200.0, "diameter_mm": mm, "parent_mm": 30.0} | changes))


def labels(plan: WirePlan) -> list[tuple[str, ...]]:
    return [one.labels for one in plan.wired]


def test_neighbours_of_like_thickness_share_a_wire():
    rows = [branch("B3", height_mm=300), branch("B1", height_mm=100), branch("B2", height_mm=200)]
    assert labels(wire_plan(rows, "copper")) == [("B1", "B2"), ("B3",)]


@pytest.mark.parametrize(
    "other", [{"parent": "B9"}, {"diameter_mm": 3.9}, {"light": True}, {"length_mm": None}]
)
def test_branches_that_differ_get_a_wire_each(other: dict[str, Any]):
    plan = wire_plan([branch("B1", height_mm=1), branch("B2", **({"height_mm": 2} | other))], "copper")
    assert all(len(one.labels) == 1 for one in plan.wired)


def test_thick_wires_are_laid_first():
    rows = [branch("B1", 3, parent="a"), branch("B2", 8, parent="b"), branch("B3", 5, parent="c")]
    assert labels(wire_plan(rows, "copper")) == [("B2",), ("B3",), ("B1",)]


def test_a_branch_without_sizes_or_too_thick_is_left_out_with_its_reason():
    plan = wire_plan([branch("B1", None), branch("B2", 40), branch("B3")], "copper")
    assert labels(plan) == [("B3",)]
    assert {label: reason.code for label, reason in plan.left_out} == {
        "B1": "wire_no_size",
        "B2": "wire_none_holds",
    }


def test_each_wire_is_what_its_branches_take():
    rows = [branch("B1", 6, height_mm=1), branch("B2", 5, height_mm=2)]
    way = Winding(angle_deg=50)
    plan = wire_plan(rows, "aluminium", winding=way)
    expected = cut_for(((200.0, 6), (200.0, 5)), 30, gauge_for(6, "aluminium"), way)
    assert plan.wired[0].cut == expected
    assert (plan.order_m, plan.grams) == pytest.approx((expected.order_m, expected.grams))


def test_a_parent_nobody_measured_is_taken_at_twice_the_branch():
    plan = wire_plan([branch("B1", parent_mm=None)], "copper")
    assert plan.wired[0].cut == cut_for(((200.0, 6),), 12, gauge_for(6, "copper"))


def test_no_branches_take_no_wire():
    assert wire_plan([], "copper") == WirePlan((), ())
    assert wire_plan([], "copper").order_m == 0


@pytest.mark.parametrize(
    ("changes", "code"), [({"ratio": 2}, "wire_ratio"), ({"stocked": (0.0,)}, "wire_gauge")]
)
def test_what_holds_for_all_branches_is_refused_at_once(changes: dict[str, Any], code: str):
    with pytest.raises(OutOfRange) as refused:
        wire_plan([], "copper", **changes)
    assert refused.value.reason.code == code
    with pytest.raises(OutOfRange, match="wire_metal"):
        wire_plan([], "steel")


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(0.5, 40), st.floats(1, 900), st.sampled_from(["", "a"])), max_size=8))
def test_every_branch_is_wired_once_or_left_out_with_a_reason(rows: list[tuple[float, float, str]]):
    given_rows = [
        ToWire(f"B{n}", length, mm, parent=parent, height_mm=float(n))
        for n, (mm, length, parent) in enumerate(rows)
    ]
    plan = wire_plan(given_rows, "aluminium")
    found = [label for one in plan.wired for label in one.labels] + [label for label, _ in plan.left_out]
    assert sorted(found) == sorted(row.label for row in given_rows)
