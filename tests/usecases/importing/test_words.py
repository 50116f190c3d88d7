from __future__ import annotations

import csv

import pytest

from collection.usecases.importing import species, words
from collection.usecases.importing.numbers import CannotRead
from collection.usecases.importing.species import TABLE, group_of, groups_named, is_latin, read_group


@pytest.mark.parametrize(
    ("text", "group"),
    [
        ("Pinus thunbergii", "G01"),
        ("Pinus thunbergii 'Kotobuki'", "G01"),
        ("P. thunbergii", "G01"),
        ("Japanese black pines", "G01"),
        ("JBP", "G01"),
        ("\u9ed2\u677e", "G01"),
        ("M\u00e4dchenkiefer", "G02"),
        ("Scots Pine", "G02"),
        ("Juniperus chinensis 'Itoigawa'", "G03"),
        ("Shimpaku", "G03"),
        ("Juniperus communis", "G04"),
        ("Picea glauca var. albertiana", "G05"),
        ("Larch", "G06"),
        ("Acer palmatum 'Deshojo'", "G07"),
        ("Dreispitzahorn", "G08"),
        ("Chinese elm", "G09"),
        ("Olmo chino", "G09"),
        ("H\u00eatre", "G10"),
        ("Azalea (satsuki)", "G11"),
        ("Crab apple", "G12"),
        ("Olea europaea", "G13"),
        ("Ficus microcarpa", "G14"),
        ("Coast banksia", "G15"),
        ("\u5c71\u3082\u307f\u3058", "G07"),
    ],
)
def test_a_species_finds_its_group_in_latin_and_in_common_words(text: str, group: str) -> None:
    assert group_of(text) == group


@pytest.mark.parametrize("text", ["pine", "Pinus", "Juniper", "Acer sp.", "maple"])
def test_a_name_that_covers_two_groups_is_asked_about(text: str) -> None:
    with pytest.raises(CannotRead) as caught:
        group_of(text)
    assert caught.value.reason.code == "import_species_two_groups"


@pytest.mark.parametrize("text", ["Bob", "", "12", "unknown tree"])
def test_an_unknown_species_has_no_group(text: str) -> None:
    assert groups_named(text) == ()


def test_a_bare_number_is_no_group_so_that_a_price_is_never_taken_for_one() -> None:
    assert read_group("G07") == read_group("g7") == read_group("G07 Japanese maple") == "G07"
    for text in ("7", "12", "G16", "G0", "maple"):
        with pytest.raises(CannotRead):
            read_group(text)


def test_botanical_and_spoken_names_are_told_apart() -> None:
    assert is_latin("Pinus thunbergii 'Kotobuki'")
    assert not is_latin("Japanese black pine")


def test_every_name_of_the_table_finds_its_own_groups_and_carries_a_label() -> None:
    with TABLE.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    assert {group for row in rows for group in row["groups"].split()} == set(species.GROUPS)
    for row in rows:
        assert groups_named(row["name"]) == tuple(row["groups"].split()), row
        assert row["label"] in ("common practice, no source", "assumption: nearest group")
    assert len({row["name"] for row in rows}) == len(rows)


def test_stages_from_words() -> None:
    said = ["R", "Yamadori", "pre-bonsai", "in training", "Refinement", "Ausstellung", "\u4ed5\u4e0a\u3052"]
    assert [words.read_stage(word) for word in said] == ["R", "R", "B", "B", "F", "S", "F"]
    assert words.read_stage("refining (second year)") == "F"
    with pytest.raises(CannotRead) as caught:
        words.read_stage("lovely")
    assert caught.value.reason.code == "import_not_a_stage"


def test_answers_and_ticks() -> None:
    assert [words.read_answer(sign) for sign in ("Yes", "x", "\u2713", "nein", "-", "maybe", "?")] == [
        "yes",
        "yes",
        "yes",
        "no",
        "no",
        "perhaps",
        "perhaps",
    ]
    with pytest.raises(CannotRead):
        words.read_yes_no("maybe")


def test_a_list_of_skills_with_levels_and_a_bare_one_as_learning() -> None:
    assert words.read_skills("Wiring: expert, repotting (practised); pruning") == {
        "wiring": "expert",
        "repotting": "practised",
        "pruning": "learning",
    }
    with pytest.raises(CannotRead) as caught:
        words.read_skills("wiring: expert, juggling")
    assert caught.value.reason.values == {"value": "juggling"}
