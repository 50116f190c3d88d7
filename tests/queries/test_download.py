"""Lists to take away: what stands in them, that no cell is a formula, and that they come back in the same."""

from __future__ import annotations

import csv
import io
from datetime import UTC, date, datetime
from typing import Any

import openpyxl
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection import models
from collection.craft.tasks import FAMILIES
from collection.models import Club, Member, Tree
from collection.queries.access import Actor
from collection.queries.download import SKILLS, people_table, tree_table
from collection.queries.errors import Refused
from collection.queries.sheets import Table, as_text, as_workbook
from collection.usecases import counts
from collection.usecases.importing.accept import accept, preview
from collection.usecases.importing.tabs import tidy
from tests.factories import BenchFactory, ClubFactory, MemberFactory, SiteFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db
TODAY = date(2027, 1, 11)
FORMS = {"list.csv": as_text, "list.xlsx": as_workbook}
FORMULAS = ["=1+1", "+1", "-3 cm off", "@cmd", "'=1+1", "''=x", "\uff1d1", '=HYPERLINK("x")']


@pytest.fixture(autouse=True)
def _clock(time_machine: object) -> None:
    time_machine.move_to(datetime(2027, 1, 11, 9, tzinfo=UTC), tick=False)  # type: ignore[attr-defined]


def admin(club: Club) -> Actor:
    return actor_of(MemberFactory(club=club, role="admin", name="Zoe Admin"))


def furnish(club: Club) -> Actor:
    """Trees with everything on them, people with everything about them."""
    actor = admin(club)
    site = SiteFactory(club=club, name="Alder Yard")
    bench = BenchFactory(site=site, name="007")
    ana, ben = (MemberFactory(club=club, name=name, account=None) for name in ("Ana Bell", "Ben Cole"))
    full = TreeFactory(
        site=site, bench=bench, accession="007", name="=Old one", species="Pinus thunbergii", group="G01",
        common_name="Black pine", stage="S", style="Slanting", height_mm=622.3, spread_mm=500.0,
        trunk_mm=81.28, pot="Oval, blue", pot_litres=4.75, mass_kg=12.35, mass_weighed=True,
        may_travel=True, brought_by=ben, condition="weak", acquired_on=date(2001, 5, 3),
        no_hard_work_until=date(2028, 1, 1), no_hard_work_why="Repotted late.",
        leave_alone_until=date(2027, 6, 1), leave_alone_why="The owner asks.",
        note="Two\nlines, and a comma.",
        extra={"kept": {"Supplier": "North, Nursery", "Colour": "red"}},
    )  # fmt: skip
    TreeFactory(site=site, accession="T-2", species="Acer palmatum", group="G07", batch=12, height_mm=None)
    for member, role in ((ana, "owner"), (ben, "owner"), (ben, "carer")):
        models.Care.objects.create(club=club, tree=full, member=member, role=role)
    counts.record_counts(
        actor=actor, tree_id=full.pk, on=TODAY, counts={"primary": 9, "fine": 140, "cut_sites": 31}
    )
    sitting = models.Sitting.objects.create(
        club=club, tree=full, remembered=True, request_key="k",
        started=datetime(2025, 3, 3, 12, tzinfo=UTC), ended=datetime(2025, 3, 3, 12, tzinfo=UTC),
    )  # fmt: skip
    models.SittingTask.objects.create(club=club, sitting=sitting, task="REPOT")
    models.Contact.objects.create(club=club, member=ana, email="ana@example.org", telephone="+44 20 7946")
    models.MemberSkill.objects.create(
        club=club, member=ana, family="wiring", level="expert", since=date(2024, 1, 1)
    )
    models.Declaration.objects.create(
        club=club, member=ana, kind="can_lift", answer=False, given_on=date(2024, 1, 1)
    )
    Member.objects.filter(pk=ben.pk).update(active_to=date(2026, 1, 1), wants_mail=False, role="bench_lead")
    return actor


def rows_of(actor: Actor) -> dict[str, Any]:
    """What a club knows of its trees and people, without ids and days of writing."""
    trees = tree_table(actor)
    people = people_table(actor, contacts=True)
    return {
        "trees": [dict(zip(trees.headings, row, strict=True)) for row in trees.rows],
        "people": [dict(zip(people.headings, row, strict=True)) for row in people.rows],
        "columns": [
            {
                f.name: getattr(tree, f.name)
                for f in Tree._meta.fields
                if f.name not in ("id", "club", "site", "bench", "brought_by", "extra", "created_at")
            }
            for tree in Tree.objects.filter(club_id=actor.club_id).order_by("accession")
        ],
    }


