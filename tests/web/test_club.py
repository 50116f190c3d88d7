"""Club settings, sites and benches in the browser."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from collection.models import Bench, Club, Site
from collection.queries.mail_times import MailTimes, is_quiet, mail_times
from collection.usecases.season import regenerate
from tests.factories import BenchFactory, ClubFactory, MemberFactory, SiteFactory, TreeFactory, actor_of
from tests.walls.club import FACTS

pytestmark = pytest.mark.django_db
HERE = FACTS | {"version": "1"}


@pytest.fixture(autouse=True)
def _clock(time_machine_at) -> None:
    time_machine_at(date(2027, 1, 11))


@pytest.fixture
def club() -> Club:
    return ClubFactory(name="The Circle", longitude=2.0, altitude_m=40.0)


@pytest.fixture
def browser(club: Club) -> Client:
    client = Client()
    client.force_login(MemberFactory(club=club, coordinator=True).account)
    return client


def furnish(club: Club) -> None:
    site = SiteFactory(club=club)
    TreeFactory(site=site, group="G01", stage="F")
    regenerate(actor=actor_of(MemberFactory(club=club, coordinator=True)), today=date(2027, 1, 11))


def text(answer) -> str:
    return " ".join(answer.content.decode().split())


def test_frost_is_shown_and_taken_as_day_and_month(club: Club, browser: Client):
    shown = text(browser.get("/club"))
    assert '<option value="25" selected>25</option>' in shown
    assert '<option value="4" selected>April</option>' in shown
    assert "04-25" not in shown
    browser.post("/club", HERE | {"last_frost_0": "3", "last_frost_1": "5"})
    assert Club.objects.get().last_frost == "05-03"


def test_a_club_without_frost_leaves_both_lists_empty(club: Club, browser: Client):
    empty = dict.fromkeys(("last_frost_0", "last_frost_1", "first_frost_0", "first_frost_1"), "")
    assert browser.post("/club", HERE | empty).status_code == 302
    assert (Club.objects.get().last_frost, Club.objects.get().first_frost) == ("", "")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"last_frost_0": "", "last_frost_1": "4"}, "Choose a day and a month."),
        ({"last_frost_0": "31", "last_frost_1": "4"}, "This month has no such day. Choose another."),
        ({"latitude": "100"}, "Write a number from -90 to 90."),
        ({"name": ""}, "Fill this in."),
        ({"zone": "Mars/Base"}, "Choose one from the list."),
        ({"altitude_m": "9000"}, "Write metres from -450 to 6000."),
    ],
)
def test_a_wrong_entry_stays_and_is_explained(club: Club, browser: Client, typed: dict, said: str):
    answer = browser.post("/club", HERE | {"altitude_m": "77"} | typed)
    assert answer.status_code == 400
    assert said in text(answer)
    if "altitude_m" not in typed:
        assert 'value="77"' in text(answer)
    assert Club.objects.get().version == 1


def test_what_moves_is_said_before_it_is_kept_and_kept_when_it_was_seen(club: Club, browser: Client):
    furnish(club)
    moving = HERE | {"first_frost_0": "14", "first_frost_1": "11"}
    asked = browser.post("/club", moving)
    shown = text(asked)
    assert asked.status_code == 200
    assert "windows move. Nothing is kept yet." in shown.replace("\N{NO-BREAK SPACE}", " ")
    assert Club.objects.get().first_frost == "10-25"
    seen = shown.split('name="seen" value="')[1].split('"')[0]
    other = browser.post("/club", moving | {"first_frost_0": "20", "seen": seen + "1"})
    assert "Nothing is kept yet." in text(other)
    done = browser.post("/club", moving | {"seen": seen}, follow=True)
    assert "The season is being worked out again." in text(done)
    assert Club.objects.get().first_frost == "11-14"


def test_two_who_change_the_club_are_asked_which_is_right(club: Club, browser: Client):
    browser.post("/club", HERE | {"altitude_m": "50"})
    late = browser.post("/club", HERE | {"altitude_m": "60"})
    assert late.status_code == 409
    assert "Height above the sea" in text(late)
    assert Club.objects.get().altitude_m == 50


def test_sites_and_benches_are_added_and_listed(club: Club, browser: Client):
    assert "The club&#x27;s sites will be listed here." in text(browser.get("/club/sites"))
    browser.post("/club/sites", {"name": "Alder Yard", "kind": "ground", "address": "Mill Lane"})
    site = Site.objects.get()
    browser.post(f"/club/sites/{site.pk}/benches", {"name": "Wall", "weeks_later": "1"})
    shown = text(browser.get("/club/sites"))
    assert "1 site with 1 bench." in shown.replace("\N{NO-BREAK SPACE}", " ")
    assert "A week later: in shade" in shown
    again = browser.post(f"/club/sites/{site.pk}/benches", {"name": "wall", "weeks_later": "0"})
    assert again.status_code == 400
    assert "There is a bench called wall already." in text(again)


def test_a_bench_with_trees_says_why_it_stays(club: Club, browser: Client):
    bench = BenchFactory(site=SiteFactory(club=club), name="Wall")
    TreeFactory(site=bench.site, bench=bench)
    said = text(browser.post(f"/club/benches/{bench.pk}/retire", {"version": "1"}, follow=True))
    assert "One tree stands on Wall. Move the trees to another bench first." in said
    assert Bench.objects.get().retired_at is None


def test_only_coordinators_find_the_settings_in_the_foot(club: Club, browser: Client):
    member = Client()
    member.force_login(MemberFactory(club=club).account)
    assert "Club settings" in text(browser.get("/season"))
    assert "Club settings" not in text(member.get("/season"))


def test_the_lists_cost_the_same_for_any_number_of_benches(club: Club, browser: Client):
    def cost() -> int:
        browser.get("/club/sites")
        with CaptureQueriesContext(connection) as taken:
            browser.get("/club/sites")
        return len(taken)

    site = SiteFactory(club=club)
    TreeFactory(site=site, bench=BenchFactory(site=site))
    before = cost()
    for _ in range(5):
        more = SiteFactory(club=club)
        TreeFactory(site=more, bench=BenchFactory(site=more))
    assert cost() == before


def test_hour_and_quiet_weeks_of_the_mails_are_the_clubs_own(club: Club, browser: Client):
    shown = text(browser.get("/club"))
    assert "8:00 is usual. It is an assumption." in shown
    own = {"mail_hour": "18", "mails_a_week": "1", "quiet": "own"}
    days = {"quiet_from_0": "20", "quiet_from_1": "12", "quiet_to_0": "6", "quiet_to_1": "1"}
    assert browser.post("/club", HERE | own).status_code == 400  # without days
    assert browser.post("/club", HERE | own | days).status_code == 302
    kept = Club.objects.get()
    assert mail_times(kept) == MailTimes(18, 1, "own", "12-20", "01-06")
    assert [is_quiet(kept, date(2027, 1, day)) for day in (6, 7)] == [True, False]
    assert '<option value="18" selected>18:00</option>' in text(browser.get("/club"))
    assert "from 18:00 on, one at most a week" in text(browser.get("/messages"))

    stale = text(browser.post("/club", HERE | {"quiet": "none"}))
    assert "from 18:00 on, 1 a week, quiet weeks: 20 December to 6 January" in stale
    browser.post("/club", HERE | {"quiet": "none", "version": "2"})
    assert not any(is_quiet(Club.objects.get(), date(2027, month, 10)) for month in range(1, 13))
