"""The clock of wire fitted to looks; checked against the censored fit of a statistics library."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import CensoredData, norm

from collection.craft.bite import bites
from collection.craft.bite_fit import Seen, log_sd, refit

CLOCK = bites()["G01"]


def looks(rng: np.random.Generator, true_factor: float, wires: int, every: float = 3.0) -> list[Seen]:
    """Wires whose bite is known to us alone, looked at every few growing weeks, for 30 at most."""
    middle = math.sqrt(CLOCK.bites_from_weeks * CLOCK.bites_to_weeks) * true_factor
    found = []
    for bite in middle * np.exp(rng.normal(0, log_sd(CLOCK), wires)):
        passed = math.floor(bite / every)
        if (passed + 1) * every > 30:
            found.append(Seen(30, None))
        else:
            found.append(Seen(passed * every, (passed + 1) * every))
    return found


@pytest.mark.parametrize("true_factor", [0.6, 1.0, 1.4])
def test_with_a_flat_prior_it_is_the_library_s_censored_fit(true_factor):
    seen = looks(np.random.default_rng(7), true_factor, 60)
    data = CensoredData(
        interval=[
            (math.log(s.after_weeks), math.log(s.by_weeks)) for s in seen if s.by_weeks and s.after_weeks
        ],
        left=[math.log(s.by_weeks) for s in seen if s.by_weeks and not s.after_weeks],
        right=[math.log(s.after_weeks) for s in seen if s.by_weeks is None],
    )
    middle, _ = norm.fit(data, fscale=log_sd(CLOCK))
    theirs = math.exp(middle) / math.sqrt(CLOCK.bites_from_weeks * CLOCK.bites_to_weeks)
    assert refit(CLOCK, seen, prior_log_sd=2.0).factor == pytest.approx(theirs, rel=5e-3)


def test_without_looks_the_table_stands():
    found = refit(CLOCK, [])
    assert (found.factor, found.bites_from_weeks, found.bites_to_weeks) == (1.0, 12, 20)
    assert found.factor_low < 1 < found.factor_high


def test_many_looks_find_the_truth_and_narrow_the_range():
    few = refit(CLOCK, looks(np.random.default_rng(1), 0.7, 5))
    many = refit(CLOCK, looks(np.random.default_rng(1), 0.7, 200))
    assert many.factor == pytest.approx(0.7, rel=0.05)
    assert many.factor_high - many.factor_low < (few.factor_high - few.factor_low) / 3


def test_eight_of_ten_ranges_hold_the_truth():
    rng = np.random.default_rng(11)
    held = 0
    for _ in range(300):
        true = math.exp(rng.normal(0, 0.35))
        found = refit(CLOCK, looks(rng, true, 8))
        held += found.factor_low <= true <= found.factor_high
    assert 0.74 <= held / 300 <= 0.86


def test_an_early_mark_on_the_apex_is_no_early_clock():
    apex = refit(CLOCK, [Seen(9, 11, times=0.6)])
    middle = refit(CLOCK, [Seen(9, 11)])
    assert apex.factor > 1 > middle.factor


@given(st.floats(0.5, 20), st.floats(1, 20))
def test_a_mark_found_earlier_never_makes_the_clock_later(after, gap):
    early = refit(CLOCK, [Seen(after, after + gap)])
    late = refit(CLOCK, [Seen(after * 1.5, (after + gap) * 1.5)])
    assert early.factor <= late.factor * (1 + 1e-9)


@given(st.floats(0, 300))
def test_a_clean_look_never_makes_the_clock_earlier(weeks):
    assert refit(CLOCK, [Seen(weeks, None)]).factor >= 1 - 1e-3


@pytest.mark.parametrize("weeks", [1e-9, 1e6])
def test_looks_far_from_the_table_give_a_number_all_the_same(weeks):
    assert math.isfinite(refit(CLOCK, [Seen(0, weeks), Seen(weeks, None)]).factor)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Seen(-1, None),
        lambda: Seen(3, 3),
        lambda: Seen(1, 2, times=0),
        lambda: refit(CLOCK, [], prior_log_sd=0),
    ],
)
def test_what_makes_no_sense_is_refused(wrong):
    with pytest.raises(ValueError, match=r"\w"):
        wrong()
