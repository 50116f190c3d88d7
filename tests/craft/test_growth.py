"""Cut sites over the years: doubling at first, a limit in the end."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from collection.craft.growth import Limit, compared, limit_for, outlook, sites_after

SITES = st.floats(0.5, 2000)
LIMITS = st.floats(10, 2000)


def test_the_curve_solves_the_logistic_equation():
    """Outside check: the differential equation of Verhulst's curve, solved by a numerical library."""
    rate, limit, start = math.log(2), 320.0, 40.0
    solved = solve_ivp(
        lambda _, n: rate * n * (1 - n / limit), (0, 5), [start], t_eval=range(6), rtol=1e-10, atol=1e-10
    )
    ours = [sites_after(start, years, limit) for years in range(6)]
    assert ours == pytest.approx(solved.y[0].tolist(), rel=1e-7)


def test_far_from_the_limit_a_site_gives_two():
    assert sites_after(10, 1, 1e9) == pytest.approx(20)
    assert sites_after(10, 3, 1e9) == pytest.approx(80, rel=1e-6)


def test_half_way_to_the_limit_the_next_year_brings_a_third_more():
    assert sites_after(160, 1, 320) == pytest.approx(160 * 4 / 3)


@given(SITES, LIMITS, st.floats(0, 10), st.floats(0.1, 5))
def test_the_curve_goes_towards_its_limit_and_never_past_it(counted, limit, years, more):
    now, later = sites_after(counted, years, limit), sites_after(counted, years + more, limit)
    if counted <= limit:
        assert counted * (1 - 1e-9) <= now <= later * (1 + 1e-12) <= limit * (1 + 1e-9)
    else:
        assert counted * (1 + 1e-9) >= now >= later * (1 - 1e-12) >= limit * (1 - 1e-9)


@given(SITES, SITES, LIMITS, st.floats(0, 10))
def test_more_today_is_never_fewer_later(one, other, limit, years):
    low, high = sorted((one, other))
    assert sites_after(low, years, limit) <= sites_after(high, years, limit) * (1 + 1e-12)


def test_years_can_be_taken_in_pieces():
    assert sites_after(sites_after(30, 2, 320), 3, 320) == pytest.approx(sites_after(30, 5, 320))


def test_a_tree_with_no_site_keeps_none():
    assert [year.sites for year in outlook(0, 60, "F").years] == [0.0] * 6


@pytest.mark.parametrize(
    ("height", "stage", "sites"),
    [(24.9, "R", 20), (25, "R", 40), (74.9, "F", 320), (75, "F", 510), (160, "S", 1200), (None, None, 320)],
)
def test_the_limit_is_chosen_by_height_and_stage(height, stage, sites):
    assert limit_for(height, stage).sites == sites


def test_a_taller_or_a_later_tree_never_carries_fewer():
    table = [[limit_for(height, stage).sites for stage in "RBFS"] for height in (10, 30, 60, 90, 120)]
    assert all(row == sorted(row) for row in table)
    assert all(list(column) == sorted(column) for column in zip(*table, strict=True))


def test_hours_follow_sites_and_shoots():
    found = outlook(100, 60, "F", minutes_per={"site": 0.6, "shoot": 0.5})
    assert found.years[0].hours == pytest.approx((100 * 0.6 + 180 * 0.5) / 60)
    assert [year.hours for year in found.years] == sorted(year.hours for year in found.years)
    assert found.limit == Limit(320, 45, 75, "F", "assumption", "no source")


def test_a_later_count_stands_beside_what_was_foretold():
    (found,) = compared([(0, 80), (1, 120)], 60, "F")
    assert found.foretold == pytest.approx(128)
    assert found.ratio == pytest.approx(120 / 128)
    assert compared([(0, 0), (1, 12)], 60, "F") == ()


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: sites_after(-1, 1, 10),
        lambda: sites_after(1, -1, 10),
        lambda: sites_after(1, 1, 0),
        lambda: sites_after(1, 1, 10, times=0.5),
        lambda: limit_for(0, "F"),
        lambda: limit_for(60, "X"),
        lambda: outlook(1, 60, "F", seasons=0),
        lambda: outlook(1, 60, "F", minutes_per={"leaf": 1}),
        lambda: compared([(1, 5), (0, 5)], 60, "F"),
    ],
)
def test_what_makes_no_sense_is_refused(wrong):
    with pytest.raises(ValueError, match=r"\w"):
        wrong()
