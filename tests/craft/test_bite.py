"""The wire clock. Weeks and factors are assumptions; the arithmetic is checked by hand."""

from datetime import date

import pytest

from collection.craft.bite import bites, growing_weeks, look_date, next_look


def test_only_growing_months_count():
    # 31 days of May count whole, 30 days of April count 0.3, January not at all.
    assert growing_weeks(date(2027, 5, 1), date(2027, 6, 1), southern=False) == pytest.approx(31 / 7)
    assert growing_weeks(date(2027, 4, 1), date(2027, 5, 1), southern=False) == pytest.approx(9 / 7)
    assert growing_weeks(date(2027, 1, 1), date(2027, 2, 1), southern=False) == 0


def test_a_southern_garden_grows_half_a_year_later():
    assert growing_weeks(date(2027, 11, 1), date(2027, 12, 1), southern=True) == pytest.approx(30 / 7)
    assert growing_weeks(date(2027, 5, 1), date(2027, 6, 1), southern=True) == 0


def test_a_juniper_wired_in_october_is_looked_at_in_summer_the_apex_first():
    # 16 weeks x 0.7 x 1.15 (loose aluminium) = 12.88 growing weeks = 90.2 counted days; the 8 days left
    # of October give 2.4, April 9, May 31, June 30: 72.4, so 18 days of July: the 19th.
    wired = date(2026, 10, 24)
    middle = look_date("G03", wired, southern=False, metal="aluminium", fit="loose")
    assert middle == date(2027, 7, 19)
    apex = look_date("G03", wired, southern=False, position="apex", metal="copper")
    assert apex < middle


def test_wire_is_never_left_more_than_a_year_without_a_look():
    assert look_date("G03", date(2026, 7, 1), southern=False, position="inner", stage="S") <= date(2027, 7, 1)


def test_later_looks_follow_the_repeat_interval():
    assert next_look("G08", date(2027, 6, 1)) == date(2027, 6, 8)


def test_every_group_has_a_clock_with_a_label():
    assert sorted(bites()) == [f"G{n:02d}" for n in range(1, 16)]
    assert all(b.label == "assumption" and b.bites_from_weeks < b.bites_to_weeks for b in bites().values())


def test_an_unknown_group_is_refused():
    with pytest.raises(ValueError, match="no such group"):
        look_date("G99", date(2027, 1, 1), southern=False)
