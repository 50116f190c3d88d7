"""How many people move a tree, which rule decided, and what is refused."""

from __future__ import annotations

import math
from typing import Any

import pytest

from collection.craft import hse
from collection.craft.figures import OutOfRange
from collection.craft.lifting import (
    ClubRule,
    Move,
    MoveAnswer,
    coupling_of,
    move_answer,
    niosh_lift,
    pot_mass,
    reach_cm,
    usual_move,
)
from collection.craft.niosh import Hands, LiftTask, averaged_per_min, duration_of, lifting_hours
from collection.craft.quantities import guessed_mass_kg


def move(kg: float = 10, **changes: Any) -> Move:
    given = {
        "mass": pot_mass(weighed_kg=kg),
        "origin": Hands(30, 75),
        "destination": Hands(30, 100),
    } | changes
    return Move(**given)


def answer(kg: float = 10, **changes: Any) -> MoveAnswer:
    return move_answer(move(kg, **changes))


def people(found: MoveAnswer) -> dict[str, Any]:
    return {rule.rule: (rule.people, rule.aid) for rule in found.rules}


def test_a_light_tree_at_the_bench_is_moved_by_one_and_all_rules_agree():
    found = answer(8)
    assert (found.people, found.aid, found.decided_by) == (1, False, ("niosh", "hse", "club"))
    assert [reason.code for reason in found.reasons] == ["lift_ranks_only"]


def test_the_equation_can_be_the_strictest():
    # 12 kg from a low shelf: 23 x 25/40 x .865 x .9325 x .95 = 11.0 kg for one; two at 2/3 have 14.7.
    found = answer(12, origin=Hands(40, 30), destination=Hands(40, 70))
    assert people(found) == {"niosh": (2, False), "hse": (1, False), "club": (1, False)}
    assert (found.people, found.aid, found.decided_by) == (2, False, ("niosh",))


def test_twelve_kilograms_from_the_ground_want_an_aid():
    # Below the shin the filter is 7 kg for one, 9.3 for two, 10.5 for three.
    found = answer(12, origin=Hands(40, 20), destination=Hands(40, 70))
    assert people(found) == {"niosh": (2, False), "hse": (None, True), "club": (1, False)}
    assert (found.people, found.aid, found.decided_by) == (2, True, ("hse",))


def test_the_club_can_be_the_strictest():
    found = move_answer(move(8), ClubRule(one_kg=5, two_kg=7, aid_kg=9))
    assert (found.people, found.aid, found.decided_by) == (3, False, ("club",))
    over = move_answer(move(9.5), ClubRule(one_kg=5, two_kg=7, aid_kg=9))
    assert (over.people, over.aid, over.decided_by) == (3, True, ("club",))


@pytest.mark.parametrize(
    ("kg", "asked"),
    [
        (15, (1, False)),
        (15.1, (2, False)),
        (30, (2, False)),
        (30.1, (3, False)),
        (40, (3, False)),
        (40.1, (3, True)),
    ],
)
def test_the_clubs_own_steps(kg: float, asked: tuple[int, bool]):
    assert people(answer(kg))["club"] == asked


def test_the_height_it_moves_through_counts():
    lift = niosh_lift(move(10, origin=Hands(30, 20), destination=Hands(30, 90)))
    assert lift.task.d_cm == 70
    assert lift.multipliers is not None
    assert lift.multipliers.d == pytest.approx(0.82 + 4.5 / 70)


def test_the_filter_figures_can_be_the_strictest():
    # From knuckle to elbow 16 kg is one person's filter; above the shoulder it is 7.
    found = answer(9, destination=Hands(30, 150))
    assert people(found) == {"niosh": (1, False), "hse": (2, False), "club": (1, False)}
    assert (found.people, found.decided_by) == (2, ("hse",))


