"""Another club's row is no row at all: in path, query and body, to the last byte."""

from __future__ import annotations

from datetime import date

import pytest

from collection import models
from tests.factories import MemberFactory
from tests.walls.asking import GONE, Fill, Way, alike, watched, ways
from tests.walls.cells import METHODS, Write
from tests.walls.conftest import House

NAMED = [
    pytest.param(way, place, id=f"{way.label}-{place}-{name}")
    for way in ways(METHODS)
    if way.method != "OPTIONS"
    for place, name in enumerate(way.ids())
]


@pytest.mark.parametrize(("way", "place"), NAMED)
@pytest.mark.parametrize("role", ["member", "admin"])
def test_another_clubs_id_is_answered_like_one_that_does_not_exist(
    way: Way, place: int, role: str, house: House
):
    name = way.ids()[place]
    theirs = house.theirs.people[role].pk if name == "me" else house.theirs.ids[name]
    answers = []
    for value in (theirs, GONE if isinstance(theirs, int) else "nothing-of-the-kind"):
        with watched(house.clean) as watch:
            fill = Fill(house.ours, me=house.me(role), swap=place, value=value)
            answer = way.ask(house.browser(role), fill)
            assert fill.seen == len(way.ids())
            assert answer.status_code != 201
            assert not watch.changed, f"something was written for {name} {value}"
            answers.append(alike(answer, theirs, GONE))
    assert answers[0] == answers[1]
    if way.cell.path.count("{") > place:
        assert answers[0][0] in (403, 404)


def test_every_id_of_the_two_clubs_differs(house: House):
    assert [name for name in house.ours.ids if house.ours.ids[name] == house.theirs.ids[name]] == []
    assert set(house.ours.ids) == set(house.theirs.ids)


def _answer(house: House, role: str, member: int, said: str) -> int:
    day = next(w for w in ways(("POST",)) if w.cell.name == "day-answer")
    write = Write(302, {"member": str(member), "answer": said})
    return Way(day.cell, "POST", write).ask(house.browser(role), Fill(house.ours)).status_code


def test_a_member_answers_for_himself_and_for_nobody_else(house: House):
    me, other = house.me("member"), house.ours.ids["member"]
    assert me is not None
    assert _answer(house, "member", me, "no") == 302
    assert _answer(house, "member", other, "no") == 400
    said = dict(models.Offer.objects.filter(workday=house.ours.ids["day"]).values_list("member", "answer"))
    assert said == {me: "no", other: "yes"}


def test_a_member_who_has_left_is_outside_at_once(house: House):
    assert house.browser("member").get("/season").status_code == 200
    models.Member.objects.filter(pk=house.me("member")).update(active_to=date(2021, 1, 1))
    assert house.browser("member").get("/season").status_code == 403


def test_somebody_in_two_clubs_acts_in_one_of_them_at_a_time(house: House):
    account = house.ours.people["coordinator"].account
    MemberFactory(club=house.theirs.club, account=account, coordinator=True)
    browser = house.browser("coordinator")
    assert browser.get(f"/trees/{house.ours.ids['tree']}").status_code == 200
    assert browser.get(f"/trees/{house.theirs.ids['tree']}").status_code == 404
