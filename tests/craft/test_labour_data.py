"""The reference files of the labour sum: complete, labelled, and read without loss."""

from __future__ import annotations

import math
import re

import pytest

from collection.craft.labour_capacity import practised_hours, season_hours_without_counts
from collection.craft.labour_reference import CONDITIONS, FOLDER, SKILLS, PaceTable, load_paces, read
from collection.craft.quantities import (
    KINDS,
    Amount,
    default_pot_litres,
    default_quantities,
    guessed_mass_kg,
    order_by_diameter,
    split_branches,
)

FILES = (
    "pace",
    "setup",
    "multipliers",
    "count_defaults",
    "yearly_hours",
    "size_factor",
    "evidence",
    "allowances",
)


@pytest.mark.parametrize("name", FILES)
def test_every_row_has_a_label_and_a_source_written_out(name: str):
    rows = read(name)
    assert rows
    for row in rows:
        assert row["label"]
        assert row["source"]
        assert not re.search(r"\[[A-Z]+\d*\]|\bS\d+[a-e]?\b", " ".join(row.values()))


@pytest.mark.parametrize("name", ["pace", "setup"])
def test_low_likely_and_high_rise_in_every_row(name: str):
    for row in read(name):
        assert 0 < float(row["low_min"]) <= float(row["likely_min"]) <= float(row["high_min"])


def test_every_task_of_the_catalogue_has_a_pace_for_each_thing_it_counts():
    paces = load_paces()
    assert set(KINDS) == {row["code"] for row in read("tasks")}
    for task, kinds in KINDS.items():
        assert {pace.kind for pace in paces.of(task)} == set(kinds)


def test_every_skill_and_condition_has_its_multiplier():
    paces = load_paces()
    assert tuple(paces.skills) == SKILLS
    assert set(paces.conditions) == set(CONDITIONS)
    assert [paces.skills[level] for level in SKILLS] == [1.8, 1.3, 1.0, 0.75]


@pytest.mark.parametrize("size", [0.01, 0.99, 1, 4.99, 5, 15, 39.9, 40, 300])
@pytest.mark.parametrize(("task", "kind"), [("REPOT", "pots"), ("UP_POT", "pots"), ("HEAVY_BEND", "bends")])
def test_every_size_has_exactly_one_pace(task: str, kind: str, size: float):
    rows = [pace for pace in load_paces().of(task) if pace.kind == kind and pace.fits(size)]
    assert len(rows) == 1


@pytest.mark.parametrize(("mass_kg", "key"), [(0, "to_15kg"), (15, "to_15kg"), (15.01, "over_15kg")])
def test_a_tree_of_15_kg_is_still_moved_at_the_light_pace(mass_kg: float, key: str):
    rows = [pace.key for pace in load_paces().of("PROTECT") if pace.fits(mass_kg)]
    assert rows == [f"PROTECT/trees_{key}"]


def test_a_size_nobody_knows_fits_no_row():
    assert not any(pace.fits(None) for pace in load_paces().of("REPOT"))


def test_two_rows_of_one_key_are_refused():
    paces = load_paces()
    with pytest.raises(ValueError, match="same key"):
        PaceTable(
            paces=(paces.paces[0], paces.paces[0]),
            set_ups=paces.set_ups,
            skills=paces.skills,
            conditions=paces.conditions,
            cap=paces.cap,
            shared_log_sd=paces.shared_log_sd,
        )


@pytest.mark.parametrize(("skill", "conditions"), [("wizard", ()), ("novice", ("haunted",))])
def test_an_unknown_skill_or_condition_is_refused(skill: str, conditions: tuple[str, ...]):
    with pytest.raises(ValueError, match="unknown"):
        load_paces().scaling("PINCH", skill, conditions)


def test_a_broken_number_in_a_file_is_refused(tmp_path):
    for name in FILES:
        (tmp_path / f"{name}.csv").write_text((FOLDER / f"{name}.csv").read_text())
    pace = tmp_path / "pace.csv"
    pace.write_text(pace.read_text().replace(",0.1,0.2,0.4,", ",0.1,0.5,0.4,", 1))
    with pytest.raises(ValueError, match="must rise"):
        load_paces(tmp_path)


# --- counts nobody made -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("task", "stage", "expected"),
    [
        # 8 primaries; x 4 = 32; x 3 = 96 refining, x 5 = 160 show
        ("WIRE_STRUCT", "F", {"primary": 8}),
        ("WIRE_DETAIL", "F", {"secondary": 32, "fine": 96}),
        ("WIRE_DETAIL", "S", {"secondary": 32, "fine": 160}),
        ("DECANDLE", "F", {"cut_sites": 76.8}),  # 0.8 x 96
        ("NEEDLE_PLUCK", "F", {"shoots": 138.24}),  # 1.8 x 76.8
        ("PRUNE_STRUCT", "F", {"cuts_medium": 16}),  # 2 x 8
    ],
)
def test_default_counts_follow_from_the_default_tree(task, stage, expected):
    found = default_quantities(task, "G01", stage)
    assert {kind: amount.value for kind, amount in found.items()} == pytest.approx(expected)
    assert {amount.origin for amount in found.values()} == {"default"}