def test_an_aid_takes_two_people_at_least_and_says_so():
    found = answer(45)
    assert (found.people, found.aid) == (3, True)  # the club's rule names three
    assert set(found.decided_by) == {"niosh", "hse", "club"}
    far = answer(5, carry_m=30)
    assert (far.people, far.aid, far.decided_by) == (2, True, ("hse",))
    assert [reason.code for reason in far.reasons] == ["lift_with_aid", "lift_ranks_only"]


def test_where_the_equation_has_no_answer_the_others_decide_and_it_says_why():
    found = answer(8, outside=frozenset({"slippery_floor"}))
    assert people(found) == {"niosh": (None, False), "hse": (1, False), "club": (1, False)}
    niosh = found.rules[0]
    assert [(reason.code, reason.values["what"]) for reason in niosh.reasons] == [
        ("niosh_outside", "slippery_floor")
    ]
    assert found.decided_by == ("hse", "club")


def test_where_the_equation_leaves_nothing_to_lift_an_aid_is_wanted():
    # A factor of nought recommends no mass at all: no index, and no milder answer than one step nearer.
    found = answer(8, origin=Hands(64, 75))
    assert people(found)["niosh"] == (None, True)
    assert [reason.code for reason in found.rules[0].reasons] == ["niosh_beyond"]
    assert (found.aid, found.decided_by) == (True, ("niosh",))


def test_the_smaller_of_origin_and_destination_counts():
    # A pot is set down with care, so both ends count: reach 50 at the end halves the weight.
    lift = niosh_lift(move(10, destination=Hands(50, 100)))
    assert lift.governs == "destination"
    assert lift.rwl_kg == pytest.approx(23 * 0.5 * 0.925)
    assert answer(10, destination=Hands(51, 100)).rules[1].lines[0].value == 10


def test_every_rule_opens_to_its_lines():
    found = answer(20)
    rules = {rule.rule: [line.rule for line in rule.lines] for rule in found.rules}
    assert rules["niosh"] == [
        "niosh_h", "niosh_v", "niosh_d", "niosh_a", "niosh_f", "niosh_c", "niosh_rwl", "niosh_li",
        "niosh_people",
    ]  # fmt: skip
    assert rules["hse"] == ["hse_filter", "hse_adjusted", "team_share"]
    assert rules["club"] == ["club_people"]
    assert all(line.label and line.source for rule in found.rules for line in rule.lines)


def test_a_guessed_mass_is_told_and_a_standards_first_step_too():
    guessed = move_answer(Move(pot_mass(pot_litres=4, height_cm=30), Hands(30, 75), Hands(30, 90)))
    assert [reason.code for reason in guessed.reasons] == ["labour_mass_guessed", "lift_ranks_only"]
    one = move_answer(move(16, column="men", origin=Hands(25, 75), destination=Hands(25, 75)), ClubRule(20))
    assert one.people == 1
    assert one.reasons[0].values == {"mass_kg": 16, "groups": 1}


# --- mass -------------------------------------------------------------------------------------


def test_the_scales_win_over_a_guess():
    found = pot_mass(weighed_kg=12, pot_litres=20, height_cm=70)
    assert (found.kg, found.guessed, found.lines[0].label) == (12, False, "measured")


@pytest.mark.parametrize(("litres", "height"), [(20, 70), (3, 25), (8, None)])
def test_a_guess_is_the_one_the_estimates_use(litres: float, height: float | None):
    assert pot_mass(pot_litres=litres, height_cm=height).kg == pytest.approx(guessed_mass_kg(litres, height))


def test_a_height_alone_gives_the_pot_too():
    found = pot_mass(height_cm=70)
    assert found.kg == pytest.approx(41.5)
    assert next(line.rule for line in found.lines) == "mass_litres"


def test_a_reach_is_guessed_from_the_pots_width():
    # NIOSH manual p. 8, a public specification that quotes it.
    assert (reach_cm(40, 75).value, reach_cm(40, 25).value, reach_cm(40, 24).value) == (40, 40, 45)
    assert reach_cm(40, 75).label == "published, second hand"


