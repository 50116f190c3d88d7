"""Load by week and month, against a worked example that was spread by hand."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.planning.season_load import (
    Hours,
    Work,
    by_month,
    monday,
    practised_minutes,
    season_load,
    shares,
    short_spells,
)

# Derived by hand from the pace table and windows: mean minutes spread evenly by day, no set-up.
FIXTURE = [
    Work(1, date(2027, 6, 1), date(2027, 6, 15), 108.33),
    Work(2, date(2027, 6, 1), date(2027, 7, 24), 270.83),
    Work(3, date(2027, 10, 15), date(2028, 2, 28), 133.33),
    Work(4, date(2027, 10, 15), date(2028, 2, 28), 487.50),
    Work(5, date(2027, 9, 1), date(2027, 11, 30), 453.67),
    Work(6, date(2027, 5, 25), date(2027, 7, 20), 92.50),
    Work(7, date(2027, 2, 20), date(2027, 3, 31), 95.00),
]
BY_MONTH = {
    "2027-02": 0.36, "2027-03": 1.23, "2027-05": 0.19, "2027-06": 5.12, "2027-07": 2.55, "2027-09": 2.49,
    "2027-10": 3.86, "2027-11": 4.76, "2027-12": 2.34, "2028-01": 2.34, "2028-02": 2.11,
}  # fmt: skip


def test_the_worked_season_gives_its_printed_hours_by_month():
    months = by_month(FIXTURE)
    assert {m: round(float(h), 2) for m, h in months.items()} == BY_MONTH
    assert round(float(months.sum()), 2) == 27.35


def test_a_window_already_open_is_spread_over_the_days_left():
    # 14 days from Monday 1 March, seen on Monday 8 March: all 420 min fall in the one week left.
    load = season_load(
        [Work(1, date(2027, 3, 1), date(2027, 3, 14), 420)], [], today=date(2027, 3, 8), weeks=2
    )
    assert load["likely_h"].tolist() == pytest.approx([7.0, 0.0])


def test_work_whose_window_has_closed_is_due_this_week():
    load = season_load(
        [Work(1, date(2027, 1, 1), date(2027, 1, 9), 60)], [], today=date(2027, 3, 10), weeks=2
    )
    assert load["likely_h"].tolist() == pytest.approx([1.0, 0.0])


def test_hours_missing_are_work_above_the_hours_offered():
    works = [Work(1, date(2027, 3, 1), date(2027, 3, 21), 3 * 600)]
    hours = [Hours(date(2027, 3, 3), 300), Hours(date(2027, 3, 10), 900)]
    load = season_load(works, hours, today=date(2027, 3, 1), weeks=3)
    assert load["missing_h"].tolist() == pytest.approx([5.0, 0.0, 10.0])
    first, second = short_spells(load)
    assert (first.mondays, first.missing_h) == ((date(2027, 3, 1),), pytest.approx(5.0))
    assert (second.mondays, second.missing_h) == ((date(2027, 3, 15),), pytest.approx(10.0))


def test_neighbouring_short_weeks_are_one_spell():
    load = season_load(
        [Work(1, date(2027, 3, 1), date(2027, 3, 14), 1200)], [], today=date(2027, 3, 1), weeks=3
    )
    (spell,) = short_spells(load)
    assert spell.mondays == (date(2027, 3, 1), date(2027, 3, 8))
    assert (spell.likely_h, spell.offered_h, spell.missing_h) == pytest.approx((20.0, 0.0, 20.0))


def test_hours_before_today_do_not_count():
    load = season_load([], [Hours(date(2027, 3, 1), 600)], today=date(2027, 3, 2), weeks=1)
    assert load["offered_h"].tolist() == [0.0]


def test_shared_spread_does_not_shrink_with_many_jobs():
    # 100 jobs of 60 min: own spread of 30 min each adds to 300 in 6,000 (5 %), a shared 20 % stays 20 %.
    day = date(2027, 3, 1)
    own = season_load([Work(n, day, day, 60, own_sd_min=30) for n in range(100)], [], today=day, weeks=1)
    both = season_load([Work(n, day, day, 60, 30, 0.2) for n in range(100)], [], today=day, weeks=1)
    assert float(own["cautious_h"].iloc[0]) == pytest.approx(100 * 1.041, rel=0.005)
    assert float(both["cautious_h"].iloc[0]) > 100 * 1.14


def test_eight_volunteers_for_four_hours_are_worth_21_4_practised_hours():
    # two expert (0.75), four practised (1.0), two novice (1.8), turn-out 85 %: worked example, assumption.
    people = [0.75] * 2 + [1.0] * 4 + [1.8] * 2
    assert round(sum(practised_minutes(240, 0.85, p) for p in people) / 60, 1) == 21.4


@given(
    st.lists(
        st.tuples(st.integers(-200, 400), st.integers(0, 200), st.floats(0, 5000)), min_size=1, max_size=8
    )
)
def test_nothing_is_lost_between_windows_and_weeks(rows):
    today = date(2027, 3, 3)
    base = today.toordinal()
    works = [
        Work(n, date.fromordinal(base + a), date.fromordinal(base + a + b), m)
        for n, (a, b, m) in enumerate(rows)
    ]
    assert np.allclose(shares(works, today, 100).sum(axis=1), 1.0)
    load = season_load(works, [], today=today, weeks=100)
    assert float(load["likely_h"].sum()) == pytest.approx(sum(w.mean_min for w in works) / 60, abs=1e-6)
    assert (load["cautious_h"] >= load["likely_h"] - 1e-9).all()


def test_nonsense_is_refused():
    with pytest.raises(ValueError, match="closes before it opens"):
        Work(1, date(2027, 3, 2), date(2027, 3, 1), 10)
    with pytest.raises(ValueError, match="turn-out"):
        practised_minutes(60, 1.2, 1)


def test_a_week_starts_on_monday():
    assert monday(date(2026, 11, 25)) == date(2026, 11, 23)