def test_defaults_build_on_what_was_counted():
    known = {"secondary": Amount(10)}
    assert default_quantities("DECANDLE", "G01", "F", known=known)["cut_sites"].value == pytest.approx(24)
    assert default_quantities("WIRE_DETAIL", "G03", "F", known=known).keys() == {"fine"}


def test_at_decandling_there_is_one_shoot_to_a_cut_site():
    known = {"cut_sites": Amount(500)}
    summer = default_quantities("NEEDLE_PLUCK", "G01", "F", known=known, summer=True)
    autumn = default_quantities("NEEDLE_PLUCK", "G01", "F", known=known)
    assert (summer["shoots"].value, autumn["shoots"].value) == (500, 900)


@pytest.mark.parametrize("task", KINDS)
@pytest.mark.parametrize("stage", ["R", "B", "F", "S"])
def test_every_task_has_a_default_above_nought_at_every_stage(task: str, stage: str):
    assert all(amount.value > 0 for amount in default_quantities(task, "G03", stage, 40).values())


def test_unknown_task_stage_or_group_is_refused():
    for bad in ({"task": "DANCE"}, {"task": "PINCH", "stage": "X"}, {"task": "PINCH", "group": "pine"}):
        with pytest.raises(ValueError, match="unknown"):
            default_quantities(**bad)


def test_a_70_cm_tree_is_given_a_20_litre_pot():
    assert default_pot_litres(70) == pytest.approx(20)
    assert default_pot_litres(None) == pytest.approx(20 * (60 / 70) ** 3)
    for bad in (0, -3, math.nan):
        with pytest.raises(ValueError, match="above 0 cm"):
            default_pot_litres(bad)
    with pytest.raises(ValueError, match="0 L or more"):
        guessed_mass_kg(-1, 30)


def test_a_split_keeps_the_total():
    for task in ("WIRE_STRUCT", "WIRE_DETAIL", "WIRE_OFF"):
        for stage in ("R", "B", "F", "S"):
            assert sum(
                part.value for part in split_branches(Amount(90), task, stage).values()
            ) == pytest.approx(90)


@pytest.mark.parametrize(
    ("diameter_mm", "on_trunk", "order"),
    [
        (2, True, "primary"),
        (8, False, "primary"),
        (7.9, False, "secondary"),
        (3, False, "secondary"),
        (2.9, False, "fine"),
    ],
)
def test_order_follows_from_thickness_when_nobody_wrote_it_down(diameter_mm, on_trunk, order):
    assert order_by_diameter(diameter_mm, on_trunk=on_trunk) == order


def test_a_branch_without_thickness_is_refused():
    with pytest.raises(ValueError, match="thicker than 0"):
        order_by_diameter(0, on_trunk=True)


# --- a year without counts, and what an offer is worth ----------------------------------------


@pytest.mark.parametrize(
    ("height_cm", "factor"),
    [
        (24.9, 0.4),
        (25, 0.7),
        (44.9, 0.7),
        (45, 1.0),
        (74.9, 1.0),
        (75, 1.6),
        (100, 1.6),
        (100.1, 2.5),
        (None, 1.0),
    ],
)
def test_the_year_of_an_uncounted_tree_grows_with_its_height(height_cm, factor):
    found = season_hours_without_counts("G01", "F", height_cm)
    assert found.hours == pytest.approx(8 * factor)
    assert found.counted is False
    assert found.height_known is (height_cm is not None)


def test_all_fifteen_groups_have_a_year_at_every_stage():
    for number in range(1, 16):
        hours = [season_hours_without_counts(f"G{number:02d}", stage).hours for stage in "RBFS"]
        assert hours == sorted(hours)
        assert hours[0] > 0


@pytest.mark.parametrize(
    ("given", "words"), [(("G99", "F"), "group"), (("G01", "X"), "stage"), (("G01", "F", 0), "height")]
)
def test_an_unknown_tree_has_no_year(given, words):
    with pytest.raises(ValueError, match=words):
        season_hours_without_counts(*given)


@pytest.mark.parametrize(
    ("given", "words"),
    [((-1, 0.85, "expert"), "hours"), ((4, 1.1, "expert"), "turn-out"), ((4, 0.85, "wizard"), "skill")],
)
def test_an_offer_out_of_range_is_refused(given, words):
    with pytest.raises(ValueError, match=words):
        practised_hours(*given)
