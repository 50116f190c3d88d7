"""Every code of the craft's figures can be said in short plain sentences."""

from __future__ import annotations

from datetime import date

import pytest

from collection.craft.niosh import OUT_OF_SCOPE, Multipliers
from collection.craft.reasons import Reason, Value
from collection.queries.craft_sentences import BEYOND, CRAFT_SENTENCES, NOT_COVERED
from collection.queries.sentences import say

RANGE: dict[str, Value] = {"field": "length_mm", "given": 3.0, "low": 1.0, "high": 2.0}
SAID: dict[str, dict[str, Value]] = {
    "size_above_zero": {"field": "length_mm", "given": -3.0},
    "wire_anchor": RANGE,
    "wire_angle": RANGE,
    "wire_angle_unusual": {"angle_deg": 65.0, "low": 30.0, "high": 60.0},
    "wire_branch": RANGE,
    "wire_gauge": RANGE,
    "wire_height": RANGE,
    "wire_light_twice": {"gauge_mm": 2.5, "full_mm": 3.0},
    "wire_metal": {"given": "steel"},
    "wire_no_lighter": {"gauge_mm": 1.0},
    "wire_no_size": {"label": "B2"},
    "wire_none_holds": {"wanted_mm": 3.6, "thickest_mm": 3.0, "metal": "copper"},
    "wire_number": {"given": "99", "system": "SWG"},
    "wire_offcut": RANGE,
    "wire_pair": {"given": 3},
    "wire_pair_unlike": {"thick_mm": 6.0, "thin_mm": 3.0},
    "wire_ratio": RANGE,
    "wire_stock": RANGE,
    "wire_tail": RANGE,
    "wire_two_parallel": {"wanted_mm": 3.3, "gauge_mm": 3.0, "as_stiff_as_mm": 3.57},
}
SAID |= {
    "bend_arms_missing": {},
    "bend_beyond_hands": {"force_n": 387.2},
    "bend_diameter": RANGE,
    "bend_drop": {"given": 0.9, "high": 0.8106},
    "bend_expert_leads": {},
    "bend_large": {"load": 1.3, "linear_to": 0.5},
    "bend_length_missing": {},
    "bend_lever_half": {},
    "bend_lever_people": {"given": 3},
    "bend_load": {"given": 11.0, "high": 10.0},
    "bend_no_length": {},
    "bend_no_shape": {},
    "bend_radius": {"given": 5.0, "low": 15.0},
    "bend_ranks_only": {},
    "bend_size": RANGE,
    "bend_stubby": {"times": 5.0, "least_mm": 150.0},
    "bend_tightness": {"given": 5.0, "high": 4.45},
    "bend_wood_named": {"wood": "eastern redcedar", "label": "from memory"},
    "bend_wood_not_listed": {},
    "crew_force": {"force_n": 120.0, "people": 2},
    "crew_method": {"people": 2},
    "force_action": {"given": "fly"},
    "force_hours": {"given": 9.0},
    "force_people": {"given": 4, "high": 3},
    "guy_angle": RANGE,
    "guy_days": {"days": 400, "high": 365},
    "guy_look_bite": {},
    "guy_look_gale": {"gale": date(2027, 3, 1)},
    "guy_look_growth": {"days": 14},
    "guy_stages": RANGE,
    "guy_stretches": {"tension_n": 300.0, "stretches_n": 54.2, "gauge_mm": 1.0},
    "heavy_angle": {"angle_deg": 50.0, "diameter_mm": 14.0},
    "heavy_cut": {},
    "heavy_hands": {"force_n": 120.0},
    "heavy_thick": {"diameter_mm": 30.0, "limit_mm": 20.0},
    "heavy_tool": {},
    "wood_density": RANGE,
    "wood_spread": {"given": 0.6},
    "wood_unknown": {"given": "oak"},
    "club_steps": {"one_kg": 20.0, "two_kg": 10.0, "aid_kg": 40.0},
    "hse_column": {"given": "club"},
    "hse_push_far": {"distance_m": 25.0, "most_m": 20.0},
    "hse_zone": {"given": "knee, close"},
    "lift_carry": RANGE,
    "lift_club": {"people": 2},
    "lift_club_aid": {"aid_kg": 40.0},
    "lift_coupling": {"given": "firm"},
    "lift_first_step": {"mass_kg": 22.0, "groups": 3},
    "lift_hands": RANGE,
    "lift_hours": {"given": 9.0},
    "lift_hse": {"people": 2, "together_kg": 21.3},
    "lift_hse_aid": {"together_kg": 24.0},
    "lift_hse_far": {"carry_m": 15.0, "most_m": 10.0},
    "lift_load": RANGE,
    "lift_niosh": {"people": 2, "index": 1.2},
    "lift_niosh_aid": {"index": 3.1},
    "lift_often": RANGE,
    "lift_parts": {},
    "lift_ranks_only": {},
    "lift_scope": {"given": "rain"},
    "lift_together": {"per_min": 16.0},
    "lift_twist": RANGE,
    "lift_width": RANGE,
    "lift_with_aid": {"people": 2},
    "mass_range": RANGE,
    "mass_unknown": {},
    "niosh_beyond": {"factor": "h", "point": "origin"},
    "niosh_outside": {"what": "temperature"},
    "team_none": {},
    "team_of_four": {"given": 4},
    "team_too_many": {"given": 5},
}


def test_every_code_is_in_this_list():
    assert set(SAID) == set(CRAFT_SENTENCES)


@pytest.mark.parametrize("code", SAID)
def test_each_is_said_in_short_plain_sentences(code: str):
    said = say(Reason.of(code, **SAID[code]))
    assert said[0].isupper()
    assert said.endswith(".")
    assert "%(" not in said
    assert "!" not in said
    assert all(len(sentence.split()) <= 20 for sentence in said.split(". "))


@pytest.mark.parametrize("people", [1, 2])
@pytest.mark.parametrize("code", ["lift_club", "lift_hse", "lift_niosh"])
def test_one_person_and_more_are_told_apart(code: str, people: int):
    said = say(Reason.of(code, **(SAID[code] | {"people": people})))
    assert ("2 people" in said) == (people == 2)


def test_everything_out_of_scope_and_every_factor_has_its_words():
    assert set(NOT_COVERED) == set(OUT_OF_SCOPE)
    for what in OUT_OF_SCOPE:
        assert len(say(Reason.of("niosh_outside", what=what)).split()) <= 20
    assert set(BEYOND) == set(Multipliers.__slots__)
    assert all(say(Reason.of("niosh_beyond", factor=name)).endswith(".") for name in BEYOND)


def test_no_figure_is_called_safe():
    assert [code for code in SAID if "safe" in say(Reason.of(code, **SAID[code])).lower()] == []
