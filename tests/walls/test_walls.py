"""Every address x method x role: what each person may do, and that no address is left out."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from django.conf import settings
from django.urls import resolve, reverse

from tests.walls.asking import Fill, Way, addresses, cells, watched, ways
from tests.walls.cells import METHODS, ROLES, TO_SIGN_IN, Cell, Status, expected
from tests.walls.conftest import House

WRITES = ("POST", "PUT", "PATCH", "DELETE")
SERVED = ways(METHODS)
NOT_SERVED = [
    (cell, method)
    for cell in cells()
    for method in METHODS
    if not cell.writes(method) and cell.reads(method) is None
    if not any(c.writes(method) or c.reads(method) is not None for c in cells() if c.name == cell.name)
]


def test_every_address_has_a_cell_and_every_cell_an_address(house: House):
    there = Counter(addresses())
    reached = set()
    for cell in cells():
        match = resolve(Fill(house.ours, me=house.me("member")).text(cell.path))
        name = match.view_name or match.route
        assert name == cell.name, f"{cell.path} leads to {name}"
        reached.add((name, match.route))
    assert set(there) - reached == set(), "addresses without a cell: see tests/walls/cells.py"
    assert reached - set(there) == set()


def _fell(way: Way, house: House, role: str, *, empty: bool = False) -> tuple[int | str, bool]:
    """What a person is answered, and whether any row changed; taken back afterwards."""
    with watched(house.clean) as watch:
        fill = Fill(house.ours, me=house.me(role) or house.me("member"))
        answer = way.ask(house.browser(role), fill, empty=empty)
        to_sign_in = answer.status_code == 302 and answer["Location"].startswith(reverse(settings.LOGIN_URL))
        said = TO_SIGN_IN if to_sign_in and role == "anonymous" else answer.status_code
        return said, watch.changed


def _good(status: Status) -> bool:
    return isinstance(status, int) and status < 400


@pytest.mark.parametrize("way", SERVED, ids=lambda way: way.label)
def test_each_person_may_do_what_the_cell_says(way: Way, house: House):
    said = way.write.full if way.write else way.cell.reads(way.method)
    assert said is not None
    wanted = expected(way.cell, said)
    fell = {role: _fell(way, house, role) for role in ROLES}
    assert {role: status for role, (status, _) in fell.items()} == wanted
    if way.write:
        accepted = {role for role in ROLES if _good(wanted[role])}
        wrote = {role for role, (_, changed) in fell.items() if changed}
        assert wrote == (accepted if way.write.changes else set()), "who wrote against who was accepted"


@pytest.mark.parametrize("way", [w for w in SERVED if w.write and w.write.empty], ids=lambda way: way.label)
def test_an_empty_body_is_answered_and_writes_nothing(way: Way, house: House):
    assert way.write is not None
    assert way.write.empty is not None
    wanted = expected(way.cell, way.write.empty)
    fell = {role: _fell(way, house, role, empty=True) for role in ROLES}
    assert {role: status for role, (status, _) in fell.items()} == wanted
    assert {role for role, (_, changed) in fell.items() if changed and not _good(wanted[role])} == set()


@pytest.mark.parametrize(("cell", "method"), NOT_SERVED, ids=lambda v: v.label if isinstance(v, Cell) else v)
def test_a_method_that_is_not_served_says_so(cell: Cell, method: str, house: House):
    # A wall may come first, and so may the way home of somebody who is signed in already.
    answers = {_fell(Way(cell, method), house, role)[0] for role in ("admin", "anonymous")}
    assert 405 in answers
    assert answers <= {405, 401, 403, TO_SIGN_IN, 302}


@pytest.mark.parametrize("way", [way for way in SERVED if way.write], ids=lambda way: way.label)
def test_no_write_is_taken_from_another_site(way: Way, house: House):
    with watched(house.clean) as watch:
        browser = house.browser("admin", enforce_csrf_checks=True)
        answer = way.ask(browser, Fill(house.ours, me=house.me("admin")))
        assert answer.status_code == 403
        assert not watch.changed


def test_labels_are_different():
    assert [label for label, n in Counter(way.label for way in SERVED).items() if n > 1] == []


@pytest.mark.parametrize("cell", cells(), ids=lambda cell: cell.label)
def test_a_cell_that_writes_names_a_row_or_says_why_not(cell: Cell):
    for method in WRITES:
        for number, write in enumerate(cell.writes(method)):
            named = Way(cell, method, write, number).ids()
            assert named or cell.no_ids, f"{method} names no row: give it ids or say no_ids=..."
    assert re.fullmatch(r"|\w.*", cell.no_ids)
