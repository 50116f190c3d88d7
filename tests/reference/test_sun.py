"""Sunrise, sunset and day length against an ephemeris, a published statement and the calendar.

The figures of day length and of London were computed with another library (skyfield 1.55 with the JPL
ephemeris DE421), which shares no code with ours; tolerance as named there.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.craft.sun import sun_on

DAYS = (date(2026, 3, 20), date(2026, 6, 21), date(2026, 9, 23), date(2026, 12, 21))
LENGTHS = {
    "SEAS-03a London": (51.4779, 0.0, "Europe/London", (730.1, 998.1, 728.6, 469.9)),
    "SEAS-03b Tokyo": (35.90, 139.63, "Asia/Tokyo", (726.9, 875.9, 727.8, 583.3)),
    "SEAS-03e equator": (0.0, 0.0, "Etc/UTC", (726.5, 727.4, 726.5, 727.5)),
}
MIRRORS = {10.0: (762.6, 692.4), 37.8136: (887.2, 572.5), 51.4779: (998.1, 469.8)}
CENTURY = st.dates(date(1950, 1, 1), date(2099, 12, 30))


@pytest.mark.parametrize("name", LENGTHS)
def test_the_day_is_as_long_as_the_ephemeris_says(name):
    latitude, longitude, zone, minutes = LENGTHS[name]
    ours = [sun_on(latitude, longitude, on, zone).length_min for on in DAYS]
    assert ours == pytest.approx(list(minutes), abs=1.5)


@pytest.mark.parametrize(("latitude", "minutes", "near"), [(0, 726.5, 0.5), (30, 728, 2), (60, 736, 5)])
def test_the_day_at_the_equinox_is_as_long_as_a_weather_service_says(latitude, minutes, near):
    # A national weather service's page: 12 h 6.5 min at the equator, 12 h 8 min at 30, 12 h 16 min at 60
    # degrees. It names no year and no hour of the equinox, so the wider margin nearer the pole.
    assert sun_on(latitude, 0, DAYS[0], "Etc/UTC").length_min == pytest.approx(minutes, abs=near)


@pytest.mark.parametrize(
    ("on", "rises", "sets"),
    [
        (date(2026, 6, 21), "04:42:45", "21:20:52"),
        (date(2026, 12, 21), "08:03:05", "15:53:01"),
    ],
)
def test_london_sees_the_sun_within_a_minute_of_the_ephemeris(on, rises, sets):
    found = sun_on(51.4779, 0.0, on, "Europe/London")
    for ours, printed in ((found.rises, rises), (found.sets, sets)):
        wanted = datetime.fromisoformat(f"{on}T{printed}").replace(tzinfo=ZoneInfo("Europe/London"))
        assert abs(ours - wanted) <= timedelta(minutes=1)


@pytest.mark.parametrize("latitude", MIRRORS)
def test_the_south_has_the_norths_night_and_a_little_more(latitude):
    # Skyfield, longitude 0, 21 June 2026. The sum exceeds 1440: upper limb and refraction.
    north, south = (sun_on(sign * latitude, 0, DAYS[1], "Etc/UTC").length_min for sign in (1, -1))
    assert (north, south) == pytest.approx(MIRRORS[latitude], abs=1.5)
    assert north + south > 1440
    swapped = [sun_on(sign * latitude, 0, DAYS[3], "Etc/UTC").length_min for sign in (-1, 1)]
    assert swapped == pytest.approx([north, south], abs=0.5)


@pytest.mark.parametrize("latitude", [78.0, 89.99, 90.0])
def test_where_the_sun_stays_the_day_has_24_hours_or_none(latitude):
    # SEAS-07
    for sign, summer, winter in ((1, DAYS[1], DAYS[3]), (-1, DAYS[3], DAYS[1])):
        light, dark = (sun_on(sign * latitude, 15, on, "Etc/UTC") for on in (summer, winter))
        assert (light.rises, light.sets, light.length_min) == (None, None, 1440)
        assert (dark.rises, dark.sets, dark.length_min) == (None, None, 0)


@given(st.floats(-90, 90), st.floats(-180, 180), CENTURY)
def test_no_place_and_no_day_breaks_it(latitude, longitude, on):
    found = sun_on(latitude, longitude, on, "Etc/UTC")
    assert 0 <= found.length_min <= 1440
    if found.rises is not None:
        assert found.rises.date() == on
    if found.rises is not None and found.sets is not None:
        assert found.rises < found.sets


@given(st.floats(-60, 60), st.floats(-179, 179), CENTURY)
def test_below_the_polar_circles_every_day_has_its_sunrise_and_sunset(latitude, longitude, on):
    hours = round(longitude / 15)
    found = sun_on(latitude, longitude, on, f"Etc/GMT{-hours:+d}" if hours else "Etc/UTC")
    assert found.rises.date() == found.sets.date() == on
    assert 330 < found.length_min < 1150


@pytest.mark.parametrize("on", [date(2026, 6, day) for day in range(5, 15)])
def test_a_sunrise_near_midnight_in_greenwich_is_not_lost(on):
    # At 65.5 degrees north the sun rises about 02:00 in Sweden, which is midnight in Greenwich.
    found = sun_on(65.5, 15.0, on, "Europe/Stockholm")
    assert found.rises.date() == on
    assert 1290 < found.length_min < 1360


@given(st.floats(1, 60), CENTURY)
def test_nearer_the_pole_a_summer_day_is_longer(latitude, on):
    june = on.replace(month=6, day=21)
    assert (
        sun_on(latitude, 0, june, "Etc/UTC").length_min > sun_on(latitude - 1, 0, june, "Etc/UTC").length_min
    )


@pytest.mark.parametrize(
    ("zone", "longitude", "latitude", "change"),
    [
        # CAL-01, CAL-03, CAL-04 (tzdata): the days on which the clock is put on or back
        ("Europe/London", 0.0, 51.5, date(2026, 3, 29)),
        ("Europe/London", 0.0, 51.5, date(2026, 10, 25)),
        ("Australia/Melbourne", 144.96, -37.8, date(2026, 4, 5)),
        ("Australia/Melbourne", 144.96, -37.8, date(2026, 10, 4)),
        ("Pacific/Auckland", 174.76, -36.8, date(2026, 4, 5)),
        ("America/New_York", -74.0, 40.7, date(2026, 11, 1)),
    ],
)
def test_the_clock_moves_on_these_days_and_the_day_length_does_not(zone, longitude, latitude, change):
    days = [sun_on(latitude, longitude, change + timedelta(days=n), zone) for n in (-1, 0, 1)]
    wall = [day.rises.hour * 60 + day.rises.minute for day in days]
    assert abs(wall[1] - wall[0]) in range(55, 66)
    assert abs(wall[2] - wall[1]) <= 3
    assert days[1].length_min == pytest.approx((days[0].length_min + days[2].length_min) / 2, abs=0.5)
    for day in days:
        assert (day.sets.astimezone(UTC) - day.rises.astimezone(UTC)).total_seconds() / 60 == pytest.approx(
            day.length_min
        )


def test_leap_day_and_new_year_have_a_sun_of_their_own():
    for first, last in ((date(2028, 2, 27), date(2028, 3, 3)), (date(2026, 12, 29), date(2027, 1, 4))):
        days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
        suns = [sun_on(-37.8, 144.96, on, "Australia/Melbourne") for on in days]
        assert [sun.rises.date() for sun in suns] == days
        steps = [abs(b.length_min - a.length_min) for a, b in pairwise(suns)]
        assert max(steps) < 4


def test_a_zone_far_from_greenwich_gets_its_own_date():
    for zone, longitude in (
        ("Pacific/Kiritimati", -157.4),
        ("Pacific/Auckland", 174.8),
        ("Pacific/Honolulu", -157.9),
    ):
        assert sun_on(1.9, longitude, DAYS[0], zone).rises.date() == DAYS[0]


@pytest.mark.parametrize(
    "wrong", [(91, 0, "Etc/UTC"), (-90.1, 0, "Etc/UTC"), (0, 181, "Etc/UTC"), (0, 0, "Nowhere/Town")]
)
def test_a_place_that_is_none_is_refused(wrong):
    latitude, longitude, zone = wrong
    with pytest.raises(ValueError, match=r"latitude|time zone"):
        sun_on(latitude, longitude, DAYS[0], zone)
