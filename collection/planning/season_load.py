"""The season's load: hours of work due in each week against the hours people offer.

Work is spread evenly by day over what is left of its window, in hours of a practised hand. A week
is short when the work expected in it is more than the hours offered.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import pandas as pd

# One-sided 80 %: the cautious figure that plans use.
CAUTIOUS_Z = 0.84
# Productive share of a workday: 3 h 15 in 4 h after briefing, tea and clean-up (assumption).
PRODUCTIVE = 0.81


@dataclass(frozen=True, slots=True)
class Work:
    """Work due in a window.

    Attributes:
        key: What it is, for opening the figure.
        opens: First day of the window.
        closes: Last day, inside.
        mean_min: Expected labour, minutes of a practised hand, all people together.
        own_sd_min: Spread that is this job's own, minutes.
        shared_cv: Spread shared with all other work (person and tree), as a part of the mean.
    """

    key: int
    opens: date
    closes: date
    mean_min: float
    own_sd_min: float = 0.0
    shared_cv: float = 0.0

    def __post_init__(self) -> None:
        if self.closes < self.opens:
            raise ValueError(f"work {self.key}: the window closes before it opens")
        if self.mean_min < 0 or self.own_sd_min < 0 or self.shared_cv < 0:
            raise ValueError(f"work {self.key}: minutes below zero")


@dataclass(frozen=True, slots=True)
class Hours:
    """Hours a person offers on a day, already counted as practised-hand minutes."""

    on: date
    minutes: float


@dataclass(frozen=True, slots=True)
class Spell:
    """Neighbouring short weeks: their Mondays, and hours needed, offered and missing in them."""

    mondays: tuple[date, ...]
    likely_h: float
    offered_h: float
    missing_h: float


def monday(day: date) -> date:
    """The Monday of a day's ISO week."""
    return day - timedelta(days=day.weekday())


def practised_minutes(minutes: float, turn_out: float, skill_multiplier: float) -> float:
    """Minutes of a practised hand that an offer is worth: minutes x turn-out x 0.81 / skill multiplier.

    Args:
        minutes: Minutes offered.
        turn_out: Part of such offers that come true, 0 to 1.
        skill_multiplier: Time the person needs against a practised hand, above 0.

    Raises:
        ValueError: If a figure is out of range.

    Source: assumption; the same sum gives the 21.4 h worked example for eight volunteers.
    """
    if minutes < 0 or not 0 <= turn_out <= 1 or skill_multiplier <= 0:
        raise ValueError("minutes from 0, turn-out from 0 to 1, skill multiplier above 0")
    return minutes * turn_out * PRODUCTIVE / skill_multiplier


def by_day(opens: date, closes: date, minutes: float, start: date | None = None) -> pd.Series:
    """Minutes spread evenly over a window from ``start`` on, both ends inside.

    A window that closed before ``start`` falls on ``start``: late work is due at once.

    Returns:
        Minutes by day; index is the day (datetime64), sum equal to ``minutes``.
    """
    first = max(opens, start or opens)
    last = max(closes, first)
    days = pd.date_range(first, last, freq="D")
    return pd.Series(minutes / len(days), index=days)


def by_month(works: Sequence[Work], start: date | None = None) -> pd.Series:
    """Hours by month of all work; index is "YYYY-MM"."""
    if not works:
        return pd.Series(dtype=float)
    days = pd.concat([by_day(w.opens, w.closes, w.mean_min, start) for w in works])
    months = pd.DatetimeIndex(days.index).strftime("%Y-%m")
    by: pd.Series = days.groupby(months).sum() / 60
    return by


def shares(works: Sequence[Work], today: date, weeks: int) -> np.ndarray:
    """The part of each work that falls in each week from this week on.

    Returns:
        Shape (works, weeks), between 0 and 1; a row sums to 1 when its window ends inside the weeks.
    """
    zero = monday(today).toordinal()
    first = np.array([max(w.opens, today).toordinal() for w in works], dtype=float)
    last = np.array([max(w.closes, max(w.opens, today)).toordinal() for w in works], dtype=float)
    edges = zero + 7 * np.arange(weeks + 1)
    begin = np.maximum(first[:, None], edges[None, :-1])
    end = np.minimum(last[:, None] + 1, edges[None, 1:])
    return np.asarray(np.clip(end - begin, 0, None) / (last - first + 1)[:, None])


def season_load(
    works: Sequence[Work], hours: Sequence[Hours], *, today: date, weeks: int = 26
) -> pd.DataFrame:
    """Hours of work and hours offered in each week from this week on.

    Returns:
        One row a week; index ``monday`` (date); columns ``likely_h`` (expected work), ``cautious_h``
        (8 times in 10 the work stays below it), ``offered_h`` and ``missing_h`` (work above hours).
    """
    mondays = [monday(today) + timedelta(weeks=n) for n in range(weeks)]
    if works:
        part = shares(works, today, weeks)
        mean = part.T @ np.array([w.mean_min for w in works])
        own = (part**2).T @ np.array([w.own_sd_min**2 for w in works])
        shared = (part.T @ np.array([w.mean_min * w.shared_cv for w in works])) ** 2
    else:
        mean = own = shared = np.zeros(weeks)
    offered = np.zeros(weeks)
    for hour in hours:
        week = (monday(hour.on) - mondays[0]).days // 7
        if 0 <= week < weeks and hour.on >= today:
            offered[week] += hour.minutes
    frame = pd.DataFrame(
        {
            "likely_h": mean / 60,
            "cautious_h": [_p80(m, v) / 60 for m, v in zip(mean, own + shared, strict=True)],
            "offered_h": offered / 60,
        },
        index=pd.Index(mondays, name="monday"),
    )
    frame["missing_h"] = (frame["likely_h"] - frame["offered_h"]).clip(lower=0)
    return frame


def _p80(mean: float, variance: float) -> float:
    """The 80 % point of a log-normal with this mean and variance, never below the mean."""
    if mean < 1e-6:
        return mean
    log_sd = math.sqrt(math.log1p(variance / mean**2))
    return max(mean, mean * math.exp(CAUTIOUS_Z * log_sd - log_sd**2 / 2))


def short_spells(load: pd.DataFrame) -> tuple[Spell, ...]:
    """Runs of neighbouring short weeks in order of time.

    A week counts as short from a tenth of an hour on: less would show as 0.0 missing.
    """
    spells: list[list[date]] = []
    for week, missing in load["missing_h"].items():
        if not isinstance(week, date) or missing < 0.1:
            continue
        if spells and week - spells[-1][-1] == timedelta(weeks=1):
            spells[-1].append(week)
        else:
            spells.append([week])
    out = []
    for weeks in spells:
        part = load.loc[weeks]
        out.append(
            Spell(
                tuple(weeks),
                float(part["likely_h"].sum()),
                float(part["offered_h"].sum()),
                float(part["missing_h"].sum()),
            )
        )
    return tuple(out)
