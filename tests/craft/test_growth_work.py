"""The yearly work that goes by cut sites, from the programme and the pace table."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.craft.growth_work import AFTER_SITES, BY_SITES, site_work, times_a_year
from collection.craft.labour import estimate
from collection.craft.labour_types import NO_SET_UP, EstimateRequest
from collection.craft.monthday import Repeat
from collection.craft.quantities import Amount
from collection.craft.reference import groups, programme

ROWS = {row.key: row for row in programme()}


def test_a_two_flush_pine_is_asked_for_candles_buds_and_needles():
    found = site_work(programme(), "G01", "F")
    assert [work.task for work in found] == [
        "CANDLE_BREAK", "DECANDLE", "NEEDLE_PLUCK", "BUD_SELECT", "NEEDLE_PLUCK"
    ]  # fmt: skip
    decandling = found[1]
    # (0.1 + 4 x 0.2 + 0.4) / 6, from the pace table
    assert decandling.minutes_per_site == pytest.approx(1.3 / 6)
    summer, autumn = (work for work in found if work.task == "NEEDLE_PLUCK")
    assert autumn.minutes_per_site == pytest.approx(1.8 * summer.minutes_per_site)


@pytest.mark.parametrize(("group", "stage"), [("G07", "F"), ("G10", "S"), ("G01", "R")])
def test_work_that_does_not_go_by_cut_sites_is_no_growth(group, stage):
    assert site_work(programme(), group, stage) == ()


def test_every_group_is_asked_at_every_stage():
    kinds = {*BY_SITES, *AFTER_SITES}
    for group in groups():
        for stage in "RBFS":
            assert {work.task for work in site_work(programme(), group, stage)} <= kinds


@given(st.floats(1, 2000))
def test_the_minutes_of_one_site_times_the_sites_are_the_labour_cores_own(sites):
    for work in site_work(programme(), "G03", "F", height_cm=60):
        request = EstimateRequest(
            work.task, {"cut_sites": Amount(sites)}, group="G03", stage="F", height_cm=60, set_ups=NO_SET_UP
        )
        assert estimate(request).mean_min == pytest.approx(sites * work.minutes_per_site)


def test_a_year_holds_every_repeat():
    (trim,) = site_work(programme(), "G08", "F")
    assert trim.yearly_min == pytest.approx(7 * 1.3 / 6)


def test_a_tall_tree_takes_longer():
    low, high = (site_work(programme(), "G03", "F", height_cm=cm)[0] for cm in (60, 120))
    assert high.minutes_per_site == pytest.approx(1.2 * low.minutes_per_site)


def test_a_repeated_row_is_done_as_often_as_it_fits_in_its_window():
    trim = ROWS["G08-TRIM-0501"]  # 1 May to 5 September, every 21 days: 1 May, 22 May ... 4 September
    assert times_a_year(trim) == 7
    assert times_a_year(replace(trim, every=Repeat.parse("y"))) == 1
    with pytest.raises(ValueError, match="not done every year"):
        times_a_year(replace(trim, every=Repeat.parse("3y")))


def test_a_window_over_new_year_is_measured_the_long_way():
    bud = replace(ROWS["G01-BUD_SELECT-1015"], every=Repeat.parse("28d"))  # 15 October to 28 February
    assert times_a_year(bud) == 5
