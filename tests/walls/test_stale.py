"""Every write that carries a version: a stale one is refused, writes nothing, and says what is there now.

No write is listed: the cells say which carry a version, and the pages' forms and the API's document say which
ask for one.
"""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from urllib.parse import urlsplit

import pytest
from django.apps import apps
from django.db.models import F
from django.http import HttpResponse
from django.test import Client
from django.urls import resolve

from collection.models.base import Versioned
from tests.walls.asking import Fill, Way, digests, taken_back, ways
from tests.walls.cells import expected
from tests.walls.conftest import House

# So often has somebody else changed every row since it was read; the trail does not go back so far.
EDITS = 50
# "Nobody had written it yet" is no version that can be older than the row's.
FIRST = ("", "0", "{=nothing_yet}")
# Where there are no two values to choose from: what is said instead. A row that is to go has no other value;
# a file's page comes again as it was answered by the other.
LOOK_AGAIN = "Somebody else changed this while you were writing. Look at it again"
NO_CHOICE = {
    "care-end": (409, LOOK_AGAIN),
    "branch-remove": (409, LOOK_AGAIN),
    "import": (400, "Somebody answered about this file just now"),
}


def carries(way: Way) -> bool:
    """Whether a write that is accepted, and writes, names the version of a row that is there."""
    write = way.write
    if write is None or not write.changes or int(expected(way.cell, write.full)["admin"]) >= 400:
        return False
    body = write.body or {}
    return (write.match or body.get("version") or body.get("versions") or "0") not in FIRST


VERSIONED = [way for way in ways(("POST", "PUT", "PATCH", "DELETE")) if carries(way)]


def change_everything() -> None:
    """Somebody else changes every row that people edit."""
    for model in apps.get_models():
        if issubclass(model, Versioned):
            model._default_manager.update(version=F("version") + EDITS)


@pytest.mark.parametrize("way", VERSIONED, ids=lambda way: way.label)
def test_a_stale_version_writes_nothing_and_what_is_there_now_is_said(way: Way, house: House):
    with taken_back():
        change_everything()
        before = digests()
        answer = way.ask(house.browser("admin"), Fill(house.ours, me=house.me("admin")))
        assert digests() == before
        said = answer.content.decode()
        if way.cell.api:
            problem = json.loads(said)
            assert (answer.status_code, problem["code"]) == (412, "stale")
            assert problem["version"] > EDITS
        elif way.cell.name in NO_CHOICE:
            status, sentence = NO_CHOICE[way.cell.name]
            assert answer.status_code == status
            assert sentence in said
        else:
            assert answer.status_code == 409
            values = re.findall(r'name="two_choice_\d+" value="(\w+)"', said)
            assert set(values) == {"theirs", "yours"}
            assert len(re.findall(r'class="sub"', said)) >= 2


class Forms(HTMLParser):
    """Where the forms of a page that carry a version go."""

    def __init__(self, answer: HttpResponse, own: str) -> None:
        super().__init__()
        self.own, self.going, self.found = own, "", set[str]()
        self.feed(answer.content.decode())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.going = urlsplit(given.get("action") or self.own).path
        if (
            tag == "input"
            and given.get("name") in ("version", "versions")
            and given.get("value", "") not in FIRST
        ):
            self.found.add(resolve(self.going).view_name)


def test_every_form_that_carries_a_version_is_tried_with_a_stale_one(house: House):
    found = set()
    for way in ways(("GET",)):
        if not way.cell.api:
            answer = way.ask(house.browser("admin"), Fill(house.ours, me=house.me("admin")))
            if answer.get("Content-Type", "").startswith("text/html"):
                found |= Forms(answer, answer.wsgi_request.path).found
    assert len(found) > 15
    assert found - {way.cell.name for way in VERSIONED} == set()


def test_every_operation_that_asks_for_a_version_is_tried_with_a_stale_one(house: House):
    paths = Client().get("/api/v1/schema", headers={"Accept": "application/json"}).json()["paths"]
    asked = {
        (method.upper(), re.sub(r"\{\w+\}", "{}", path))
        for path, operations in paths.items()
        for method, operation in operations.items()
        if method != "parameters" and any(_if_match(p) for p in operation.get("parameters", ()))
    }
    fill = Fill(house.ours, me=house.me("admin"))
    tried = {
        (way.method, re.sub(r"<[^>]+>", "{}", "/" + resolve(fill.text(way.cell.path)).route))
        for way in VERSIONED
        if way.cell.api
    }
    assert len(asked) > 25
    assert asked - tried == set()


def _if_match(parameter: dict[str, str]) -> bool:
    return "IfMatch" in parameter.get("$ref", "") or parameter.get("name") == "If-Match"
