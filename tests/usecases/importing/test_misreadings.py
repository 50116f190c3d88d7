"""Columns that were once taken for something else, and the ones beside them that must stay."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from collection.models import Tree
from collection.queries.access import Actor
from collection.queries.sentences import say
from collection.usecases.importing.accept import accept, preview
from collection.usecases.importing.guess import guess, heading_scores
from collection.usecases.importing.sheet import read_grid
from tests.factories import BenchFactory, ClubFactory, SiteFactory, coordinator
from tests.usecases.importing.sheets import TODAY, Rows, text


def field_of(heading: str, cells: list[str], **known: frozenset[str]) -> str:
    headings, columns = ["No", "Species", heading], [["1", "2", "3"], ["Larch"] * 3, cells]
    return guess(headings, columns, "trees", today=TODAY, **known)[2].field


@pytest.mark.parametrize(
    "heading",
    ["Girth of trunk", "Trunk girth cm", "Girth", "Trunk (girth)", "Circumference", "Stammumfang", "幹周"],
)
def test_the_way_around_a_trunk_is_not_its_thickness(heading: str) -> None:
    assert field_of(heading, ["12", "31", "25"]) == "girth"


@pytest.mark.parametrize("heading", ["Trunk", "Trunk diameter", "Stammdurchmesser", "Trunk thickness (cm)"])
def test_a_thickness_stays_a_thickness(heading: str) -> None:
    assert field_of(heading, ["4", "6", "5"]) == "trunk"


@pytest.mark.parametrize("heading", ["Hgt", "Hgt (cm)", "HGT", "Hght"])
def test_a_shortened_height_is_known(heading: str) -> None:
    assert field_of(heading, ["62", "45", "50"]) == "height"


@pytest.mark.parametrize(
    ("cells", "field"),
    [
        (["Alder Yard", "Alder Yard", "Alder Yard"], "site"),
        (["South shelf", "Alder Yard", "South shelf"], "bench"),
        (["Club garden", "Club garden", "Ana's home"], "site"),
        (["A1", "A2", "B1"], "bench"),
    ],
)
def test_what_stands_under_where_decides(cells: list[str], field: str) -> None:
    known = {"sites": frozenset({"alder yard"}), "benches": frozenset({"south shelf"})}
    assert field_of("Where", cells, **known) == field


def test_what_stands_under_site_may_be_benches() -> None:
    known = {"sites": frozenset({"alder yard"}), "benches": frozenset({"a1", "a2"})}
    assert field_of("Site", ["A1", "A2", "A1"], **known) == "bench"


@pytest.fixture
def actor(db: None) -> Actor:
    club = ClubFactory()
    site = SiteFactory(club=club, name="Alder Yard")
    BenchFactory(site=site, name="South shelf")
    return coordinator(club)


@pytest.fixture
def given(actor: Actor) -> Callable[[Rows], dict[str, object]]:
    def with_rows(rows: Rows) -> dict[str, object]:
        made = {"actor": actor, "data": text(rows), "file_name": "list.csv", "kind": "trees"}
        return {**made, "today": TODAY}

    return with_rows


class TestGirth:
    ROWS = [["No", "Species", "Girth of trunk (cm)"], ["1", "Larch", "31.4"], ["2", "Elm", "22"]]

    def test_it_is_divided_by_pi_and_the_preview_says_so(self, given: Callable) -> None:
        shown = preview(**given(self.ROWS))
        said = [say(reason) for reason in shown.makes]
        assert "Trees measured around the trunk: 2. Divided by 3.14: 314 mm around is 99.9 mm thick." in said
        assert say(shown.columns[2].asked) == (
            "Is this the way around the trunk? It is divided by 3.14 to get the thickness. "
            "Plain numbers are centimetres."
        )

    def test_the_thickness_is_what_is_kept(self, given: Callable) -> None:
        assert accept(**given(self.ROWS)).created == 2
        assert [*Tree.objects.order_by("accession").values_list("trunk_mm", flat=True)] == [99.9, 70.0]

    def test_the_same_rows_again_are_there_already(self, given: Callable) -> None:
        accept(**given(self.ROWS))
        again = accept(**given([*self.ROWS, ["3", "Elm", "25"]]))
        assert (again.created, again.unchanged) == (1, 2)

    def test_a_thickness_beside_it_wins(self, given: Callable) -> None:
        rows = [["No", "Species", "Girth (cm)", "Trunk (cm)"], ["1", "Larch", "31.4", "9"]]
        accept(**given(rows))
        assert Tree.objects.get().trunk_mm == 90.0


def test_where_names_the_ground_the_club_has(given: Callable) -> None:
    rows = [["No", "Species", "Where"], ["1", "Larch", "Alder Yard"], ["2", "Elm", "Alder Yard"]]
    accept(**given(rows))
    assert [*Tree.objects.values_list("site__name", "bench")] == [("Alder Yard", None)] * 2


def test_a_long_list_is_not_searched_for_headings_sideways(given: Callable) -> None:
    """Ten thousand numbers down the first column are never each compared with every heading we know."""
    heading_scores.cache_clear()
    rows = [["No", "Species"], *([f"2001.{n:05d}", "Larch"] for n in range(10_000))]
    grid = read_grid(text(rows), "list.csv", "trees")
    assert len(grid.rows) == 10_000
    assert heading_scores.cache_info().misses < 100
