"""The three commands that take a spreadsheet in, from the file to what they print."""

from __future__ import annotations

from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from collection.models import Accepted, Change, Habit, Member, Offer, Tree
from tests.factories import ClubFactory, MemberFactory, SiteFactory, WorkdayFactory
from tests.usecases.importing.sheets import Rows, book, text

pytestmark = pytest.mark.django_db
TREES: Rows = [
    ["Tag", "Species", "Height (cm)", "Collar"],
    ["007", "Larch", "62", "45"],
    ["008", "Elm", "tall", "30"],
    ["009", "Elm", "40", "28"],
]


@pytest.fixture(autouse=True)
def _club() -> None:
    club = ClubFactory(name="Mill Lane")
    MemberFactory(club=club, name="Ana Bell")


def run(name: str, *args: str) -> str:
    out = StringIO()
    call_command(name, *args, stdout=out)
    return out.getvalue()


def file_of(folder: Path, rows: Rows, name: str = "list.csv") -> str:
    path = folder / name
    path.write_bytes(book({"List": rows}) if name.endswith("x") else text(rows))
    return str(path)


def written() -> tuple[int, ...]:
    return tuple(table.objects.count() for table in (Tree, Member, Offer, Habit, Change, Accepted))


@pytest.mark.parametrize("name", ["list.csv", "list.xlsx"])
def test_without_accept_columns_samples_and_problems_are_shown_and_nothing_is_written(
    tmp_path: Path, name: str
) -> None:
    before = written()
    said = run("import_trees", file_of(tmp_path, TREES, name))
    assert f"{name}, rows found: 3" in said
    assert "62 | tall | 40" in said  # three samples of a column
    assert "007 | 008 | 009" in said
    assert "Problems: 1\n  Row 3, column Height (cm): 'tall'" in said
    assert "Nothing was written." in said
    assert "Rows with problems: 1. Put them right, or add --set-aside" in said
    assert written() == before


@pytest.mark.parametrize("name", ["list.csv", "list.xlsx"])
def test_accept_refuses_all_rows_for_one_problem_until_its_row_is_set_aside(
    tmp_path: Path, name: str
) -> None:
    file = file_of(tmp_path, TREES, name)
    before = written()
    with pytest.raises(
        CommandError, match=r"Rows with problems: 1\. The first: row 3, column Height \(cm\)\."
    ):
        run("import_trees", file, "--accept")
    assert written() == before
    said = run("import_trees", file, "--accept", "--set-aside")
    assert "Done. Rows taken in: 2. There already: 0. Set aside: 1." in said
    assert sorted(Tree.objects.values_list("accession", flat=True)) == ["007", "009"]
    after = written()
    again = run("import_trees", file, "--accept", "--set-aside")
    assert "This file was taken in before. Nothing was changed." in again
    assert written() == after


def test_a_column_can_be_named_by_hand(tmp_path: Path) -> None:
    file = file_of(tmp_path, [TREES[0], TREES[1]])
    run("import_trees", file, "--accept", "--column", "Collar=trunk:mm")
    assert Tree.objects.get().trunk_mm == 45
    with pytest.raises(CommandError, match='Write --column "HEADING=FIELD", not "Collar"'):
        run("import_trees", file, "--column", "Collar")


def test_people_and_then_their_offers_are_taken_in(tmp_path: Path) -> None:
    people = file_of(tmp_path, [["Name", "Wiring"], ["Eva Dale", "expert"], ["Udo Eck", ""]])
    assert "Rows taken in: 2" in run("import_people", people, "--accept")
    assert "There already: 2" in run(
        "import_people",
        file_of(tmp_path, [["Name", "Wiring"], ["Eva Dale", "expert"], ["Udo Eck", ""]], "later.xlsx"),
        "--accept",
    )
    eva = Member.objects.get(name="Eva Dale")
    WorkdayFactory(site=SiteFactory(club=eva.club), date="2099-12-05")  # 9:30 to 13:30
    offers = [["Name", "Date", "From", "To"], ["Eva Dale", "2099-12-05", "10:00", "13:00"]]
    file = file_of(tmp_path, offers, "offers.csv")
    assert "Rows taken in: 1" in run("import_offers", file, "--accept")
    assert Offer.objects.get().member == eva
    wrong = [*offers, ["Nobody Known", "2099-12-05", "10:00", "13:00"]]
    said = run("import_offers", file_of(tmp_path, wrong, "wrong.csv"))
    assert "Problems: 1\n  Row 3, column Name: 'Nobody Known' is not a member." in said
    assert Offer.objects.count() == 1


def test_a_missing_file_and_an_unclear_club_are_said(tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="There is no file"):
        run("import_trees", str(tmp_path / "none.csv"))
    ClubFactory(name="Hill Street")
    file = file_of(tmp_path, [TREES[0], TREES[1]])
    with pytest.raises(CommandError, match="Hill Street"):
        run("import_trees", file)
    run("import_trees", file, "--accept", "--club", "hill street")
    assert Tree.objects.get().club.name == "Hill Street"


def test_one_sheet_of_a_workbook_can_be_chosen(tmp_path: Path) -> None:
    path = tmp_path / "two.xlsx"
    path.write_bytes(book({"Ours": [TREES[0], TREES[1]], "Sold": [TREES[0], TREES[3]]}))
    run("import_trees", str(path), "--accept", "--sheet", "Ours")
    assert [tree.accession for tree in Tree.objects.all()] == ["007"]
    with pytest.raises(CommandError, match="Ours, Sold"):
        run("import_trees", str(path), "--sheet", "Lent")