@pytest.mark.parametrize("inches", [False, True])
@pytest.mark.parametrize("name", FORMS)
def test_brought_in_again_into_an_empty_club_everything_is_the_same(name: str, inches: bool):
    actor = furnish(ClubFactory(inches=inches))
    before = rows_of(actor)
    people = FORMS[name](people_table(actor, contacts=True))
    trees = FORMS[name](tree_table(actor))
    other = ClubFactory(inches=inches)
    theirs = admin(other)
    for kind, data in (("people", people), ("trees", trees)):
        shown = preview(actor=theirs, data=data, file_name=name, kind=kind, today=TODAY)
        assert shown.problems == ()
        accept(actor=theirs, data=data, file_name=name, kind=kind, today=TODAY)
    after = rows_of(theirs)
    assert after == before
    again = preview(actor=theirs, data=trees, file_name=name, kind="trees", today=TODAY)
    assert (len(again.ready), again.problems) == (0, ())


@pytest.mark.parametrize("name", FORMS)
def test_every_heading_is_known_without_a_question(name: str):
    actor = furnish(ClubFactory())
    for kind, table in (("trees", tree_table(actor)), ("people", people_table(actor, contacts=True))):
        shown = preview(actor=actor, data=FORMS[name](table), file_name=name, kind=kind, today=TODAY)
        unknown = [column.heading for column in shown.columns if not column.field]
        assert unknown == (["Colour", "Supplier"] if kind == "trees" else [])


def test_every_family_has_a_column_of_its_own():
    assert set(SKILLS) == set(FAMILIES)


@pytest.mark.parametrize("text", FORMULAS)
def test_no_text_becomes_a_formula_and_the_mark_comes_off_again(text: str):
    table = Table("T", ("No", "Text", "Number"), (("1", text, -3),))
    [_, row] = list(csv.reader(io.StringIO(as_text(table).decode("utf-8-sig"))))
    assert row[1].startswith("'")
    assert (row[2], tidy(row[1])) == ("-3", text)
    sheet = openpyxl.load_workbook(io.BytesIO(as_workbook(table))).active
    assert [cell.data_type for cell in sheet[2]] == ["s", "s", "n"]
    assert tidy(sheet["B2"].value) == text


def test_numbers_that_are_names_stay_texts():
    table = Table("T", ("No", "Text"), (("007", "1e5"),))
    assert b'"007","1e5"' in as_text(table)
    sheet = openpyxl.load_workbook(io.BytesIO(as_workbook(table))).active
    assert (sheet["A2"].value, sheet["A2"].data_type, sheet["A2"].number_format) == ("007", "s", "@")


def test_how_to_reach_people_is_in_the_list_only_when_asked_for():
    actor = furnish(ClubFactory())
    plain = as_text(people_table(actor, contacts=False)).decode()
    assert "ana@example.org" not in plain
    assert "7946" not in plain
    assert "ana@example.org" in as_text(people_table(actor, contacts=True)).decode()


def test_only_coordinators_take_lists_away_and_only_of_their_club():
    actor = furnish(ClubFactory())
    member = actor_of(MemberFactory(club_id=actor.club_id))
    for read in (tree_table, lambda who: people_table(who, contacts=False)):
        with pytest.raises(Refused, match="coordinators_only"):
            read(member)
    other = admin(ClubFactory())
    assert tree_table(other).rows == ()
    assert [row[0] for row in people_table(other, contacts=True).rows] == ["Zoe Admin"]


def test_lists_cost_the_same_for_any_number_of_rows():
    actor = furnish(ClubFactory())

    def cost() -> int:
        with CaptureQueriesContext(connection) as taken:
            tree_table(actor)
            people_table(actor, contacts=True)
        return len(taken)

    before = cost()
    site = models.Site.objects.get(club_id=actor.club_id)
    for _ in range(5):
        TreeFactory(site=site, bench=BenchFactory(site=site), brought_by=MemberFactory(club=site.club))
    assert cost() == before
