"""What is said about a bend: figures, why it is heavy, how many people, and what is left out."""

from __future__ import annotations

import math
from typing import Any

import pytest

from collection.craft.beam import curve_of_drop, inertia_mm4
from collection.craft.bend_methods import CREW, METHODS
from collection.craft.bending import bend_figures
from collection.craft.bending_types import BendFigures, BendWish
from collection.craft.body_force import duration_factor, pull
from collection.craft.figures import OutOfRange
from collection.craft.green_wood import spread_95


def bend(**changes: Any) -> BendFigures:
    given = {"diameter_mm": 14.0, "length_mm": 400.0, "drop_mm": 60.0, "group": "G01"} | changes
    return bend_figures(BendWish(**given))


def codes(reasons: Any) -> list[str]:
    return [reason.code for reason in reasons]


def test_a_force_is_worked_out_from_drop_stiffness_and_length():
    # a of the curve at 60/400, red pine 8 800 MPa and a tenth more without shear.
    found = bend()
    load = curve_of_drop(0.15).load
    likely = load * 8800 * 1.1 * inertia_mm4(14) / 400**2
    assert found.force_n is not None
    assert found.force_n.likely == pytest.approx(likely)
    assert (found.force_n.low, found.force_n.high) == pytest.approx(spread_95(likely, 0.22))
    assert found.hand_n == found.force_n
    assert found.wood is not None
    assert found.wood.name == "red pine"


def test_every_line_is_there_in_order_with_label_and_source():
    found = bend(load_arm_mm=50, hand_arm_mm=200, people_on_lever=2, guy_deg=45, specific_gravity=0.45)
    assert [line.rule for line in found.lines] == [
        "bend_load", "bend_linear", "bend_radius", "bend_strain", "bend_angle", "bend_wood",
        "bend_by_density", "bend_shear_free", "bend_inertia", "bend_force", "bend_spread", "bend_lever",
        "bend_shared", "force_base", "force_cap", "force_ratio", "guy_tension", "guy_push",
    ]  # fmt: skip
    assert all(line.label and line.source for line in found.lines)
    by_rule = {line.rule: line for line in found.lines}
    assert by_rule["bend_wood"].source.startswith("USDA")
    assert by_rule["bend_by_density"].value == pytest.approx(8800 * 0.45 / 0.41)
    assert by_rule["bend_linear"].value == pytest.approx(3 * 60 / 400)


def test_a_bend_always_says_that_it_only_ranks():
    for found in (bend(), bend(length_mm=None, drop_mm=None), bend(group=None), bend(group="G14")):
        assert codes(found.reasons)[-1] == "bend_ranks_only"


def test_a_large_bend_says_that_the_small_formula_no_longer_holds():
    assert "bend_large" not in codes(bend(drop_mm=60).reasons)
    large = bend(drop_mm=200)
    assert "bend_large" in codes(large.reasons)
    linear = next(line.value for line in large.lines if line.rule == "bend_linear")
    used = next(line.value for line in large.lines if line.rule == "bend_load")
    assert used > linear  # to get that far takes more than the small formula says


def test_the_stricter_of_drop_and_radius_decides():
    by_drop = bend(drop_mm=200)
    assert by_drop.radius_mm is not None
    gentle, tight = bend(drop_mm=200, radius_mm=5000), bend(drop_mm=200, radius_mm=100)
    assert gentle.radius_mm == pytest.approx(by_drop.radius_mm)
    assert gentle.force_n == by_drop.force_n
    assert tight.radius_mm == 100
    assert tight.strain == pytest.approx(14 / 200)
    assert tight.force_n is not None
    assert by_drop.force_n is not None
    assert tight.force_n.likely > by_drop.force_n.likely


def test_a_radius_alone_gives_strain_and_force():
    found = bend(drop_mm=None, radius_mm=200)
    assert found.strain == pytest.approx(0.035)
    assert found.force_n is not None
    assert [line.rule for line in found.lines][:2] == ["bend_load_radius", "bend_strain"]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"length_mm": None, "drop_mm": None}, "bend_no_length"),
        ({"drop_mm": None}, "bend_no_shape"),
        ({"length_mm": 60, "drop_mm": 20}, "bend_stubby"),
        ({"drop_mm": 330}, "bend_drop"),
        ({"drop_mm": None, "radius_mm": 80}, "bend_tightness"),
        ({"group": "G11"}, "bend_wood_not_listed"),
        ({"group": None}, "bend_wood_not_listed"),
    ],
)
def test_a_force_that_cannot_be_had_is_left_out_with_its_reason(changes: dict[str, Any], code: str):
    found = bend(**changes)
    assert found.force_n is None
    assert found.hand_n is None
    assert found.pull is None
    assert code in codes(found.reasons)


def test_strain_is_known_where_force_is_not():
    found = bend(drop_mm=None, radius_mm=80)
    assert found.strain == pytest.approx(14 / 160)
    assert found.band == "wire_and_wrap"


def test_a_screw_takes_the_force_off_the_hand():
    found = bend(method="Branch jack or screw clamp")
    assert found.force_n is not None
    assert found.hand_n is None
    assert "bend_arms_missing" in codes(found.reasons)


