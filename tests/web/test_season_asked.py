"""The season is asked for on a page and worked out behind it: the page answers at once and says so."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client

from collection.models import Club, Job, Member
from collection.queries.errors import Refused
from collection.usecases import leases, reference, season_asked, sweep
from tests.factories import ClubFactory, MemberFactory, SiteFactory, TreeFactory, actor_of
from workers.seasons import work_out

pytestmark = pytest.mark.django_db
WAITS = "The season is being worked out again."
PINE_ROW = "G01-BUD_SELECT-1015"


@pytest.fixture
def member(time_machine) -> Member:
    time_machine.move_to("2026-11-25T09:00:00+00:00", tick=False)
    reference.load()
    person = MemberFactory(coordinator=True, club=ClubFactory(latitude=48.0))
    TreeFactory(site=SiteFactory(club=person.club), two_flush_pine=True)
    return person


@pytest.fixture
def browser(member: Member) -> Client:
    client = Client()
    client.force_login(member.account)
    return client


def test_the_page_answers_before_anything_is_worked_out_and_says_so_until_it_is(browser: Client):
    shown = browser.post("/season/again", follow=True).content.decode()
    assert WAITS in shown
    assert 'data-plan-url="/season/state"' in shown
    assert "Work the season out again" not in shown
    assert browser.get("/season/state").json() == {"state": "waiting"}
    assert not Job.objects.exists()
    assert sweep.work_out() == 1
    assert Job.objects.exists()
    after = browser.get("/season").content.decode()
    assert WAITS not in after
    assert "Work the season out again" in after
    assert browser.get("/season/state").json() == {"state": "ready"}


def test_a_program_is_answered_at_once_and_can_see_when_it_is_done(browser: Client):
    asked = browser.post("/api/v1/season/again")
    assert (asked.status_code, asked.json()) == (202, {"season_waits": True})
    assert browser.get("/api/v1/season").json()["season_waits"] is True
    assert not Job.objects.exists()
    sweep.work_out()
    assert browser.get("/api/v1/season").json()["season_waits"] is False
    assert Job.objects.exists()


def test_the_clubs_own_dates_let_the_season_follow(browser: Client, member: Member):
    sweep.work_out()
    dates = {"opens_0": "1", "opens_1": "11", "closes_0": "31", "closes_1": "1", "version": ""}
    browser.post(f"/programme/{PINE_ROW}", dates)
    assert not Job.objects.exists()
    sweep.work_out()
    assert f"{Job.objects.get(task='BUD_SELECT', season_year=2026).opens:%m-%d}" == "11-01"
    browser.post(f"/programme/{PINE_ROW}/back", {"version": "1"})
    assert f"{Job.objects.get(task='BUD_SELECT', season_year=2026).opens:%m-%d}" == "11-01"
    sweep.work_out()
    assert f"{Job.objects.get(task='BUD_SELECT', season_year=2026).opens:%m-%d}" == "10-15"


def test_one_worker_works_on_a_season_and_a_second_one_leaves_it(member: Member):
    season_asked.ask(actor=actor_of(member))
    assert leases.take(f"season:{member.club_id}", "another worker", timedelta(minutes=5))
    assert work_out(member.club_id) is False
    assert not Job.objects.exists()
    leases.give_back(f"season:{member.club_id}", "another worker")
    assert work_out(member.club_id) is True
    assert work_out(member.club_id) is False
    assert Club.objects.get(pk=member.club_id).season_asked_at is None


def test_only_a_coordinator_asks(member: Member):
    with pytest.raises(Refused, match="coordinators_only"):
        season_asked.ask(actor=actor_of(MemberFactory(club=member.club)))
    assert Club.objects.get(pk=member.club_id).season_asked_at is None
