"""Clock changes, leap days and New Year where our own code leans on them. Ids name check values."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from collection.craft.monthday import MonthDay
from collection.queries.clock import local


@pytest.mark.parametrize(
    ("zone", "instant", "before", "after"),
    [
        # CAL-01 to CAL-04: tzdata 2026.6; local time a second before and at the change
        ("Europe/London", datetime(2026, 3, 29, 1, tzinfo=UTC), "00:59:59", "02:00:00"),
        ("Europe/London", datetime(2026, 10, 25, 1, tzinfo=UTC), "01:59:59", "01:00:00"),
        ("America/New_York", datetime(2026, 3, 8, 7, tzinfo=UTC), "01:59:59", "03:00:00"),
        ("America/New_York", datetime(2026, 11, 1, 6, tzinfo=UTC), "01:59:59", "01:00:00"),
        ("Australia/Melbourne", datetime(2026, 4, 4, 16, tzinfo=UTC), "02:59:59", "02:00:00"),
        ("Australia/Melbourne", datetime(2026, 10, 3, 16, tzinfo=UTC), "01:59:59", "03:00:00"),
        ("Pacific/Auckland", datetime(2026, 4, 4, 14, tzinfo=UTC), "02:59:59", "02:00:00"),
        ("Pacific/Auckland", datetime(2026, 9, 26, 14, tzinfo=UTC), "01:59:59", "03:00:00"),
    ],
)
def test_the_clubs_clock_changes_at_the_published_instant(zone, instant, before, after):
    assert f"{local(instant - timedelta(seconds=1), zone):%H:%M:%S}" == before
    assert f"{local(instant, zone):%H:%M:%S}" == after


@pytest.mark.parametrize("zone", ["Australia/Brisbane", "Asia/Tokyo"])
def test_cal_05_these_clocks_never_change(zone):
    offsets = {local(datetime(2026, month, 1, tzinfo=UTC), zone).utcoffset() for month in range(1, 13)}
    assert len(offsets) == 1


def test_cal_11_a_window_read_from_a_leap_day_is_the_28th_in_every_year():
    # 2000, 2024 and 2028 are leap years; 1900, 2026 and 2100 are not
    for year in (2000, 2024, 2028):
        assert MonthDay.of(date(year, 2, 29)) == MonthDay(2, 28)
    for year in (1900, 2026, 2100):
        assert MonthDay.of(date(year, 2, 28) + timedelta(days=1)) == MonthDay(3, 1)


def test_days_are_counted_over_new_year_by_the_shorter_way():
    assert MonthDay(1, 5).days_after(MonthDay(12, 28)) == 8
    assert MonthDay(12, 28).plus(8) == MonthDay(1, 5)
    assert MonthDay(12, 31).plus(1) == MonthDay(1, 1)
