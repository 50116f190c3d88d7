"""HSE filter figures, team rule, reference masses and the strictest answer against what is printed elsewhere.

Each id names a check value. published, second hand: read in pages that quote the guidance, not in itself.
None of these figures is a limit below which nothing happens; they say when to look closer and get help.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.craft import hse
from collection.craft.figures import OutOfRange
from collection.craft.lifting import Move, MoveAnswer, move_answer, pot_mass
from collection.craft.niosh import Hands
from collection.craft.reference import table
from collection.craft.teams import TEAM_SHARE, team_kg, third_helps

# --- HSE --------------------------------------------------------------------------------------


def test_HSE_01_and_HSE_02_team_shares() -> None:
    # L23, an extract read; three pages quote it. One of them says "increased by", its sum says "of".
    assert TEAM_SHARE[2] == pytest.approx(2 / 3)
    assert TEAM_SHARE[3] == pytest.approx(1 / 2)


def test_HSE_03_more_than_four_are_refused_and_four_have_no_figure() -> None:
    for people, code in ((0, "team_none"), (4, "team_of_four"), (5, "team_too_many")):
        with pytest.raises(OutOfRange) as refused:
            team_kg((25.0,) * people)
        assert refused.value.reason.code == code


def test_HSE_04_twist() -> None:
    # Complete set on one employer's procedure (published, second hand).
    assert [hse.twist_share(a) for a in (0, 45, 46, 90, 91)] == [0, 0, 0.10, 0.10, 0.20]


def test_HSE_05_and_HSE_06_how_often() -> None:
    # About 30 an hour; 1-2, 5-8 and more than 12 a minute. In the gaps the stricter one, an assumption.
    assert hse.often_share(0.5) == 0
    assert [hse.often_share(n) for n in (1, 2, 5, 8, 12.5)] == [0.30, 0.30, 0.50, 0.50, 0.80]
    assert [hse.often_share(n) for n in (0.6, 3, 9, 12)] == [0.30, 0.50, 0.80, 0.80]


@pytest.mark.parametrize(
    ("column", "moving", "newtons"),
    [("men", False, 196.1), ("women", False, 147.1), ("men", True, 98.1), ("women", True, 68.6)],
)
def test_HSE_07_and_HSE_08_push_and_pull(column: str, moving: bool, newtons: float) -> None:
    found = hse.push(100, moving=moving, column=column)
    assert found.filter_n == pytest.approx(newtons, abs=0.05)
    assert found.above == (newtons < 100)


def test_HSE_09_a_carry_of_more_than_ten_metres_asks_for_a_trolley() -> None:
    near, far = (says("hse", carry_m=metres, kg=8) for metres in (10, 10.1))
    assert (near.people, near.aid, far.people, far.aid) == (1, False, None, True)
    assert [reason.code for reason in far.reasons] == ["lift_hse_far"]


def test_HSE_10_a_push_of_more_than_twenty_metres_wants_a_closer_look() -> None:
    assert hse.push(50, moving=True, distance_m=20).reasons == ()
    assert [r.code for r in hse.push(50, moving=True, distance_m=21).reasons] == ["hse_push_far"]


# A health service's booklet and one more page; the men's column also in a textbook table (second hand).
HSE_11 = {
    "shoulder_up": (10, 5, 7, 3),
    "elbow_to_shoulder": (20, 10, 13, 7),
    "knuckle_to_elbow": (25, 15, 16, 10),
    "shin_to_knuckle": (20, 10, 13, 7),
    "below_shin": (10, 5, 7, 3),
}


@pytest.mark.parametrize("zone", HSE_11)
def test_HSE_11_filter_figures(zone: str) -> None:
    columns = [("men", "close"), ("men", "extended"), ("women", "close"), ("women", "extended")]
    found = [hse.one_person(zone, reach, column=column) for column, reach in columns]
    assert tuple(one.filter_kg for one in found) == HSE_11[zone]
    assert {one.lines[0].label for one in found} == {"published, second hand"}


@pytest.mark.parametrize(
    ("each", "together"),
    [((25, 16), 27.33), ((25, 25), 33.33), ((25, 25, 25), 37.5), ((25, 25, 16), 33.0), ((16, 16), 21.33),
     ((16, 16, 16), 24.0), ((25,), 25)],
)  # fmt: skip
def test_HSE_12_teams(each: tuple[float, ...], together: float) -> None:
    assert team_kg(each) == pytest.approx(together, abs=0.01)


kgs = st.floats(1, 60)


@settings(deadline=None)
@given(kgs, kgs, kgs)
def test_HSE_12_a_third_helps_only_who_lifts_more_than_a_third_of_the_pair(
    first: float, second: float, third: float
) -> None:
    limit = (first + second) / 3
    if abs(third - limit) > 1e-6:
        assert third_helps(first, second, third) == (third > limit)


# --- reference masses -------------------------------------------------------------------------


def test_ISO_02_reference_masses_are_second_hand_and_decide_nothing() -> None:
    # Masses in a consultancy's note, ages in a public program; the standard itself was not opened.
    rows = table("reference_mass")
    assert [float(row["mass_kg"]) for row in rows] == [25, 20, 20, 15]
    assert {row["label"] for row in rows} == {"published, second hand"}


@pytest.mark.parametrize(("kg", "groups"), [(26, 4), (22, 3), (16, 1), (15, 0)])
def test_NV_04_for_how_many_groups_a_mass_fails_the_first_step(kg: float, groups: int) -> None:
    # ISO 11228-1:2021, step 1, a consultancy's note (second hand).
    assert sum(float(row["mass_kg"]) < kg for row in table("reference_mass")) == groups


def test_FORCE_05_and_ISO_03_and_04_no_figure_that_nobody_could_read_is_shipped(root: Path) -> None:
    # Pushes of ISO 11228-2, team and one-hand factors of EN 1005-2, daily carries of ISO 11228-1:2003.
    for path in (root / "fixtures" / "reference").glob("*.csv"):
        text = path.read_text("utf-8")
        assert not any(name in text for name in ("11228-2", "1005-2", "11228-1:2003"))


# --- mass of a pot ----------------------------------------------------------------------------


def test_a_20_litre_pot_with_a_70_cm_tree_is_guessed_at_41_5_kg() -> None:
    # 28 + 10 + 3.5: derived from an assumption, no source.
    found = pot_mass(pot_litres=20, height_cm=70)
    assert (found.kg, found.guessed) == (pytest.approx(41.5), True)
    assert [line.value for line in found.lines] == pytest.approx([28, 10, 3.5, 41.5])
    assert {line.label for line in found.lines} == {"assumption"}


def test_NV_41_a_tree_of_40_kg_wants_an_aid() -> None:
    # One web log, 2 April 2011: about 40 kg, lifted out with a power puller, not by hand.
    assert answer(kg=40).aid


# --- the strictest answer ---------------------------------------------------------------------

BENCH = Hands(40, 75)


def move(kg: float = 10, **changes: Any) -> Move:
    given = {"mass": pot_mass(weighed_kg=kg), "origin": BENCH, "destination": Hands(40, 100)} | changes
    return Move(**given)


def answer(**changes: Any) -> MoveAnswer:
    return move_answer(move(**changes))


def says(rule: str, **changes: Any) -> Any:
    return next(found for found in answer(**changes).rules if found.rule == rule)


def test_25_kg_by_the_other_column_is_one_persons_filter_two_lift_33_and_three_37() -> None:
    # Trade figures: 2 x 25 x 2/3 = 33.3 and 3 x 25 x 1/2 = 37.5.
    place = {"origin": Hands(30, 90), "destination": Hands(30, 100), "column": "men"}
    found = {kg: says("hse", kg=kg, **place) for kg in (25, 33.3, 37.5, 37.6)}
    assert [one.people for one in found.values()] == [1, 2, 3, None]
    assert found[37.6].aid


@settings(deadline=None)
@given(st.floats(1, 80), st.floats(1, 80), st.floats(20, 70), st.floats(0, 180))
def test_a_heavier_tree_never_needs_fewer_people(one: float, other: float, h: float, v: float) -> None:
    light, heavy = (answer(kg=kg, origin=Hands(h, v)) for kg in sorted((one, other)))
    assert (light.aid, light.people) <= (heavy.aid, heavy.people)


@settings(deadline=None)
@given(st.floats(1, 80), st.floats(20, 70), st.floats(0, 5))
def test_a_longer_reach_never_needs_fewer_people(kg: float, h: float, more: float) -> None:
    near, far = answer(kg=kg, origin=Hands(h, 40)), answer(kg=kg, origin=Hands(h + more, 40))
    assert (near.aid, near.people) <= (far.aid, far.people)


@settings(deadline=None)
@given(st.floats(1, 80), st.floats(20, 70), st.floats(0, 170), st.floats(0, 30))
def test_the_answer_is_as_strict_as_each_rule(kg: float, h: float, v: float, carry: float) -> None:
    found = answer(kg=kg, origin=Hands(h, v), carry_m=carry)
    if not found.aid:
        assert found.people == max(rule.people or 1 for rule in found.rules)
    assert found.aid == any(rule.aid for rule in found.rules)
    assert found.decided_by
    assert 1 <= found.people <= 3
