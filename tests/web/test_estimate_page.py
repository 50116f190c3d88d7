"""How long will it take, without a tree: a count, metres and a task are enough, and both paces are shown."""

from __future__ import annotations

import pytest
from django.test import Client

from collection.queries.estimates import ask, opened, two_paces
from tests.factories import ClubFactory, MemberFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def browser() -> Client:
    client = Client()
    client.force_login(MemberFactory(club=ClubFactory()).account)
    return client


def said(browser: Client, **asked: str) -> str:
    answer = browser.get("/estimate", asked)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().replace("\N{NO-BREAK SPACE}", " ").split())


def test_it_is_reached_from_the_season(browser: Client):
    assert 'href="/estimate"' in browser.get("/season").content.decode()


@pytest.mark.parametrize(
    "asked", [{"branches_total": "60"}, {"wire_m": "12"}, {"branches_total": "60", "wire_m": "12"}, {}]
)
def test_a_task_with_a_count_with_metres_or_alone_is_enough(browser: Client, asked: dict[str, str]):
    words = said(browser, task="WIRE_DETAIL", **asked)
    assert "Detail wiring: likely" in words
    assert ("Wiring, from the wire alone" in words) == (len(asked) == 2)


def test_two_paces_far_apart_ask_for_a_recount(browser: Client):
    near = said(browser, task="WIRE_DETAIL", branches_total="60", wire_m="9")
    far = said(browser, task="WIRE_DETAIL", branches_total="200", wire_m="1")
    sides = two_paces(ask(None, task="WIRE_DETAIL", branches_total=200, wire_m=1))
    assert sides is not None
    assert sides.recount
    assert sides.branches_min > 1.5 * sides.metres_min
    assert far.count(sides.said) == 1
    assert sides.said not in near


def test_an_estimate_names_the_rest_that_comes_on_top_and_by_which_convention(db):
    found = opened(ask(None, task="WIRE_DETAIL", counts={"secondary": 12}))
    with_rest = found.value * 1.15 / 60
    assert (
        f"Rest is not counted. Fine work standing asks 15 % of basic time on top: {with_rest:.1f} h."
        in found.notes
    )
    assert (
        "That is 5 personal, 4 basic fatigue, 2 standing, 2 fine work and 2 tedious work, percent, "
        "from a textbook table." in found.notes
    )


def test_a_walk_along_the_benches_asks_for_no_such_rest(db):
    assert not any("Rest" in note for note in opened(ask(None, task="PEST")).notes)
