"""Lists by cursor: every row once, whatever comes and goes meanwhile."""

from __future__ import annotations

import pytest
from django.core import signing

from api.paging import SALT
from collection.models import Tree
from tests.api.conftest import Program
from tests.factories import JobFactory, MemberFactory, SiteFactory, TreeFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def site(planner):
    return SiteFactory(club=planner.club)


def walk(program: Program, path: str, **query: object) -> list[list[int]]:
    """Every page of a list, as the ids on it."""
    pages, cursor = [], ""
    while cursor is not None:
        answer = program.get(path, **query, **({"cursor": cursor} if cursor else {}))
        assert answer.status_code == 200, answer.content
        pages.append([row["id"] for row in answer.json()["items"]])
        cursor = answer.json()["next"]
    return pages


def test_pages_hold_every_row_once_in_order(program, site):
    made = [TreeFactory(site=site, accession=f"2020.{n:03d}").pk for n in range(7)]
    assert walk(program, "trees", limit=3) == [made[:3], made[3:6], made[6:]]
    assert walk(program, "trees", limit=7) == [made]


def test_rows_that_come_and_go_neither_double_nor_lose_another(program, site):
    made = [TreeFactory(site=site, accession=f"2020.{n:03d}").pk for n in range(6)]
    first = program.get("trees", limit=3).json()
    TreeFactory(site=site, accession="2000.000")
    Tree.objects.filter(pk=made[1]).delete()
    late = TreeFactory(site=site, accession="2020.0035").pk
    rest = program.get("trees", limit=10, cursor=first["next"]).json()
    assert [row["id"] for row in rest["items"]] == [made[3], late, *made[4:]]
    assert rest["next"] is None


def test_rows_with_the_same_day_are_told_apart_by_their_ids(program, site):
    tree = TreeFactory(site=site)
    made = [JobFactory(tree=tree).pk for _ in range(5)]
    assert walk(program, "jobs", limit=2) == [made[:2], made[2:4], made[4:]]


def test_a_list_that_runs_backwards_goes_on_too(program, site):
    tree = TreeFactory(site=site)
    for n in range(1, 6):
        program.post(
            f"trees/{tree.pk}/counts", {"on": f"2026-03-0{n}", "counts": [{"kind": "fine", "amount": n}]}
        )
    days = [row["on"] for page in _rows(program, f"trees/{tree.pk}/counts", limit=2) for row in page]
    assert days == [f"2026-03-0{n}" for n in (5, 4, 3, 2, 1)]


def _rows(program: Program, path: str, **query: object) -> list[list[dict]]:
    pages, cursor = [], ""
    while cursor is not None:
        body = program.get(path, **query, **({"cursor": cursor} if cursor else {})).json()
        pages.append(body["items"])
        cursor = body["next"]
    return pages


def test_a_cursor_says_nothing_to_read(program, site):
    TreeFactory.create_batch(2, site=site)
    cursor = program.get("trees", limit=1).json()["next"]
    assert "2020" not in cursor


@pytest.mark.parametrize(
    "cursor",
    [
        "x",
        "a:b:c",
        "é",
        signing.dumps({"list": "/api/v1/jobs", "after": ["2027-03-01", 1]}, salt=SALT),
        signing.dumps({"list": "/api/v1/trees", "after": ["2020.001"]}, salt=SALT),
        signing.dumps({"list": "/api/v1/trees", "after": ["2020.001", "x"]}, salt=SALT),
        signing.dumps({"list": "/api/v1/trees", "after": ["2020.001", 1]}, salt="another"),
    ],
)
def test_a_cursor_that_is_not_this_lists_is_refused(program, site, cursor):
    answer = program.get("trees", cursor=cursor)
    assert (answer.status_code, answer.json()["code"]) == (400, "cursor_unreadable")


def test_a_cursor_goes_on_only_with_the_same_question(program, site):
    TreeFactory.create_batch(3, site=site, stage="F")
    cursor = program.get("trees", limit=1, stage="F").json()["next"]
    assert program.get("trees", limit=2, stage="F", cursor=cursor).status_code == 200
    assert program.get("trees", limit=1, cursor=cursor).json()["code"] == "cursor_unreadable"


def test_a_cursor_of_another_club_shows_nothing_of_it(program, site):
    theirs = MemberFactory(coordinator=True)
    TreeFactory.create_batch(3, site=SiteFactory(club=theirs.club))
    cursor = Program(theirs).get("trees", limit=1).json()["next"]
    ours = TreeFactory(site=site, accession="2099.001").pk
    assert [row["id"] for row in program.get("trees", cursor=cursor).json()["items"]] == [ours]


@pytest.mark.parametrize("limit", ["0", "201", "-1", "x", "1.5", "", "9" * 30])
def test_a_page_holds_from_one_row_to_two_hundred(program, site, limit):
    answer = program.get("trees", limit=limit)
    assert (answer.status_code, answer.json()["field"]) == (400, "limit")
