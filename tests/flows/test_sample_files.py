"""The invented clubs' files: sheets as clubs have them, nothing in them that points at anybody real."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from collection.craft.reference import groups
from collection.usecases.importing.sheet import Grid, read_grid
from collection.usecases.importing.species import group_of
from collection.usecases.sample import files

CLUBS = files.names()
# Numbers set aside for fiction: (03) 5550 xxxx by the Australian and 01632 960xxx by the British
# regulator (from memory).
FICTION = re.compile(r"03 5550 \d{4}|01632 960\d{3}")


def grid(path: Path, kind: str) -> Grid:
    return read_grid(path.read_bytes(), path.name, kind)


def column(table: Grid, heading: str) -> list[str]:
    return table.columns()[table.headings.index(heading)]


def people(club: str) -> Grid:
    return grid(files.read(club).people_sheet, "people")


def test_the_larger_club_comes_first_and_there_are_two():
    assert CLUBS == ("wattlemere", "osierholt")


def test_there_is_no_other_club():
    with pytest.raises(ValueError, match="there is no sample club"):
        files.read("nowhere")


# 120 and 60 trees, 25 and 12 people: the sizes the sample was ordered in. One person of each club,
# the founder, is not on its sheet.
@pytest.mark.parametrize(("club", "trees", "persons"), [("wattlemere", 120, 25), ("osierholt", 60, 12)])
def test_a_club_has_its_number_of_trees_and_people(club: str, trees: int, persons: int):
    said = files.read(club)
    assert len(grid(said.trees_sheet, "trees").rows) == trees
    assert len(people(club).rows) + 1 == persons


def test_one_club_is_southern_and_one_northern():
    assert files.read("wattlemere").latitude < 0 < files.read("osierholt").latitude


def test_the_workbook_says_the_same_as_the_plain_copy_beside_it():
    said = files.read("wattlemere")
    book = grid(said.trees_sheet, "trees")
    with (said.trees_sheet.parent / "trees.csv").open(encoding="utf-8", newline="") as lines:
        plain = [list(row.values()) for row in csv.DictReader(lines)]

    def same(cell: str) -> object:
        return float(cell) if re.fullmatch(r"\d+(\.\d+)?", cell) else cell

    # The tag is text in both: 2009.010 must not turn into 2009.01.
    assert [row.cells[0] for row in book.rows] == [row[0] for row in plain]
    assert [[same(c) for c in row.cells] for row in book.rows] == [[same(c) for c in row] for row in plain]


def test_the_workbook_is_as_untidy_as_a_clubs_own():
    book = grid(files.read("wattlemere").trees_sheet, "trees")
    codes = {note.code for note in book.notes}
    assert {"import_totals_row", "import_sheet_skipped"} <= codes
    assert "Height (cm)" in book.headings
    assert "Pot volume (litres)" in book.headings


def test_the_northern_sheet_has_semicolons_decimal_commas_and_a_few_inches():
    text = files.read("osierholt").trees_sheet.read_text(encoding="utf-8-sig")
    assert text.splitlines()[0].count(";") == 21
    assert re.search(r";\d+,\d;", text)
    assert len(re.findall(r";\d+ in;", text)) == 3


@pytest.mark.parametrize("club", CLUBS)
def test_accession_numbers_are_year_and_number_and_none_comes_twice(club: str):
    numbers = [row.cells[0] for row in grid(files.read(club).trees_sheet, "trees").rows]
    assert all(re.fullmatch(r"(19|20)\d\d\.\d{3}", number) for number in numbers)
    assert len(set(numbers)) == len(numbers)


def test_the_southern_club_has_trees_of_every_group():
    table = grid(files.read("wattlemere").trees_sheet, "trees")
    assert {group_of(species) for species in column(table, "Botanical name")} == set(groups())


@pytest.mark.parametrize(("club", "heading"), [("wattlemere", "Weight (kg)"), ("osierholt", "Weight (kg)")])
def test_a_few_trees_weigh_over_30_kg_and_one_over_40(club: str, heading: str):
    cells = column(grid(files.read(club).trees_sheet, "trees"), heading)
    heavy = sorted(float(cell.replace(",", ".")) for cell in cells if cell)
    assert sum(mass > 30 for mass in heavy) >= 2
    assert sum(mass > 40 for mass in heavy) == 1


@pytest.mark.parametrize(
    ("club", "health", "batch", "twigs"),
    [("wattlemere", "Health", "How many", "Fine branches"), ("osierholt", "Health", "How many", "Twigs")],
)
def test_some_trees_are_weak_collected_in_batches_or_never_counted(
    club: str, health: str, batch: str, twigs: str
):
    table = grid(files.read(club).trees_sheet, "trees")
    assert {"weak", "collected", "sound"} <= set(column(table, health))
    assert any(column(table, batch))
    uncounted = sum(not cell for cell in column(table, twigs))
    assert len(table.rows) / 10 < uncounted < len(table.rows) / 2


@pytest.mark.parametrize("club", CLUBS)
def test_some_trees_belong_to_members_and_some_of_those_stand_at_their_homes(club: str):
    said = files.read(club)
    table = grid(said.trees_sheet, "trees")
    names = {row.cells[0] for row in people(club).rows}
    owners = [cell for cell in column(table, "Owner") if cell]
    homes = {site.name for site in said.sites if site.kind == "home"}
    places = column(table, "Garden" if club == "wattlemere" else "Kept at")
    assert len(owners) >= 4
    assert set(owners) <= names
    assert len(homes & set(places)) >= 2


@pytest.mark.parametrize("club", CLUBS)
def test_every_address_and_number_is_one_that_reaches_nobody(club: str):
    said = files.read(club)
    cells = [cell for row in people(club).rows for cell in row.cells] + [said.founder.email]
    mails = [cell for cell in cells if "@" in cell]
    phones = [cell for cell in cells if re.match(r"0\d", cell)]
    assert len(mails) == len(people(club).rows) + 1
    assert all(mail.endswith(".example.org") for mail in mails)
    assert len(phones) == len(people(club).rows)
    assert all(FICTION.fullmatch(phone) for phone in phones)


def test_nobody_is_in_both_clubs():
    first, second = ({row.cells[0] for row in people(club).rows} for club in CLUBS)
    assert not first & second


@pytest.mark.parametrize("club", CLUBS)
def test_drawn_branches_and_wires_belong_to_trees_of_the_sheet(club: str):
    said = files.read(club)
    numbers = {row.cells[0] for row in grid(said.trees_sheet, "trees").rows}
    drawn = {(row.tree, row.label) for row in said.branches}
    assert {tree for tree, _ in drawn} <= numbers
    assert {(wire.tree, wire.branch) for wire in said.wires} <= drawn
    assert {(wish.tree, wish.branch) for wish in said.bends} <= drawn
    assert set(said.open_trees) <= numbers
    assert len({tree for tree, _ in drawn}) >= 12


def test_a_wire_is_looked_at_between_going_on_and_coming_off():
    story = files.read("wattlemere").wires[2]
    assert story.off_days_ago == 150
    with pytest.raises(ValueError, match="between going on and coming off"):
        type(story)(**{**{f: getattr(story, f) for f in story.__slots__}, "looked_days_ago": (140,)})
