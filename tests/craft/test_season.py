"""Windows: flip, climate shift, club weeks, tree signs. Rules are our own (assumption) unless said."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.craft import reference
from collection.craft.season import (
    Climate,
    MonthDay,
    ProgrammeRow,
    Repeat,
    Window,
    autumn_shift_days,
    garden_days_later,
    shift_days,
    size_of,
    wake_shift_days,
    window,
    window_lines,
    with_sign,
)

ROWS = {row.key: row for row in reference.all_rows()}
BASELINE = Climate(47, MonthDay(4, 25), MonthDay(10, 25))
COLD = Climate(47, MonthDay(5, 10), MonthDay(10, 5))
DAYS = st.dates(date(2023, 1, 1), date(2023, 12, 31)).map(MonthDay.of)


def own_row(opens: str, closes: str, anchor: str = "C", **more: object) -> ProgrammeRow:
    return ProgrammeRow(
        "own-1",
        "G01",
        "TRIM",
        MonthDay.parse(opens),
        MonthDay.parse(closes),
        "RBFS",
        Repeat.parse("y"),
        anchor,
        **more,  # type: ignore[arg-type]
    )


@pytest.mark.parametrize(
    ("north", "south"), [("06-15", "12-15"), ("08-31", "02-28"), ("12-31", "06-30"), ("01-15", "07-15")]
)
def test_the_south_has_the_same_day_number_six_months_on(north, south):
    assert str(MonthDay.parse(north).flipped()) == south


@pytest.mark.parametrize(
    ("key", "opens", "closes"),
    [
        # Bonsai Society of Australia, seasonal tips, summer: fig defoliation December to mid-January, Sydney.
        ("G14-DEFOL_FULL-0601", date(2026, 12, 1), date(2027, 1, 15)),
        # Notes of a talk at the Canberra society: black pine needle work from April or May until the
        # buds open in July or August.
        ("G01-NEEDLE_PLUCK-1015", date(2026, 4, 15), date(2026, 8, 28)),
        # Victorian nursery web log: natives repotted in November and December.
        ("G15-REPOT-0515", date(2026, 11, 15), date(2027, 1, 31)),
    ],
)
def test_flipped_windows_meet_what_southern_growers_write(key, opens, closes):
    # A southern club with the baseline's frosts, half a year on: no shift.
    south = Climate(-35, MonthDay(10, 25), MonthDay(4, 25))
    assert window(ROWS[key], south, 2026) == Window(opens, closes)


@given(DAYS, st.integers(-800, 800))
def test_adding_days_and_taking_them_off_again_comes_back(day, days):
    assert day.plus(days).plus(-days) == day


@given(DAYS, DAYS)
def test_the_gap_between_two_days_is_the_short_way_round(one, other):
    gap = one.days_after(other)
    assert -182 <= gap <= 182
    assert other.plus(gap) == one


@pytest.mark.parametrize("text", ["02-29", "13-01", "4-25", "00-10", "04-31", "25 April"])
def test_a_day_that_is_not_in_the_plain_year_is_refused(text):
    with pytest.raises(ValueError, match=r"day"):
        MonthDay.parse(text)


@pytest.mark.parametrize(
    ("text", "kind", "middle"),
    [
        ("once", "once", 0),
        ("y", "yearly", 1),
        ("2-5y", "years", 3.5),
        ("3y", "years", 3),
        ("28d", "days", 28),
    ],
)
def test_repeats_are_read(text, kind, middle):
    repeat = Repeat.parse(text)
    assert (repeat.kind, repeat.middle) == (kind, middle)


@pytest.mark.parametrize("text", ["", "5-2y", "0d", "monthly", "2w"])
def test_a_repeat_that_makes_no_sense_is_refused(text):
    with pytest.raises(ValueError, match=r"write once|interval"):
        Repeat.parse(text)


def test_a_cold_club_wakes_fifteen_days_later_and_its_autumn_is_ten_days_earlier():
    # W = 10 May - 25 April = 15; A = 0.5 * (5 October - 25 October) = -10.
    assert (wake_shift_days(COLD), autumn_shift_days(COLD)) == (15, -10)


def test_pine_repotting_opens_later_and_candle_cutting_earlier_in_a_cold_club():
    # 5 March + 15 = 20 March; 1 June - 10 = 22 May.
    assert window(ROWS["G01-REPOT-0305"], COLD, 2026).opens == date(2026, 3, 20)
    assert window(ROWS["G01-DECANDLE-0601"], COLD, 2026).opens == date(2026, 5, 22)


def test_the_baseline_club_has_the_dates_of_the_table():
    assert window(ROWS["G01-REPOT-0305"], BASELINE, 2026) == Window(date(2026, 3, 5), date(2026, 4, 15))


def test_southern_frost_dates_are_flipped_before_they_are_compared():
    # Last frost 10 October is 10 April flipped: 15 days early. First frost 5 May is 5 November: half of 11.
    south = Climate(-37, MonthDay(10, 10), MonthDay(5, 5))
    assert (wake_shift_days(south), autumn_shift_days(south)) == (-15, 5)


@pytest.mark.parametrize(
    ("climate", "wake", "autumn"),
    [
        (Climate(47, MonthDay(6, 30), MonthDay(8, 1)), 28, -28),
        (Climate(47, MonthDay(2, 1), MonthDay(12, 31)), -28, 28),
        (Climate(-28, None, None), -28, 28),
    ],
    ids=["very cold", "very mild", "never freezes"],
)
def test_shifts_stop_at_four_weeks(climate, wake, autumn):
    assert (wake_shift_days(climate), autumn_shift_days(climate)) == (wake, autumn)


@pytest.mark.parametrize(
    ("key", "expected"),
    [
        ("G01-REPOT-0305", (15 + 7, 15 + 7)),  # W, a week later by the club
        ("G01-DECANDLE-0601", (-10 - 14, -10 - 14)),  # G by the autumn shift, the club's two weeks earlier
        ("G01-FEED_START-0910", (-10, -10)),  # A inside one year
        ("G01-BUD_SELECT-1015", (-10, 15 + 7)),  # A over New Year: start by A, end by W with W's week
        ("G06-TRIM-1115", (-10 + 21, 15 + 21)),  # D: start by A, end by W, with D's three weeks
        ("G03-LIME-0601", (0, 0)),  # C does not move
    ],
)
def test_each_anchor_moves_by_its_own_shift(key, expected):
    climate = Climate(47, COLD.last_frost, COLD.first_frost, {"W": 1, "G": -2, "D": 3})
    assert shift_days(ROWS[key], climate) == expected


def test_a_winter_window_runs_over_new_year_and_belongs_to_the_year_it_opens():
    found = window(ROWS["G01-BUD_SELECT-1015"], BASELINE, 2026)
    assert (found.opens, found.closes) == (date(2026, 10, 15), date(2027, 2, 28))


def test_an_end_of_28_february_is_the_last_day_of_february():
    assert window(ROWS["G01-BUD_SELECT-1015"], BASELINE, 2027).closes == date(2028, 2, 29)


def test_a_leap_day_moves_no_other_date():
    for year in (2027, 2028):
        assert window(ROWS["G01-REPOT-0305"], COLD, year).opens == date(year, 3, 20)


def test_a_window_shifted_over_new_year_keeps_its_season_year():
    # Opens 5 January; four weeks of spring shift and four of the club's bring it to 10 November before.
    mild = Climate(47, None, None, {"W": -4})
    assert window(ROWS["G11-FLOWER_THIN-0105"], mild, 2027).opens == date(2026, 11, 10)


def test_a_clubs_own_row_is_neither_flipped_nor_shifted():
    row = own_row("06-15", "07-20", "W", own=True)
    assert window(row, Climate(-37, None, None, {"W": 3}), 2026) == Window(
        date(2026, 6, 15), date(2026, 7, 20)
    )


def test_near_the_equator_only_a_sign_opens_a_window():
    tropics = Climate(-6, None, None)
    assert window(ROWS["G14-REPOT-0520"], tropics, 2026).sign_only
    assert not window(ROWS["G14-REPOT-0520"], Climate(-10.5, None, None), 2026).sign_only
    assert not window(own_row("06-15", "07-20", own=True), tropics, 2026).sign_only


def test_a_window_that_waits_near_the_equator_opens_on_the_sign_and_keeps_its_length():
    waits = Window(date(2026, 5, 20), date(2026, 8, 15), sign_only=True)
    assert with_sign(waits, date(2026, 6, 1)) == Window(date(2026, 6, 1), date(2026, 8, 27))
    assert with_sign(waits, None).sign_only


@pytest.mark.parametrize(
    ("seen", "opens"),
    [
        (date(2026, 2, 25), date(2026, 2, 25)),  # 8 days early
        (date(2026, 2, 10), date(2026, 2, 19)),  # 23 days early: at most 14
        (date(2026, 3, 20), date(2026, 3, 5)),  # after the date: the date opens it
        (date(2025, 3, 1), date(2026, 3, 5)),  # last year's sign
        (None, date(2026, 3, 5)),
    ],
)
def test_a_sign_opens_a_window_up_to_fourteen_days_early(seen, opens):
    dated = Window(date(2026, 3, 5), date(2026, 4, 15))
    assert with_sign(dated, seen) == Window(opens, date(2026, 4, 15))


def test_a_club_may_hold_a_window_until_the_sign():
    dated = Window(date(2026, 3, 5), date(2026, 4, 15))
    assert with_sign(dated, None, wait=True).sign_only
    assert with_sign(dated, date(2026, 3, 20), wait=True) == Window(date(2026, 3, 20), date(2026, 4, 15))


def test_a_sign_does_not_open_candle_cutting_early():
    # Growers in a forum thread on an early spring, April 2012: it counts back from autumn.
    row = ROWS["G01-DECANDLE-0601"]
    dated = window(row, BASELINE, 2026)
    assert with_sign(dated, date(2026, 5, 20), early=row.sign_opens_early) == dated


@pytest.mark.parametrize(
    ("height_cm", "opens", "closes"),
    [
        # Cheshire Bonsai Society, How To Care For Pine Bonsai: large early to mid June, medium mid to
        # late June, small late June to early July.
        (75, date(2026, 6, 1), date(2026, 6, 15)),
        (45, date(2026, 6, 15), date(2026, 6, 30)),
        (18, date(2026, 6, 24), date(2026, 7, 10)),
        (None, date(2026, 6, 1), date(2026, 7, 10)),
    ],
)
def test_large_pines_are_cut_first_and_small_ones_last(height_cm, opens, closes):
    assert window(ROWS["G01-DECANDLE-0601"], BASELINE, 2026, height_cm=height_cm) == Window(opens, closes)


def test_sizes_end_at_20_and_60_cm():
    assert [size_of(height) for height in (20, 20.1, 60, 60.1, None)] == [
        "small",
        "medium",
        "medium",
        "large",
        None,
    ]
    with pytest.raises(ValueError, match="above 0 cm"):
        size_of(0)


def test_every_line_of_a_date_can_be_opened_and_adds_up():
    lines = dict(window_lines(ROWS["G01-REPOT-0305"], COLD, 2026))
    assert lines["baseline"] == "03-05..04-15"
    assert lines["wake_shift_days"] == lines["opens_shift_days"] == 15
    assert lines["opens"] == date(2026, 3, 5) + timedelta(days=15)
    assert dict(window_lines(ROWS["G01-DECANDLE-0601"], COLD, 2026, height_cm=18))["size"] == "small"
    assert dict(window_lines(own_row("06-15", "07-20", own=True), COLD, 2026))["own"] is True
    south = dict(window_lines(ROWS["G01-REPOT-0305"], Climate(-35, None, None), 2026))
    assert south["in_hemisphere"] == "09-05..10-15"


@given(
    st.sampled_from(reference.all_rows()),
    st.floats(-60, 60),
    st.none() | DAYS,
    st.none() | DAYS,
    st.dictionaries(st.sampled_from("WGADC"), st.integers(-4, 4)),
    st.integers(2024, 2031),
)
def test_a_window_never_closes_before_it_opens_and_lasts_at_most_eight_weeks_longer(
    row, latitude, last, first, weeks, year
):
    found = window(row, Climate(latitude, last, first, weeks), year)
    baseline = (row.closes.number - row.opens.number) % 365
    assert found.opens <= found.closes
    # Start and end may part by two clamps of 28 days and two club shifts of 28, and a leap day.
    assert (found.closes - found.opens).days <= baseline + 4 * 28 + 1


@pytest.mark.parametrize(
    ("degrees", "metres", "days"),
    [(1, 0, 4), (0, 120, 4), (0, 240, 8), (-1, 120, 0)],
    ids=["one degree", "120 m", "240 m", "lower latitude, higher bench"],
)
def test_spring_comes_four_days_later_per_degree_and_per_120_metres(degrees, metres, days):
    # Hopkins' law as restated in Richardson and others 2019, Applications in Plant Sciences 7(3):e01228.
    assert garden_days_later(degrees, metres) == pytest.approx(days)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Climate(91, None, None),
        lambda: Climate(50, None, None, {"W": 5}),
        lambda: Climate(50, None, None, {"Q": 1}),
        lambda: own_row("06-15", "07-20", "Q"),
        lambda: own_row("06-15", "07-20", wait_for_sign=True),
        lambda: Window(date(2026, 5, 2), date(2026, 5, 1)),
    ],
    ids=["latitude", "weeks", "anchor of weeks", "anchor of row", "no sign to wait for", "ends first"],
)
def test_nonsense_is_refused_when_it_is_made(make):
    with pytest.raises(ValueError, match=r"\w+ \w+"):
        make()
