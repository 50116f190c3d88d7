"""Every edit that reaches the service leaves a line in the trail of changes, in the same transaction."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.apps import apps
from django.db import connection

from collection.models import Change
from collection.models.walls import APPEND_ONLY
from tests.walls.asking import Fill, Way, taken_back, ways
from tests.walls.cells import expected
from tests.walls.conftest import House

PROGRAMME = re.compile(r"programme$|(G\d\d|ALL)-")
Row = tuple[str, int]
# Rows without a line of their own, each with the reason.
NO_LINE = {
    **dict.fromkeys(APPEND_ONLY, "append-only: the row itself says who and when, and cannot be edited"),
    "assignment": "worked out with a plan; the plan's line says who asked and who sent it out",
    "estimate": "worked out from rows that have their lines",
    "notice": "is itself the record that somebody is told; made from rows that have their lines",
    "message": "is itself the record of what was sent",
    "requestkey": "remembers an answer of the API, not a thing of the club",
    "upload": "a file that waits is nothing of the club yet; what is taken in has its lines",
    "accepted": "is itself the record of a file that was taken in; its rows have their lines",
    "account": "belongs to no club",
    "round": "made by the programme; a person's ticks are in the sitting and the job",
    "roundtree": "as its round",
}
# Columns that are worked out again from rows which have their lines.
WORKED_OUT = {
    # The programme's new window stands beside the old one until a person chooses.
    "job": {"estimate_id", "crew", "moved_opens", "moved_closes"},
    "plan": {"state", "problem_digest"},
    # Erased with the contact, whose line says so; a line here would keep the address.
    "welcome": {"email"},
}


def rows_now() -> dict[Row, dict[str, Any]]:
    """Every row of every table of ours."""
    found = {}
    with connection.cursor() as cursor:
        for model in apps.get_app_config("collection").get_models():
            if not any(field.name == "club" for field in model._meta.fields):
                continue
            cursor.execute(f'SELECT * FROM "{model._meta.db_table}"')
            names = [column[0] for column in cursor.description]
            for values in cursor.fetchall():
                row = dict(zip(names, values, strict=True))
                found[str(model._meta.model_name), row["id"]] = row
    return found


def edited(before: dict[Row, dict[str, Any]], after: dict[Row, dict[str, Any]]) -> set[Row]:
    """Rows that were made, changed or taken away, the worked out ones left out."""
    found = set()
    for key in before.keys() | after.keys():
        old, new = before.get(key, {}), after.get(key, {})
        columns = {name for name in old.keys() | new.keys() if old.get(name) != new.get(name)}
        if (
            key[0] not in NO_LINE
            and columns - WORKED_OUT.get(key[0], set())
            and not _by_programme(key, old, new)
        ):
            found.add(key)
    return found


def _by_programme(key: Row, old: dict[str, Any], new: dict[str, Any]) -> bool:
    """A job the programme made: its origin names the row it comes from."""
    return key[0] == "job" and not old and bool(PROGRAMME.match(new["origin"]))


@pytest.mark.parametrize(
    "way",
    [
        way
        for way in ways(("POST", "PUT", "PATCH", "DELETE"))
        if way.write and way.write.changes and int(expected(way.cell, way.write.full)["admin"]) < 400
    ],
    ids=lambda way: way.label,
)
def test_every_row_that_was_edited_has_a_line(way: Way, house: House):
    with taken_back():
        before = rows_now()
        newest = Change.objects.order_by("-id").values_list("id", flat=True).first() or 0
        way.ask(house.browser("admin"), Fill(house.ours, me=house.me("admin")))
        lines = Change.objects.filter(id__gt=newest)
        told = {(line.table, line.row) for line in lines}
        without = edited(before, rows_now()) - told
        assert without == set()
        # A link in a message acts for the person it was sent to, whoever is signed in.
        who = house.ours.ids["member"] if way.cell.name == "link" else house.me("admin")
        assert {line.who_id for line in lines} <= {who}
        assert {line.club_id for line in lines} <= {house.ours.club.pk}
