"""A figure that is opened shows a formula, and the formula with what went in gives the figure."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date

import pytest

from collection.craft import body_force, hse
from collection.craft.bending import bend_figures
from collection.craft.bending_types import BendWish
from collection.craft.figures import Step, formulas
from collection.craft.guy import guy, sling_leg, staged
from collection.craft.lifting import move_answer, pot_mass, reach_cm, usual_move
from collection.craft.wire import cut_for, gauge_for, shopping
from collection.queries.sum_words import GIVEN_WORDS, RULE_WORDS

# Rules that are a look-up, a curve or a case by case, in words; each is checked in the tests of its module.
IN_WORDS = {
    "bend_angle", "bend_load", "bend_load_radius", "bend_wood", "club_people", "force_base", "hse_filter",
    "mass_said", "mass_weighed", "niosh_a", "niosh_c", "niosh_d", "niosh_f", "niosh_h", "niosh_reach",
    "niosh_v", "wire_gauge", "wire_light", "wire_two",
}  # fmt: skip


def all_lines() -> Iterator[Step]:
    choices = [gauge_for(6, "copper"), gauge_for(10, "copper"), gauge_for(6, "copper", light=True)]
    cuts = [cut_for(((200.0, 6.0), (150.0, 6.0)), 30, choice) for choice in choices]
    for cut in cuts:
        yield from cut.lines
    for shopped in shopping(cuts, {("copper", 2.0): 3.0}):
        yield from shopped.lines
    lever = {"load_arm_mm": 50.0, "hand_arm_mm": 200.0, "people_on_lever": 2}
    asked = {"length_mm": 400.0, "drop_mm": 60.0, "group": "G01", "guy_deg": 40.0, "specific_gravity": 0.45}
    yield from bend_figures(BendWish(20, **asked, **lever)).lines  # type: ignore[arg-type]
    yield from bend_figures(BendWish(10, length_mm=400, radius_mm=200, group="G03")).lines
    yield from guy(10, 35, "copper", 1).lines
    yield sling_leg(10, 50)
    yield from (pulled.line for pulled in staged(90, date(2027, 1, 1)))
    yield from body_force.pull(10, 2, speed="moving", hours=2).lines
    yield from hse.push(10, moving=True).lines
    yield from pot_mass(height_cm=65).lines
    yield from pot_mass(weighed_kg=7).lines
    yield from pot_mass(said_kg=7).lines
    yield reach_cm(30, 20)
    for rule in move_answer(usual_move(pot_mass(weighed_kg=15), width_cm=35)).rules:
        yield from rule.lines


LINES = tuple(all_lines())


def worked_out(line: Step) -> float:
    """The formula's own text with what went in; angles are in degrees where their name says so."""
    turn = math.radians if "deg" in line.formula.formula else float
    names: dict[str, object] = {
        "sin": lambda a: math.sin(turn(a)),
        "cos": lambda a: math.cos(turn(a)),
        "tan": lambda a: math.tan(turn(a)),
        "sqrt": math.sqrt,
        "pi": math.pi,
        "max": max,
    }
    return float(eval(line.formula.formula, {"__builtins__": {}}, names | dict(line.given)))


def test_every_rule_is_among_the_lines():
    assert {line.rule for line in LINES} == set(formulas())


@pytest.mark.parametrize("rule", sorted(set(formulas()) - IN_WORDS))
def test_the_formula_shown_gives_the_figure_shown(rule: str):
    lines = [line for line in LINES if line.rule == rule]
    for line in lines:
        assert worked_out(line) == pytest.approx(line.value, rel=1e-9)


def test_every_rule_and_everything_that_goes_in_has_a_name():
    assert set(RULE_WORDS) == set(formulas())
    assert {name for line in LINES for name, _ in line.given} == set(GIVEN_WORDS)
    assert len(set(map(str, RULE_WORDS.values()))) == len(RULE_WORDS)


def test_every_line_says_how_far_to_trust_it():
    assert all(line.label and line.source for line in LINES)