# --- heavy ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"diameter_mm": 20, "drop_mm": 2}, "heavy_thick"),
        ({"diameter_mm": 12, "group": "G07", "drop_mm": 2}, "heavy_thick"),
        ({"diameter_mm": 10, "group": None, "brittle": True, "drop_mm": 2}, "heavy_thick"),
        ({"diameter_mm": 20, "group": None, "drop_mm": 2}, "heavy_thick"),
        ({"angle_deg": 46, "drop_mm": 2}, "heavy_angle"),
        ({"method": "Split", "drop_mm": 2}, "heavy_cut"),
        ({"method": "Lever bar", "drop_mm": 2}, "heavy_tool"),
        ({"load_arm_mm": 10, "hand_arm_mm": 500, "drop_mm": 2}, "heavy_tool"),
        ({"diameter_mm": 18, "drop_mm": 60}, "heavy_hands"),
    ],
)
def test_each_trigger_alone_makes_a_bend_heavy(changes: dict[str, Any], why: str):
    found = bend(**changes)
    assert codes(found.heavy_for) == [why]
    assert found.heavy
    assert found.crew.people >= 2


def test_a_thin_gentle_bend_is_not_heavy_and_takes_one():
    found = bend(diameter_mm=8, drop_mm=20)
    assert (found.heavy, found.heavy_for, found.crew.people, found.crew.reasons) == (False, (), 1, ())


def test_an_angle_at_the_limit_or_on_thin_wood_is_not_heavy():
    assert not bend(angle_deg=45, drop_mm=2).heavy
    assert not bend(angle_deg=90, diameter_mm=12, drop_mm=2).heavy


# --- people -----------------------------------------------------------------------------------


def test_the_largest_crew_that_any_trigger_asks_for_with_every_trigger_named():
    found = bend(
        diameter_mm=55,
        length_mm=900,
        drop_mm=20,
        method="Lever bar",
        circumstances=frozenset({"trunk_bend", "pot_must_be_held"}),
    )
    assert found.crew.people == 3
    assert codes(found.crew.reasons) == [
        "crew_bend", "crew_bend", "crew_trunk", "crew_tool", "crew_method", "crew_heavy",
    ]  # fmt: skip


def test_a_force_for_two_asks_for_two():
    # Two give 2/3 x 192 = 128 N and are asked for up to 0.7 of it.
    found = bend(diameter_mm=12, drop_mm=60)
    assert found.pull is not None
    assert found.hand_n is not None
    assert found.pull.force_n == found.hand_n.high
    assert found.pull.people == 1
    harder = bend(diameter_mm=14, drop_mm=60)
    assert harder.pull is not None
    assert harder.pull.people == 2
    assert "crew_force" in codes(harder.crew.reasons)
    assert codes(harder.heavy_for) == ["heavy_hands"]


def test_a_force_beyond_three_asks_for_a_lever_and_not_for_a_crowd():
    found = bend(diameter_mm=19, drop_mm=200)
    assert found.pull is not None
    assert found.pull.band == "avoided"
    assert "bend_beyond_hands" in codes(found.reasons)
    assert found.crew.people == 2
    assert "crew_force" not in codes(found.crew.reasons)


def test_a_guy_takes_a_second_person_above_25_mm():
    thin = bend(method="Guy with tourniquet or turnbuckle", diameter_mm=11, drop_mm=2)
    thick = bend(method="Guy with tourniquet or turnbuckle", diameter_mm=26, drop_mm=2)
    assert thin.crew.people == 1
    assert "crew_method" in codes(thick.crew.reasons)


def test_every_method_has_its_people():
    assert set(CREW) == set(METHODS)


def test_an_expert_leads_from_a_strain_of_one_tenth_and_wherever_wood_is_cut():
    assert bend(drop_mm=None, length_mm=None, radius_mm=70).skill == "expert"
    assert bend(method="Notch, groove or hollow", drop_mm=2).skill == "expert"
    assert bend(method="Lever bar", drop_mm=2).skill == "practised"
    assert bend(diameter_mm=8, drop_mm=2).skill == "learning"
    assert "bend_expert_leads" in codes(bend(drop_mm=None, length_mm=None, radius_mm=70).reasons)


# --- refused ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"diameter_mm": 0}, "bend_diameter"),
        ({"diameter_mm": math.nan}, "bend_diameter"),
        ({"length_mm": -1}, "bend_size"),
        ({"drop_mm": math.inf}, "bend_size"),
        ({"angle_deg": 200}, "bend_size"),
        ({"specific_gravity": 5}, "bend_size"),
        ({"specific_gravity": 1.0}, "wood_density"),
        ({"radius_mm": 7}, "bend_radius"),
        ({"length_mm": None}, "bend_length_missing"),
        ({"load_arm_mm": 100}, "bend_lever_half"),
        ({"load_arm_mm": 100, "hand_arm_mm": 300, "people_on_lever": 3}, "bend_lever_people"),
        ({"wood": "oak"}, "wood_unknown"),
        ({"circumstances": frozenset({"rain"})}, "circumstance_unknown"),
        ({"guy_deg": 5}, "guy_angle"),
    ],
)
def test_nonsense_is_refused_with_a_code(changes: dict[str, Any], code: str):
    with pytest.raises(OutOfRange) as refused:
        bend(**changes)
    assert refused.value.reason.code == code


def test_an_unknown_group_is_refused():
    with pytest.raises(ValueError, match="G99"):
        bend(group="G99")


@pytest.mark.parametrize(
    ("asked", "code"),
    [
        (lambda: pull(0), "size_above_zero"),
        (lambda: pull(10, 4), "force_people"),
        (lambda: pull(10, hours=9), "force_hours"),
        (lambda: duration_factor(0), "force_hours"),
        (lambda: pull(10, action="fly"), "force_action"),
        (lambda: pull(10, column="club"), "force_action"),
        (lambda: pull(10, speed="fast"), "force_action"),
        (lambda: pull(10, frequency=0), "force_action"),
        (lambda: spread_95(10, 0.6), "wood_spread"),
    ],
)
def test_a_pull_outside_the_table_is_refused(asked: Any, code: str):
    with pytest.raises(OutOfRange) as refused:
        asked()
    assert refused.value.reason.code == code
