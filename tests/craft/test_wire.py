"""Which wire, how much of it, and what is refused."""

from __future__ import annotations

import math
from typing import Any

import pytest

from collection.craft.figures import OutOfRange
from collection.craft.wire import Winding, WireCut, coil, cut_for, gauge_for, shopping
from collection.craft.wire_metal import awg_mm, grams_per_metre, metal, swg_mm


def rules(found: Any) -> list[str]:
    return [line.rule for line in found.lines]


def codes(found: Any) -> list[str]:
    return [reason.code for reason in found.reasons]


def test_the_gauge_is_rounded_up_to_the_rack():
    # 6 mm x 0.45 = 2.7, so 3.0; 6 mm x 0.33 = 1.98, so 2.0.
    assert gauge_for(6, "aluminium").gauge_mm == 3.0
    assert gauge_for(6, "copper").gauge_mm == 2.0
    assert gauge_for(6, "copper", stocked=(1.5, 2.5)).gauge_mm == 2.5
    assert gauge_for(6, "copper", ratio=0.5).gauge_mm == 3.0


def test_a_gauge_that_fits_exactly_is_taken():
    assert gauge_for(2 / 0.45, "aluminium").gauge_mm == 2.0


def test_without_a_gauge_thick_enough_two_lie_side_by_side():
    # 10 mm x 0.33 = 3.3 > 3.0; two of 2.5 are as stiff as one of 2.97, two of 3.0 as one of 3.57.
    found = gauge_for(10, "copper")
    assert (found.gauge_mm, found.wires) == (3.0, 2)
    assert codes(found) == ["wire_two_parallel"]
    assert found.reasons[0].values["as_stiff_as_mm"] == pytest.approx(3 * 2**0.25)


def test_where_two_of_the_thickest_would_be_weak_no_wire_is_named():
    # 11 mm x 0.33 = 3.63 > 3.57.
    with pytest.raises(OutOfRange) as refused:
        gauge_for(11, "copper")
    assert refused.value.reason.code == "wire_none_holds"
    assert refused.value.reason.values["thickest_mm"] == 3.0


def test_thin_bark_gets_one_gauge_lighter_twice():
    found = gauge_for(6, "aluminium", light=True)
    assert (found.gauge_mm, found.wires, codes(found)) == (2.5, 2, ["wire_light_twice"])
    only = gauge_for(2, "aluminium", light=True)
    assert (only.gauge_mm, only.wires, codes(only)) == (1.0, 1, ["wire_no_lighter"])


def cut(**changes: Any) -> WireCut:
    given = {"branches": ((200.0, 6.0),), "parent_mm": 30.0, "choice": gauge_for(6, "copper")} | changes
    return cut_for(**given)


def test_a_branch_alone_has_one_tail_and_an_anchor():
    # 200 / cos 45 = 282.84; 1.5 x pi x 32 = 150.80; one tail of 30: 463.64 mm, with a tenth 0.510 m.
    found = cut()
    assert found.cut_mm == pytest.approx(200 * math.sqrt(2) + 1.5 * math.pi * 32 + 30)
    assert found.order_m == pytest.approx(found.cut_mm * 1.1 / 1000)
    assert found.grams == pytest.approx(found.order_m * 28.15, abs=0.01)


def test_a_pair_shares_one_anchor_and_has_two_tails():
    found = cut(branches=((200.0, 6.0), (150.0, 5.0)))
    assert found.cut_mm == pytest.approx(350 * math.sqrt(2) + 1.5 * math.pi * 32 + 60)
    assert codes(found) == []


def test_two_wires_need_twice_the_length():
    two = cut(choice=gauge_for(10, "copper"), branches=((200.0, 10.0),))
    one = (200 * math.sqrt(2) + 1.5 * math.pi * 33 + 30) * 2
    assert two.cut_mm == pytest.approx(one)
    assert codes(two) == ["wire_two_parallel"]


def test_a_pair_of_unlike_thickness_is_told():
    assert codes(cut(branches=((200.0, 6.0), (150.0, 3.0)))) == ["wire_pair_unlike"]


def test_an_unusual_angle_is_told_and_an_impossible_one_refused():
    assert codes(cut(winding=Winding(angle_deg=65))) == ["wire_angle_unusual"]
    for angle in (10, 80, 90, -45, math.nan):
        with pytest.raises(OutOfRange) as refused:
            Winding(angle_deg=angle)
        assert refused.value.reason.code == "wire_angle"


def test_every_line_of_the_sum_is_there_with_its_label_and_source():
    found = cut()
    asked = ["wire_wanted", "wire_gauge", "wire_angle", "wire_coil", "wire_turns", "wire_pitch"]
    assert rules(found) == [*asked, "wire_anchor", "wire_tails", "wire_cut", "wire_order", "wire_mass"]
    assert all(line.label and line.source and line.formula.formula for line in found.lines)
    by_rule = {line.rule: line for line in found.lines}
    assert dict(by_rule["wire_coil"].given) == {"length_mm": 200.0, "angle_deg": 45.0}
    assert by_rule["wire_coil"].label == "published"
    assert by_rule["wire_anchor"].label == "assumption"
    assert by_rule["wire_mass"].value == found.grams


def test_shopping_lists_what_the_rack_is_short_of_thin_before_thick():
    cuts = [cut(), cut(), cut(choice=gauge_for(4, "aluminium"), branches=((300.0, 4.0),))]
    have = {("copper", 2.0): 10.0, ("aluminium", 2.0): 1000.0}
    aluminium, copper = shopping(cuts, have)
    assert (aluminium.metal, aluminium.short_g, aluminium.short_m) == ("aluminium", 0, 0)
    assert copper.needed_m == pytest.approx(2 * cuts[0].order_m)
    assert copper.short_g == pytest.approx(copper.needed_g - 10)
    assert copper.short_m == pytest.approx(copper.short_g / grams_per_metre(2, metal("copper")))


@pytest.mark.parametrize(
    ("ask", "code"),
    [
        (lambda: metal("steel"), "wire_metal"),
        (lambda: grams_per_metre(0, metal("copper")), "wire_gauge"),
        (lambda: grams_per_metre(math.nan, metal("copper")), "wire_gauge"),
        (lambda: awg_mm("x"), "wire_number"),
        (lambda: awg_mm("41"), "wire_number"),
        (lambda: awg_mm("5/0"), "wire_number"),
        (lambda: swg_mm("99"), "wire_number"),
        (lambda: gauge_for(0, "copper"), "wire_branch"),
        (lambda: gauge_for(6, "copper", ratio=0.9), "wire_ratio"),
        (lambda: gauge_for(6, "copper", stocked=(20.0,)), "wire_gauge"),
        (lambda: coil(0, 6, 2), "wire_branch"),
        (lambda: coil(math.inf, 6, 2), "wire_branch"),
        (lambda: cut(branches=()), "wire_pair"),
        (lambda: cut(branches=((200.0, 6.0),) * 3), "wire_pair"),
        (lambda: Winding(anchor_turns=0), "wire_anchor"),
        (lambda: Winding(tail_mm=-1), "wire_tail"),
        (lambda: Winding(offcut=2), "wire_offcut"),
        (lambda: shopping([cut()], {("copper", 2.0): -1}), "wire_stock"),
    ],
)
def test_nonsense_is_refused_with_a_code(ask: Any, code: str):
    with pytest.raises(OutOfRange) as refused:
        ask()
    assert refused.value.reason.code == code


def test_a_metal_has_only_the_constants_it_has():
    with pytest.raises(ValueError, match="no constants"):
        metal("copper", "1350")
