"""Every address x method x person: what each may do, and that another club's row is no row at all."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time

import pytest
from django.test import Client
from django.urls import get_resolver

from collection import models
from collection.usecases import bends, workdays
from tests.factories import JobFactory, MemberFactory, PlanFactory, SiteFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db
GONE = 999_999
OPEN = {"sign-in", "sign-out", "healthz", "readyz", "home"}
# name -> (GET, POST) for a member; for a coordinator; 405 where the method is not served
TABLE = {
    "season": ((200, 405), (200, 405)),
    "season-again": ((405, 403), (405, 302)),
    "programme": ((200, 405), (200, 405)),
    "programme-row": ((200, 400), (200, 400)),
    "trees": ((200, 405), (200, 405)),
    "tree": ((200, 405), (200, 405)),
    "tree-job": ((405, 400), (405, 400)),
    "tree-counts": ((405, 400), (405, 400)),
    "tree-sign": ((405, 400), (405, 400)),
    "job-window": ((405, 403), (405, 302)),
    "job-not-this-year": ((405, 403), (405, 302)),
    "bend-sign": ((405, 403), (405, 302)),
    "days": ((200, 405), (200, 405)),
    "day-new": ((403, 403), (200, 400)),
    "day": ((200, 405), (200, 405)),
    "day-answer": ((405, 400), (405, 400)),
    "day-plan": ((405, 403), (405, 302)),
    "plan-state": ((200, 405), (200, 405)),
    "plan-send": ((405, 403), (405, 302)),
    "plan-leave-out": ((405, 403), (405, 302)),
    "plan-put-back": ((405, 403), (405, 302)),
    "plan-move": ((405, 403), (405, 302)),
    "plan-not-here": ((405, 403), (405, 302)),
    "sitting-new": ((200, 400), (200, 400)),
    "estimate": ((200, 405), (200, 405)),
    "number": ((200, 405), (200, 405)),
    "api-estimates": ((405, 415), (405, 415)),
}


@dataclass
class Rows:
    """One row of everything an address can name."""

    tree: int
    job: int
    bend: int
    day: int
    plan: int
    member: int


def furnish(club: models.Club) -> Rows:
    site = SiteFactory(club=club)
    planner = actor_of(MemberFactory(club=club, coordinator=True))
    tree = TreeFactory(site=site, group="G03")
    bend_job = bends.want_bend(
        actor=planner, tree_id=tree.pk, diameter_mm=25.0, opens=date(2027, 3, 1), closes=date(2027, 4, 1)
    )
    day = workdays.create_workday(
        actor=planner, site_id=site.pk, on=date(2027, 3, 6), opens=time(9, 30), closes=time(13, 30)
    )
    member = MemberFactory(club=club)
    workdays.offer_hours(actor=planner, workday_id=day, member_id=member.pk, answer="yes")
    plan = PlanFactory(workday_id=day, club=club, state="ready", ready_at=datetime(2027, 3, 1, tzinfo=UTC))
    bend = models.Job.objects.get(pk=bend_job).bend_id
    assert bend is not None
    JobFactory(tree=tree)
    return Rows(tree.pk, bend_job, bend, day, plan.pk, member.pk)


def address(name: str, rows: Rows) -> str:
    return {
        "season": "/season",
        "season-again": "/season/again",
        "programme": "/programme",
        "programme-row": "/programme/G01-DECANDLE-0601",
        "trees": "/trees",
        "tree": f"/trees/{rows.tree}",
        "tree-job": f"/trees/{rows.tree}/jobs",
        "tree-counts": f"/trees/{rows.tree}/counts",
        "tree-sign": f"/trees/{rows.tree}/signs",
        "job-window": f"/jobs/{rows.job}/window",
        "job-not-this-year": f"/jobs/{rows.job}/not-this-year",
        "bend-sign": f"/bends/{rows.bend}/sign",
        "days": "/days",
        "day-new": "/days/new",
        "day": f"/days/{rows.day}",
        "day-answer": f"/days/{rows.day}/answers",
        "day-plan": f"/days/{rows.day}/plan",
        "plan-state": f"/plans/{rows.plan}/state",
        "plan-send": f"/plans/{rows.plan}/send",
        "plan-leave-out": f"/plans/{rows.plan}/jobs/{rows.job}/leave-out",
        "plan-put-back": f"/plans/{rows.plan}/jobs/{rows.job}/put-back",
        "plan-move": f"/plans/{rows.plan}/jobs/{rows.job}/move",
        "plan-not-here": f"/plans/{rows.plan}/people/{rows.member}/not-here",
        "sitting-new": f"/sittings/new?tree={rows.tree}",
        "estimate": "/estimate",
        "number": f"/numbers/job/{rows.job}",
        "api-estimates": "/api/v1/estimates",
    }[name]


ONES = Rows(1, 1, 1, 1, 1, 1)
# A programme row's key belongs to no club; every other address with a number in it names a club's row.
NAMED = [
    name
    for name in TABLE
    if name != "programme-row" and any(c.isdigit() for c in address(name, ONES).removeprefix("/api/v1"))
]


def browser_of(member: models.Member | None) -> Client:
    client = Client()
    if member is not None:
        client.force_login(member.account)
    return client


def plain(answer) -> bytes:
    """The answer without the random mask of its form token."""
    return re.sub(rb'(csrfmiddlewaretoken" value=")[^"]*', rb"\1", answer.content)


def names(patterns) -> set[str]:
    found = set()
    for pattern in patterns:
        if hasattr(pattern, "url_patterns"):
            found |= names(pattern.url_patterns)
        else:
            found.add(pattern.name)
    return found


def test_every_address_is_in_the_table():
    assert names(get_resolver().url_patterns) == set(TABLE) | OPEN


@pytest.fixture
def club() -> models.Club:
    return SiteFactory().club


@pytest.mark.parametrize("name", sorted(TABLE))
@pytest.mark.parametrize("planner", [False, True], ids=["member", "coordinator"])
def test_each_person_may_do_what_the_table_says(name: str, planner: bool, club: models.Club):
    rows = furnish(club)
    person = MemberFactory(club=club, coordinator=True) if planner else MemberFactory(club=club)
    client = browser_of(person)
    expected = TABLE[name][planner]
    assert (
        client.get(address(name, rows)).status_code,
        client.post(address(name, rows)).status_code,
    ) == expected


@pytest.mark.parametrize("name", sorted(set(TABLE) - {"api-estimates"}))
def test_nobody_gets_in_without_signing_in(name: str, club: models.Club):
    rows = furnish(club)
    for answer in (browser_of(None).get(address(name, rows)), browser_of(None).post(address(name, rows))):
        served = answer.status_code == 405 or (answer.status_code, answer.url[:8]) == (302, "/sign-in")
        assert served, (name, answer.status_code)


@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.parametrize("name", NAMED)
def test_another_clubs_row_answers_like_a_row_that_does_not_exist(name: str, method: str, club: models.Club):
    theirs, nothing = furnish(club), Rows(GONE, GONE, GONE, GONE, GONE, GONE)
    client = browser_of(MemberFactory(coordinator=True))
    there = getattr(client, method)(address(name, theirs))
    nowhere = getattr(client, method)(address(name, nothing))
    assert there.status_code == nowhere.status_code
    assert there.status_code in (404, 405)
    assert plain(there) == plain(nowhere)


def test_another_clubs_id_in_the_body_is_no_id(club: models.Club):
    ours, theirs = furnish(club), furnish(SiteFactory().club)
    client = browser_of(MemberFactory(club=club, coordinator=True))
    for member in (theirs.member, GONE):
        answer = client.post(f"/days/{ours.day}/answers", {"member": member, "answer": "yes"})
        assert answer.status_code == 400
        moved = client.post(f"/plans/{ours.plan}/jobs/{ours.job}/move", {"lead": member})
        assert moved.status_code == 404
        kept = client.post(
            f"/sittings/new?tree={ours.tree}",
            {"people": member, "on": "2027-03-01", "minutes": 30, "key": "k", "tasks-TOTAL_FORMS": 0,
             "tasks-INITIAL_FORMS": 0},
        )  # fmt: skip
        assert kept.status_code == 400
    assert not models.Sitting.objects.exists()
    assert not models.Offer.objects.filter(member_id=theirs.member, workday_id=ours.day).exists()


def test_a_member_answers_for_himself_and_for_nobody_else(club: models.Club):
    rows = furnish(club)
    me = MemberFactory(club=club)
    client = browser_of(me)
    mine = client.post(f"/days/{rows.day}/answers", {"member": me.pk, "answer": "yes"})
    assert mine.status_code == 302
    assert (
        client.post(f"/days/{rows.day}/answers", {"member": rows.member, "answer": "no"}).status_code == 400
    )
    assert models.Offer.objects.get(member_id=rows.member).answer == "yes"


def test_a_member_who_has_left_is_outside_at_once(club: models.Club):
    person = MemberFactory(club=club)
    client = browser_of(person)
    assert client.get("/season").status_code == 200
    models.Member.objects.filter(pk=person.pk).update(active_to=date(2021, 1, 1))
    assert client.get("/season").status_code == 403
