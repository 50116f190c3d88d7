"""Every reason of the labour sum can be said in a short sentence."""

from __future__ import annotations

import ast

import pytest

from collection.craft.quantities import KINDS
from collection.craft.reasons import Reason, Value
from collection.queries.sentences import KIND_NAMES, say

SAID: dict[str, dict[str, Value]] = {
    "crew_bend": {"diameter_mm": 30.0, "limit_mm": 20.0, "people": 2},
    "crew_carving": {"people": 2},
    "crew_mass": {"mass_kg": 22.0, "guessed": True, "people": 2},
    "crew_novice_primary": {"people": 2},
    "crew_steps": {"people": 2},
    "crew_table": {"task": "REPOT", "people": 3},
    "crew_tool": {"people": 2},
    "crew_trunk": {"diameter_mm": 30.0, "people": 3},
    "crew_wire": {"wire_mm": 5.0, "people": 2},
    "labour_bench_lift": {"mass_kg": 22.0},
    "labour_carries_over": {"sittings": 3},
    "labour_conditions_capped": {"product": 3.45, "cap": 2.5},
    "labour_default_counts": {"kinds": ("fine", "secondary")},
    "labour_lifting_aid": {"mass_kg": 41.5, "must": True},
    "labour_mass_guessed": {"mass_kg": 41.5},
    "labour_metres_only": {},
    "labour_recount": {"branches_min": 80.0, "metres_min": 160.0},
    "labour_split_total": {"branches": 136},
    "labour_two_sides": {"branches_min": 80.0, "metres_min": 90.0},
    "labour_watering_not_counted": {},
    "labour_wire_elsewhere": {"kinds": ("wire_thick_m",)},
}


def _is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def test_every_code_the_labour_modules_use_is_in_this_list(root):
    sources = [path.read_text("utf-8") for path in (root / "collection" / "craft").glob("labour*.py")]
    texts = [node.value for source in sources for node in ast.walk(ast.parse(source)) if _is_text(node)]
    used = {text for text in texts if text.startswith(("crew_", "labour_")) and " " not in text}
    assert used == set(SAID)


@pytest.mark.parametrize("code", SAID)
def test_each_reason_is_one_short_plain_sentence(code: str):
    sentence = say(Reason.of(code, **SAID[code]))
    assert sentence[0].isupper()
    assert sentence.endswith(".")
    assert "%(" not in sentence
    assert "!" not in sentence
    assert len(sentence.split()) <= 20


def test_guessed_and_weighed_trees_are_told_apart():
    weighed = Reason.of("crew_mass", mass_kg=22.0, guessed=False, people=2)
    assert say(weighed) == "The tree and pot weigh 22 kg, so 2 people lift it."
    assert "guess" in say(Reason.of("crew_mass", **SAID["crew_mass"]))


def test_an_aid_is_a_choice_up_to_40_kg_and_a_must_above():
    must, choice = (say(Reason.of("labour_lifting_aid", mass_kg=35.0, must=must)) for must in (True, False))
    assert "must" in must
    assert "three people" in choice


def test_every_count_that_can_be_filled_in_has_a_name():
    filled = {kind for kinds in KINDS.values() for kind in kinds} - {"trees", "bends", "pots"}
    assert filled | {"bend_mm", "pot_litres"} <= set(KIND_NAMES) | {
        "cuts_small",
        "cuts_large",
        "grafts_thread",
    }
