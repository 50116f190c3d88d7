"""Every code of the craft's figures can be said in short plain sentences."""

from __future__ import annotations

import pytest

from collection.craft.reasons import Reason, Value
from collection.queries.craft_sentences import CRAFT_SENTENCES
from collection.queries.sentences import say

RANGE: dict[str, Value] = {"field": "length_mm", "given": 3.0, "low": 1.0, "high": 2.0}
SAID: dict[str, dict[str, Value]] = {
    "size_above_zero": {"field": "length_mm", "given": -3.0},
    "wire_anchor": RANGE,
    "wire_angle": RANGE,
    "wire_angle_unusual": {"angle_deg": 65.0, "low": 30.0, "high": 60.0},
    "wire_branch": RANGE,
    "wire_gauge": RANGE,
    "wire_light_twice": {"gauge_mm": 2.5, "full_mm": 3.0},
    "wire_metal": {"given": "steel"},
    "wire_no_lighter": {"gauge_mm": 1.0},
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


def test_no_figure_is_called_safe():
    assert [code for code in SAID if "safe" in say(Reason.of(code, **SAID[code])).lower()] == []
