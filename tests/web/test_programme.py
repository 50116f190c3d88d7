"""The programme is read with its label and source, and the club sets its own dates."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client

from collection.models import ClubRow, Job
from collection.usecases import reference, season, season_asked
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


def dates(opens: str) -> dict[str, str]:
    """A window up to the last of January as the form sends it, "day month"."""
    day, _, month = opens.partition(" ")
    return {"opens_0": day, "opens_1": month, "closes_0": "31", "closes_1": "1"}


def test_own_dates_stand_as_own_beside_those_of_the_programme(member):
    client = browser(member)
    client.post(ROW, dates("1 11") | {"version": ""})
    page = client.get(ROW).content.decode().replace("\u00a0", " ").replace("&#x27;", "'")
    assert "<dt>Baseline window, north, temperate</dt><dd>15 October to 28 February</dd>" in page
    assert "<dt>The club's own dates</dt><dd>1 November to 31 January</dd>" in page


def test_days_of_a_note_are_said_in_words(member):
    page = browser(member).get("/programme/G01-DECANDLE-0601").content.decode().replace("\u00a0", " ")
    assert "large 1 to 15 June" in page
    assert "small 24 June to 10 July" in page
    assert "06-15" not in page


def test_own_dates_are_put_back_and_the_job_moves_back(member):
    client = browser(member)
    before = Job.objects.filter(task="BUD_SELECT", season_year=2026).values_list("opens", "closes").first()
    client.post(ROW, dates("1 11") | {"version": ""})
    season_asked.work_out_season(member.club_id)
    assert "Back to the programme" in client.get(ROW).content.decode()
    old = client.post(f"{ROW}/back", {"version": "7"})
    assert old.status_code == 409
    back = client.post(f"{ROW}/back", {"version": "1"}, follow=True)
    html = back.content.decode()
    assert "The dates are those of the programme again." in html.replace("&#x27;", "'")
    assert "Back to the programme&#x27;s dates" not in html
    assert "the club&#x27;s own" not in html
    assert ClubRow.objects.get().values == {}
    season_asked.work_out_season(member.club_id)
    job = Job.objects.get(task="BUD_SELECT", season_year=2026)
    assert before in (None, (job.opens, job.closes))
    assert job.opens == date(2026, 10, 15)


def test_only_rows_of_the_clubs_trees_are_shown_with_their_trust(member):
    html = browser(member).get("/programme").content.decode()
    assert "Two-flush pine" in html
    assert "Japanese maple" not in html
    assert "Stocktake" in html  # for all trees


def test_a_row_says_how_its_window_was_found_and_who_says_so(member):
    html = browser(member).get(ROW).content.decode().replace("\u00a0", " ")
    for words in (
        "15 October to 28 February",
        "Thu 15 Oct 2026",
        "Sun 28 Feb 2027",
        "published; days are an assumption",
    ):
        assert words in html, words


def test_own_dates_move_the_job_and_are_written_down_with_their_version(member):
    client = browser(member)
    answer = client.post(ROW, dates("1 11") | {"why": "Mild autumn", "version": ""})
    assert answer.status_code == 302
    row = ClubRow.objects.get()
    assert (row.values, row.why, row.version) == ({"opens": "11-01", "closes": "01-31"}, "Mild autumn", 1)
    assert season_asked.work_out_season(member.club_id)
    job = Job.objects.get(task="BUD_SELECT", season_year=2026)
    assert (job.opens, job.closes) == (date(2026, 11, 1), date(2027, 1, 31))
    stale = client.post(ROW, dates("2 11") | {"version": ""})
    assert stale.status_code == 409
    assert "Which one is right?" in stale.content.decode()
    assert ClubRow.objects.get().version == 1
    assert client.post(ROW, dates("2 11") | {"version": "1"}).status_code == 302
    assert ClubRow.objects.get().version == 2


@pytest.mark.parametrize("opens", ["31 2", "1 ", "soon 3", " "])
def test_a_date_that_is_none_is_refused_and_nothing_is_kept(member, opens):
    answer = browser(member).post(ROW, dates(opens) | {"version": ""})
    assert answer.status_code == 400
    assert not ClubRow.objects.exists()


def test_a_member_reads_and_does_not_change(member):
    other = browser(MemberFactory(club=member.club))
    assert "Keep our own dates" not in other.get(ROW).content.decode()
    assert other.post(ROW, dates("1 11")).status_code == 403
    assert not ClubRow.objects.exists()


def test_a_row_that_is_none_is_not_found(member):
    assert browser(member).get("/programme/G01-HAIRCUT-0101").status_code == 404
