"""When the sun rises and sets on a workday: the page, one's own page, the form and the API."""

from __future__ import annotations

import re
from datetime import date, time

import pytest
from django.test import Client

from collection.models import Club, Workday
from collection.queries.sun import sun_of
from tests.factories import ClubFactory, MemberFactory, SiteFactory, WorkdayFactory

pytestmark = pytest.mark.django_db
WINTER = date(2026, 12, 21)


def london(**more: object) -> Club:
    return ClubFactory(latitude=51.4779, longitude=0.0, zone="Europe/London", **more)


@pytest.fixture
def day(time_machine) -> Workday:
    time_machine.move_to("2026-11-25T09:00:00+00:00", tick=False)
    return WorkdayFactory(
        site=SiteFactory(club=london()), date=WINTER, opens=time(9, 30), closes=time(16, 30)
    )


def browser(day: Workday) -> Client:
    client = Client()
    client.force_login(MemberFactory(club=day.club, coordinator=True).account)
    return client


def text(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200, address
    return " ".join(re.sub(r"<[^>]*>", " ", answer.content.decode().replace("\u00a0", " ")).split())


def test_the_days_page_and_form_say_when_the_sun_sets_and_warn(day):
    for address in (f"/days/{day.pk}", f"/days/{day.pk}/change"):
        said = text(browser(day), address)
        # Skyfield: 08:03:05 and 15:53:01, see tests/reference/test_sun.py
        assert "rises 8:03, sets 15:53, 7 h 49 of daylight" in said
        assert "The day ends after sunset at 15:53. End earlier, or bring lamps." in said


def test_the_api_gives_the_sun_of_a_day(day):
    found = browser(day).get(f"/api/v1/workdays/{day.pk}").json()
    assert (found["sunrise"], found["sunset"]) == ("08:03", "15:53")
    assert found["daylight_min"] == pytest.approx(469.9, abs=1.5)
    assert found["sun_guessed"] is False
    assert len(found["sun_warnings"]) == 1


def test_a_day_inside_the_daylight_has_no_warning():
    assert sun_of(london(), WINTER, 9 * 60, 15 * 60).warnings == ()
    assert len(sun_of(london(), WINTER, 7 * 60, 17 * 60).warnings) == 2


def test_a_day_that_is_over_warns_no_more(day):
    day.state = "held"
    day.save()
    assert "End earlier" not in text(browser(day), f"/days/{day.pk}")


def test_a_club_that_gave_no_longitude_gets_the_middle_of_its_zone():
    club = ClubFactory(latitude=-37.8, longitude=0.0, zone="Australia/Melbourne")
    guessed = sun_of(club, date(2026, 7, 1), 540, 900)
    club.longitude = 144.96
    known = sun_of(club, date(2026, 7, 1), 540, 900)
    assert (guessed.guessed, known.guessed) == (True, False)
    assert "rises about" in guessed.said
    assert guessed.said.endswith("by the time zone alone")
    # Ten hours are 150 degrees: five degrees east of the town, so 20 minutes early.
    early = (known.rises.hour - guessed.rises.hour) * 60 + known.rises.minute - guessed.rises.minute
    assert early == pytest.approx(20, abs=1)


def test_where_the_sun_stays_up_or_down_the_words_say_so():
    north = ClubFactory(latitude=78.0, longitude=15.6, zone="Arctic/Longyearbyen")
    assert sun_of(north, date(2026, 6, 21), 540, 900).said == "the sun stays up all day"
    dark = sun_of(north, WINTER, 540, 900)
    assert dark.said == "the sun does not rise"
    assert dark.warnings == ("The sun does not rise on this day. Work only under lamps.",)


def test_a_sun_that_sets_after_midnight_does_not_cut_the_evening_short():
    place = ClubFactory(latitude=65.8, longitude=15.0, zone="Europe/Stockholm")
    found = sun_of(place, date(2026, 6, 14), 600, 23 * 60)
    assert found.warnings == ()
