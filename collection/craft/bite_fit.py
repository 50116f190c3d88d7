"""The wire clock fitted again to what people saw.

A look tells only that the bite came before it or has not come yet, so each wire gives an interval of
growing weeks. The group's table says where its bites lie; looks move the whole clock earlier or later.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr
from scipy.stats import norm

from collection.craft.bite import Bite

# Eight wires of ten bite between the table's two figures (assumption).
SHARE_BETWEEN = 0.8
# Two clubs of three have a clock within this log distance of the table's (assumption).
PRIOR_LOG_SD = 0.35
RANGE = 0.8
_STEPS = 4001


@dataclass(frozen=True, slots=True)
class Seen:
    """One wire's bite, bracketed by looks.

    Attributes:
        after_weeks: Growing weeks at the last look that found no mark; 0 without one.
        by_weeks: Growing weeks at the look that found the mark; None where none was found.
        times: Product of position, fit, feeding and stage, by which this wire's clock differs.
    """

    after_weeks: float
    by_weeks: float | None
    times: float = 1.0

    def __post_init__(self) -> None:
        if not (0 <= self.after_weeks < math.inf) or not (0 < self.times < math.inf):
            raise ValueError("growing weeks must be 0 or more and the factor above 0")
        if self.by_weeks is not None and not (self.after_weeks < self.by_weeks < math.inf):
            raise ValueError("the look that found the mark must come after the one that found none")


@dataclass(frozen=True, slots=True)
class Refit:
    """The fitted clock.

    Attributes:
        factor: What to multiply the table's weeks by (median); 1 where nothing was seen.
        factor_low, factor_high: Eight of ten credible values lie between.
        bites_from_weeks, bites_to_weeks: The table's figures times the factor.
        marked: Wires with a mark among the ``seen``.
    """

    group: str
    factor: float
    factor_low: float
    factor_high: float
    bites_from_weeks: float
    bites_to_weeks: float
    seen: int
    marked: int


def log_sd(clock: Bite) -> float:
    """Spread of the log weeks to bite within a group, from the table's two figures."""
    return math.log(clock.bites_to_weeks / clock.bites_from_weeks) / (2 * norm.ppf((1 + SHARE_BETWEEN) / 2))


def refit(clock: Bite, seen: Sequence[Seen], *, prior_log_sd: float = PRIOR_LOG_SD) -> Refit:
    """Fit the group's clock to intervals of growing weeks.

    Log weeks to bite are normal around the middle of the table times the factor; the log factor is
    normal around 0 with ``prior_log_sd``. Its posterior is summed on a grid.

    Args:
        clock: The group's row of the table.
        seen: One entry a wire, on the wire's own growing weeks.
        prior_log_sd: Above 0; the wider, the more a few looks may move the clock.

    Raises:
        ValueError: If ``prior_log_sd`` is not above 0.

    Source: interval-censored log-normal likelihood (textbook result); prior and spread are assumptions.
    """
    if not 0 < prior_log_sd < math.inf:
        raise ValueError("the prior's spread must be above 0")
    middle = math.log(clock.bites_from_weeks * clock.bites_to_weeks) / 2
    log_factor = np.linspace(-5 * prior_log_sd, 5 * prior_log_sd, _STEPS)
    weight = norm.logpdf(log_factor, scale=prior_log_sd)
    for one in seen:
        weight = weight + _log_chance(one, middle + log_factor, log_sd(clock))
    share = np.exp(weight - weight.max())
    grown = np.cumsum(share) / share.sum()
    low, half, high = (
        math.exp(float(np.interp(at, grown, log_factor))) for at in ((1 - RANGE) / 2, 0.5, (1 + RANGE) / 2)
    )
    factor = half if seen else 1.0
    return Refit(
        clock.group,
        factor,
        low,
        high,
        clock.bites_from_weeks * factor,
        clock.bites_to_weeks * factor,
        len(seen),
        sum(one.by_weeks is not None for one in seen),
    )


def _log_chance(one: Seen, middle: np.ndarray, sd: float) -> np.ndarray:
    """Log chance of the interval for every middle (log weeks), shape of ``middle``."""
    start = -math.inf if one.after_weeks == 0 else math.log(one.after_weeks / one.times)
    later = log_ndtr((middle - start) / sd)  # the bite comes after the last clean look
    if one.by_weeks is None:
        return np.asarray(later)
    end = math.log(one.by_weeks / one.times)
    after_end = log_ndtr((middle - end) / sd)
    gap = np.minimum(after_end - later, -1e-15)
    return np.asarray(later + np.log(-np.expm1(gap)))
