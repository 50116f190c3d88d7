"""Every edit that reaches the service leaves a true line in the trail of changes, in the same transaction."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

import pytest
from django.apps import apps
from django.db.models import JSONField, Model

from collection.models import Change, Club
from collection.models.walls import APPEND_ONLY
from collection.queries.trail import PRIVATE
from tests.walls.asking import Fill, Way, taken_back, ways
from tests.walls.cells import expected
from tests.walls.conftest import House

PROGRAMME = re.compile(r"programme$|(G\d\d|ALL)-")
Row = tuple[str, int]
Rows = dict[Row, dict[str, Any]]
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
    # Says only that the season waits to be worked out.
    "club": {"season_asked_at"},
    # The line of the answer says when.
    "invitation": {"answered_at"},
    # Erased with the contact, whose line says so; a line here would keep the address.
    "welcome": {"email"},
}
# Counted and dated by themselves.
UNTOLD = {"version", "updated_at"}
# Told as yes or no: whether the column holds a time.
WHETHER = {"welcome.used": "used_at", "welcome.taken_back": "taken_back_at"}
NOT_SAID = "not said"


def tables() -> dict[str, type[Model]]:
    """Every table that belongs to a club, by the name the trail gives it."""
    return {
        str(model._meta.model_name): model
        for model in apps.get_app_config("collection").get_models()
        if model is Club or any(field.name == "club" for field in model._meta.fields)
    }


def rows_now() -> Rows:
    """Every row of every table of ours, its values by column."""
    return {
        (name, row["id"]): row for name, model in tables().items() for row in model._default_manager.values()
    }


def edited(before: Rows, after: Rows) -> set[Row]:
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


def untrue(lines: Iterable[Change], before: Rows, after: Rows) -> list[str]:
    """What the lines, one after the other, say otherwise than the rows did before and do after."""
    found, steps = [], dict[tuple[Row, str], list[tuple[Any, Any]]]()
    for line in lines:
        for name in sorted(line.before.keys() | line.after.keys()):
            step = line.before.get(name, NOT_SAID), line.after.get(name, NOT_SAID)
            steps.setdefault(((line.table, line.row), name), []).append(step)
    for (key, name), said in steps.items():
        follow = [new for _, new in said[:-1]] == [old for old, _ in said[1:]]
        first, last = before.get(key), after.get(key)
        if (
            not follow
            or not _true(key, name, said[0][0], first)
            or (last and not _true(key, name, said[-1][1], last))
        ):
            found.append(f"{name} of {key}: {said}, but {first} became {last}")
    for key in before.keys() & after.keys():
        changed = {name for name, value in after[key].items() if before[key][name] != value}
        named = {column(key[0], name).attname for row, name in steps if row == key}
        silent = changed - named - UNTOLD - WORKED_OUT.get(key[0], set())
        if silent and key[0] not in NO_LINE:
            found.append(f"{silent} of {key} changed without a word")
    return found


def column(table: str, name: str) -> Any:
    """The column that a line names."""
    return tables()[table]._meta.get_field(WHETHER.get(f"{table}.{name}", name))


def _true(key: Row, name: str, said: Any, row: dict[str, Any] | None) -> bool:
    """Whether a row holds what a line says; a row that is not there holds nothing to say."""
    if row is None or said == NOT_SAID:
        return row is None and said == NOT_SAID
    field = column(key[0], name)
    held = row[field.attname]
    if key[0] in PRIVATE:
        return said is None
    if f"{key[0]}.{name}" in WHETHER:
        return bool((held is not None) == said)
    if not isinstance(field, JSONField):
        said = (field.target_field if field.is_relation else field).to_python(said)
    return bool(held == said)


@pytest.mark.parametrize(
    "way",
    [
        way
        for way in ways(("POST", "PUT", "PATCH", "DELETE"))
        if way.write and way.write.changes and int(expected(way.cell, way.write.full)["admin"]) < 400
    ],
    ids=lambda way: way.label,
)
def test_every_row_that_was_edited_has_a_line_and_each_line_is_true(way: Way, house: House):
    with taken_back():
        before = rows_now()
        newest = Change.objects.order_by("-id").values_list("id", flat=True).first() or 0
        way.ask(house.browser("admin"), Fill(house.ours, me=house.me("admin")))
        lines = Change.objects.filter(id__gt=newest).order_by("id")
        told = {(line.table, line.row) for line in lines}
        after = rows_now()
        assert edited(before, after) - told == set()
        assert untrue(lines, before, after) == []
        # A link in a message acts for the person it was sent to, whoever is signed in.
        who = house.ours.ids["member"] if way.cell.name == "link" else house.me("admin")
        assert {line.who_id for line in lines} <= {who}
        assert {line.club_id for line in lines} <= {house.ours.club.pk}