def test_a_pot_of_more_than_40_cm_or_of_unknown_width_is_held_poorly():
    assert [coupling_of(width) for width in (30, 40, 41, None)] == ["fair", "fair", "poor", "poor"]


def test_the_usual_move_goes_to_the_turntable_from_bench_or_ground():
    bench, ground = (usual_move(pot_mass(weighed_kg=9), width_cm=30, ground=low) for low in (False, True))
    assert (bench.origin, bench.destination) == (Hands(35, 75), Hands(35, 90))
    assert (ground.origin, ground.destination, ground.coupling) == (Hands(40, 20), Hands(35, 90), "fair")
    unknown = usual_move(pot_mass(weighed_kg=9))
    assert (unknown.origin.h_cm, unknown.coupling) == (40, "poor")
    assert move_answer(bench).people == 1
    assert move_answer(ground).people == 2
    # A wide pot on the ground is reached for at 45 cm, which is not yet full stretch: 7 kg for one.
    wide = move_answer(usual_move(pot_mass(weighed_kg=7), width_cm=40, ground=True))
    assert {rule.rule: rule.people for rule in wide.rules} == {"niosh": 1, "hse": 1, "club": 1}


# --- zones ------------------------------------------------------------------------------------


def test_heights_fall_into_the_five_zones():
    heights = (0, 24.9, 25, 74.9, 75, 104.9, 105, 139.9, 140, 200)
    assert [hse.zone_of(v) for v in heights] == [zone for zone in hse.ZONES for _ in (1, 2)]
    assert (hse.reach_of(50), hse.reach_of(50.1)) == ("close", "extended")


def test_twist_and_frequency_come_off_the_filter_figure():
    one = hse.one_person("knuckle_to_elbow", "close", a_deg=60, per_min=1)
    assert one.kg == pytest.approx(16 * 0.9 * 0.7)


# --- refused ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "code"),
    [
        (lambda: pot_mass(), "mass_unknown"),
        (lambda: pot_mass(weighed_kg=0), "mass_range"),
        (lambda: pot_mass(weighed_kg=math.inf), "mass_range"),
        (lambda: pot_mass(pot_litres=-1), "mass_range"),
        (lambda: pot_mass(height_cm=0), "mass_range"),
        (lambda: Hands(-1, 75), "lift_hands"),
        (lambda: Hands(30, math.nan), "lift_hands"),
        (lambda: Hands(30, 75, 181), "lift_twist"),
        (lambda: LiftTask(0, Hands(30, 75), 10), "lift_load"),
        (lambda: LiftTask(10, Hands(30, 75), -1), "lift_hands"),
        (lambda: LiftTask(10, Hands(30, 75), 10, per_min=-1), "lift_often"),
        (lambda: LiftTask(10, Hands(30, 75), 10, hours=0), "lift_hours"),
        (lambda: LiftTask(10, Hands(30, 75), 10, coupling="firm"), "lift_coupling"),
        (lambda: LiftTask(10, Hands(30, 75), 10, outside=frozenset({"rain"})), "lift_scope"),
        (lambda: duration_of(9), "lift_hours"),
        (lambda: lifting_hours(0, 10, 10), "lift_hours"),
        (lambda: averaged_per_min(5, 16), "lift_hours"),
        (lambda: reach_cm(0, 75), "lift_width"),
        (lambda: move(carry_m=-1), "lift_carry"),
        (lambda: answer(column="club"), "hse_column"),
        (lambda: hse.one_person("knee", "close"), "hse_zone"),
        (lambda: hse.push(0, moving=True), "size_above_zero"),
        (lambda: hse.push(9, moving=True, column="club"), "hse_column"),
        (lambda: ClubRule(one_kg=20, two_kg=10), "club_steps"),
    ],
)
def test_nonsense_is_refused_with_a_code(asked: Any, code: str):
    with pytest.raises(OutOfRange) as refused:
        asked()
    assert refused.value.reason.code == code
