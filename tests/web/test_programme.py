"""The programme is read with its label and source, and the club sets its own dates."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client

from collection.models import ClubRow, Job
from collection.usecases import reference, season
from tests.factories import ClubFactory, MemberFactory, SiteFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db
ROW = "/programme/G01-BUD_SELECT-1015"
TODAY = date(2026, 11, 25)


@pytest.fixture
def member(time_machine):
    time_machine.move_to("2026-11-25T09:00:00+00:00", tick=False)
    reference.load()
    person = MemberFactory(coordinator=True, club=ClubFactory(latitude=48.0))
    TreeFactory(site=SiteFactory(club=person.club), two_flush_pine=True)
    season.regenerate(actor=actor_of(person), today=TODAY)
    return person


def browser(member) -> Client:
    client = Client()
    client.force_login(member.account)
    return client


def test_only_rows_of_the_clubs_trees_are_shown_with_their_trust(member):
    html = browser(member).get("/programme").content.decode()
    assert "Two-flush pine" in html
    assert "Japanese maple" not in html
    assert "Stocktake" in html  # for all trees


def test_a_row_says_how_its_window_was_found_and_who_says_so(member):
    html = browser(member).get(ROW).content.decode().replace("\u00a0", " ")
    for words in (
        "10-15 to 02-28",
        "Thu 15 Oct 2026",
        "Sun 28 Feb 2027",
        "published; days are an assumption",
    ):
        assert words in html, words


def test_own_dates_move_the_job_and_are_written_down_with_their_version(member):
    client = browser(member)
    answer = client.post(ROW, {"opens": "11-01", "closes": "01-31", "why": "Mild autumn", "version": ""})
    assert answer.status_code == 302
    row = ClubRow.objects.get()
    assert (row.values, row.why, row.version) == ({"opens": "11-01", "closes": "01-31"}, "Mild autumn", 1)
    job = Job.objects.get(task="BUD_SELECT", season_year=2026)
    assert (job.opens, job.closes) == (date(2026, 11, 1), date(2027, 1, 31))
    stale = client.post(ROW, {"opens": "11-02", "closes": "01-31", "version": ""})
    assert stale.status_code == 409
    assert "Which one is right?" in stale.content.decode()
    assert ClubRow.objects.get().version == 1
    assert client.post(ROW, {"opens": "11-02", "closes": "01-31", "version": "1"}).status_code == 302
    assert ClubRow.objects.get().version == 2


@pytest.mark.parametrize("opens", ["31-02", "soon", ""])
def test_a_date_that_is_none_is_refused_and_nothing_is_kept(member, opens):
    answer = browser(member).post(ROW, {"opens": opens, "closes": "01-31", "version": ""})
    assert answer.status_code == 400
    assert not ClubRow.objects.exists()


def test_a_member_reads_and_does_not_change(member):
    other = browser(MemberFactory(club=member.club))
    assert "Keep our own dates" not in other.get(ROW).content.decode()
    assert other.post(ROW, {"opens": "11-01", "closes": "01-31"}).status_code == 403
    assert not ClubRow.objects.exists()


def test_a_row_that_is_none_is_not_found(member):
    assert browser(member).get("/programme/G01-HAIRCUT-0101").status_code == 404
