"""Who must be there at once: each trigger alone asks, and the strictest wins."""

from __future__ import annotations

import pytest

from collection.craft.labour import estimate
from collection.craft.labour_types import NO_SET_UP, Estimate, EstimateRequest
from collection.craft.quantities import Amount, guessed_mass_kg


def asked(found: Estimate) -> dict[str, object]:
    return {reason.code: reason.values["people"] for reason in found.crew_reasons}


def bend(diameter_mm: float, **known: object) -> Estimate:
    counts = {"bend_mm": Amount(diameter_mm)}
    return estimate(EstimateRequest("HEAVY_BEND", counts, **known))  # type: ignore[arg-type]


def test_a_plain_job_needs_one_person_and_nobody_asks_for_more():
    found = estimate(EstimateRequest("PINCH"))
    assert (found.crew, found.crew_reasons, found.held_min) == (1, (), 0)


@pytest.mark.parametrize(
    ("group", "limit_mm", "diameter_mm", "crew"),
    [
        ("G07", 12, 11.9, 1),
        ("G07", 12, 12, 2),  # at or above the group's figure
        (None, None, 19.9, 1),
        (None, None, 20, 2),  # no group known: 20 mm
        ("G10", None, 9.9, 1),
        ("G10", None, 10, 2),  # brittle, no figure known: 10 mm
        (None, None, 49.9, 2),
        (None, None, 50, 3),
    ],
)
def test_a_bend_asks_for_help_from_the_groups_diameter(group, limit_mm, diameter_mm, crew):
    assert bend(diameter_mm, group=group, group_limit_mm=limit_mm).crew == crew


def test_a_thin_bend_done_alone_has_no_held_step_and_a_pairs_bend_is_held_throughout():
    alone, pair = bend(12), bend(12, group_limit_mm=12)
    assert alone.held_min == 0
    assert pair.held_min == pytest.approx((20 + 4 * 35 + 60) / 6)
    assert pair.labour_min == pytest.approx(2 * pair.elapsed_min)


def test_a_trunk_counts_as_the_largest_class_and_a_held_pot_takes_a_third():
    trunk = bend(30, circumstances=frozenset({"trunk_bend"}))
    assert "HEAVY_BEND/bends_over_40mm" in {line.code for line in trunk.lines}
    assert asked(trunk)["crew_trunk"] == 2
    held = bend(30, circumstances=frozenset({"trunk_bend", "pot_must_be_held"}))
    assert (held.crew, asked(held)["crew_trunk"]) == (3, 3)
    assert "crew_trunk" not in asked(bend(25, circumstances=frozenset({"trunk_bend"})))


@pytest.mark.parametrize(
    ("mass_kg", "crew", "must"),
    [(15, 1, None), (15.1, 2, None), (30, 2, None), (30.1, 3, False), (40, 3, False), (40.1, 3, True)],
)
def test_weight_asks_for_two_above_15_kg_three_above_30_and_an_aid_above_40(mass_kg, crew, must):
    found = estimate(EstimateRequest("REPOT", pot_litres=4, mass_kg=mass_kg))
    assert found.crew == crew
    aids = [note.values["must"] for note in found.notes if note.code == "labour_lifting_aid"]
    assert aids == ([] if must is None else [must])


def test_a_tree_nobody_weighed_is_guessed_from_its_pot_and_says_so():
    # 1.4 x 20 + 0.5 x 20 + 0.5 x 7 = 41.5 kg
    assert guessed_mass_kg(20, 70) == pytest.approx(41.5)
    found = estimate(EstimateRequest("REPOT", pot_litres=20, height_cm=70))
    assert found.crew == 3
    mass = next(reason for reason in found.crew_reasons if reason.code == "crew_mass")
    assert mass.values["guessed"] is True
    assert mass.values["mass_kg"] == pytest.approx(41.5)
    assert "labour_mass_guessed" in {note.code for note in found.notes}


@pytest.mark.parametrize(("litres", "crew"), [(14.9, 1), (15, 2), (39.9, 2), (40, 3)])
def test_a_large_pot_asks_for_people_whatever_it_weighs(litres: float, crew: int):
    assert estimate(EstimateRequest("REPOT", pot_litres=litres, mass_kg=10)).crew == crew


def test_a_heavy_tree_for_bench_work_needs_two_for_the_lift_only():
    found = estimate(EstimateRequest("DECANDLE", mass_kg=22))
    assert found.crew == 1
    assert [n.values["mass_kg"] for n in found.notes if n.code == "labour_bench_lift"] == [22]
    assert estimate(EstimateRequest("DECANDLE", mass_kg=22, lifts=1)).crew == 2


@pytest.mark.parametrize("task", ["PROTECT", "TURN"])
def test_moving_a_heavy_tree_is_held_throughout(task: str):
    light, heavy = (estimate(EstimateRequest(task, mass_kg=kg)) for kg in (15, 16))
    assert (light.crew, light.held_min) == (1, 0)
    assert heavy.crew == 2
    assert heavy.held_min == pytest.approx(heavy.elapsed_min)


def test_laying_wire_of_5_mm_is_a_held_step_for_two():
    primaries = {"primary": Amount(4)}
    thin, thick = (
        estimate(EstimateRequest("WIRE_STRUCT", primaries, thickest_wire_mm=mm, set_ups=NO_SET_UP))
        for mm in (4.9, 5.0)
    )
    assert (thin.crew, thin.held_min) == (1, 0)
    assert asked(thick) == {"crew_wire": 2}
    assert thick.held_min == pytest.approx(4 * (6 + 40 + 18) / 6)
    assert thick.labour_min == pytest.approx(2 * thick.held_min)


def test_a_novice_on_primaries_has_an_expert_beside_whose_time_counts():
    novice = estimate(EstimateRequest("WIRE_STRUCT", skill="novice", set_ups=NO_SET_UP))
    practised = estimate(EstimateRequest("WIRE_STRUCT", set_ups=NO_SET_UP))
    assert asked(novice) == {"crew_novice_primary": 2}
    assert novice.labour_min == pytest.approx(2 * 1.8 * practised.labour_min)
    assert estimate(EstimateRequest("WIRE_DETAIL", skill="novice")).crew == 1


@pytest.mark.parametrize(
    ("circumstance", "code"),
    [("lever_under_load", "crew_tool"), ("powered_carving", "crew_carving"), ("steps", "crew_steps")],
)
def test_what_is_said_about_the_work_asks_for_a_second_person(circumstance: str, code: str):
    found = estimate(EstimateRequest("DEADWOOD", circumstances=frozenset({circumstance})))
    assert asked(found) == {code: 2}


def test_every_trigger_is_listed_and_the_largest_sets_the_crew():
    said = frozenset({"lever_under_load", "steps", "trunk_bend", "pot_must_be_held"})
    found = bend(30, circumstances=said)
    assert {"crew_bend", "crew_trunk", "crew_tool", "crew_steps", "crew_table"} == set(asked(found))
    assert found.crew == max(asked(found).values()) == 3  # type: ignore[type-var]
