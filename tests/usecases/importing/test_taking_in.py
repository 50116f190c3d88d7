"""The same promises for every kind of list, as text and as a workbook."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.apps import apps

from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.usecases.importing.accept import accept, preview
from tests.factories import ClubFactory, MemberFactory, SiteFactory, WorkdayFactory, coordinator
from tests.usecases.importing.sheets import TODAY, Rows, book, text

pytestmark = pytest.mark.django_db
# For each kind: headings, two good rows, a third with one faulty cell, and where that cell is.
LISTS: dict[str, tuple[Rows, list[str], str]] = {
    "trees": (
        [["No", "Species", "Height (cm)"], ["007", "Larch", "62"], ["008", "Elm", "45"]],
        ["009", "Elm", "tall"],
        "Height (cm)",
    ),
    "people": (
        [["Name", "Wiring", "Role"], ["Eva Dale", "expert", "member"], ["Udo Eck", "novice", "member"]],
        ["Ida Fry", "superb", "member"],
        "Wiring",
    ),
    "offers": (
        [
            ["Name", "Date", "From", "To"],
            ["Ana Bell", "2026-12-05", "10:00", "13:00"],
            ["Ben Cole", "2026-12-05", "10:00", "12:00"],
        ],
        ["Cleo Dunn", "2026-12-05", "10:00", "99:00"],
        "To",
    ),
}
MADE: dict[str, Callable[[Rows], bytes]] = {"list.csv": text, "list.xlsx": lambda rows: book({"List": rows})}


@pytest.fixture
def actor() -> Actor:
    club = ClubFactory()
    for name in ("Ana Bell", "Ben Cole", "Cleo Dunn"):
        MemberFactory(club=club, name=name)
    WorkdayFactory(site=SiteFactory(club=club), date=date(2026, 12, 5))  # 9:30 to 13:30
    return coordinator(club)


def given(actor: Actor, kind: str, file_name: str, rows: Rows) -> dict[str, Any]:
    data = MADE[file_name](rows)
    return {"actor": actor, "data": data, "file_name": file_name, "kind": kind, "today": TODAY}


def everything() -> dict[str, list[dict[str, Any]]]:
    """Every row of every table, value by value."""
    models = apps.get_app_config("collection").get_models()
    return {model.__name__: list(model.objects.order_by("pk").values()) for model in models}


@pytest.mark.parametrize("file_name", MADE)
@pytest.mark.parametrize("kind", LISTS)
class TestEveryKindAsTextAndAsWorkbook:
    def test_a_preview_writes_nothing_into_any_table(self, actor: Actor, kind: str, file_name: str) -> None:
        rows, faulty, _ = LISTS[kind]
        before = everything()
        shown = preview(**given(actor, kind, file_name, [*rows, faulty]))
        assert (len(shown.ready), len(shown.problems)) == (2, 1)
        assert everything() == before

    def test_one_faulty_cell_is_one_problem_and_keeps_every_row_out(
        self, actor: Actor, kind: str, file_name: str
    ) -> None:
        rows, faulty, heading = LISTS[kind]
        before = everything()
        wanted = given(actor, kind, file_name, [*rows, faulty])
        assert [(problem.place, problem.column) for problem in preview(**wanted).problems] == [("4", heading)]
        with pytest.raises(Refused) as caught:
            accept(**wanted)
        assert caught.value.reason.code == "import_has_problems"
        assert caught.value.reason.values == {"rows": 1, "place": "4", "column": heading}
        assert everything() == before

    def test_the_faulty_row_set_aside_lets_the_others_in(
        self, actor: Actor, kind: str, file_name: str
    ) -> None:
        rows, faulty, _ = LISTS[kind]
        done = accept(**given(actor, kind, file_name, [*rows, faulty]), set_aside="faulty")
        assert (done.created, done.unchanged, done.set_aside, done.already) == (2, 0, 1, False)

    def test_the_same_file_accepted_twice_is_once(self, actor: Actor, kind: str, file_name: str) -> None:
        wanted = given(actor, kind, file_name, LISTS[kind][0])
        assert accept(**wanted).created == 2
        before = everything()
        assert accept(**wanted).already
        assert everything() == before

    def test_the_same_rows_in_a_file_of_the_other_sort_are_once(
        self, actor: Actor, kind: str, file_name: str
    ) -> None:
        rows, *_ = LISTS[kind]
        accept(**given(actor, kind, file_name, rows))
        before = everything()
        [other] = set(MADE) - {file_name}
        done = accept(**given(actor, kind, other, rows))
        assert (done.created, done.unchanged, done.already) == (0, 2, False)
        after = everything()
        assert len(after.pop("Accepted")) == len(before.pop("Accepted")) + 1  # the file is remembered
        assert after == before
