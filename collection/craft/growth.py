"""How a tree's cut sites, shoots and hours grow as its refinement goes on.

A cut site thinned to two shoots gives two sites in the next year. Plain doubling cannot last: light,
room and the tree's strength set a limit, so the doubling is only the start of a logistic curve.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from collection.craft.labour_reference import read
from collection.craft.quantities import STAGES

# A site thinned to two gives two in the next year (common practice, no source).
A_YEAR = 2.0
# Autumn shoots to a cut site, as in ``count_defaults.csv`` (assumption).
SHOOTS_PER_SITE = 1.8
SEASONS = 5


@dataclass(frozen=True, slots=True)
class Limit:
    """How many cut sites a tree of one height class carries at one stage."""

    sites: float
    from_cm: float
    to_cm: float | None
    stage: str
    label: str
    source: str


@dataclass(frozen=True, slots=True)
class Year:
    """What is expected ``ahead`` years from the count.

    Attributes:
        hours: Labour hours for the year's work driven by these sites; None where no pace was given.
    """

    ahead: int
    sites: float
    shoots: float
    hours: float | None


@dataclass(frozen=True, slots=True)
class Outlook:
    """The forecast with the inputs and the rule it came from."""

    counted: float
    limit: Limit
    times_a_year: float
    years: tuple[Year, ...]
    label: str = "assumption"


def limit_for(height_cm: float | None, stage: str | None) -> Limit:
    """The most cut sites a tree of this height and stage carries.

    Args:
        height_cm: Height above the pot, cm; a height nobody measured is read as 60 cm.
        stage: R, B, F or S; without one the tree is read as F.

    Raises:
        ValueError: If the height is not above zero or the stage unknown.

    Source: assumption (``fixtures/reference/site_limits.csv``).
    """
    height, known = 60.0 if height_cm is None else height_cm, stage or "F"
    if not 0 < height < math.inf:
        raise ValueError(f"a tree's height must be above 0 cm, not {height}")
    if known not in STAGES:
        raise ValueError(f"unknown stage {known!r}; use R, B, F or S")
    for row in read("site_limits"):
        above = float(row["to_cm"]) if row["to_cm"] else None
        if above is None or height < above:
            return Limit(float(row[known]), float(row["from_cm"]), above, known, row["label"], row["source"])
    raise ValueError("the table of limits has no last row")


def sites_after(counted: float, years: float, limit: float, times: float = A_YEAR) -> float:
    """Cut sites after some years of thinning to two, by the logistic curve.

    Args:
        counted: Sites today, 0 or more.
        years: Years from today, 0 or more.
        limit: The number the curve comes to; a tree that carries more today comes down to it.
        times: What a free site becomes in a year, 1 or more.

    Returns:
        ``limit / (1 + (limit / counted - 1) * times ** -years)``; 0 where nothing was counted.

    Raises:
        ValueError: If an input is outside these ranges.

    Source: Verhulst's logistic curve (textbook result); its rate is common practice, its limit assumed.
    """
    if counted < 0 or years < 0 or not (0 < limit < math.inf) or times < 1:
        raise ValueError("sites and years must be 0 or more, a limit above 0, a yearly factor 1 or more")
    if counted == 0:
        return 0.0
    return limit / (1 + (limit / counted - 1) * math.pow(times, -years))


def outlook(
    counted: float,
    height_cm: float | None,
    stage: str | None,
    *,
    minutes_per: Mapping[str, float] | None = None,
    seasons: int = SEASONS,
) -> Outlook:
    """Cut sites, autumn shoots and hours in the count's own year and the seasons after it.

    Args:
        counted: Cut sites of the newest count.
        height_cm, stage: Of the tree; they choose the limit.
        minutes_per: Minutes of labour per ``site`` and per ``shoot`` over a whole year.
        seasons: Seasons to look ahead, 1 to 10.

    Raises:
        ValueError: If a number is outside its range or ``minutes_per`` names anything else.
    """
    if not 1 <= seasons <= 10:
        raise ValueError("look 1 to 10 seasons ahead")
    if minutes_per is not None and set(minutes_per) - {"site", "shoot"}:
        raise ValueError("minutes are per site and per shoot")
    limit = limit_for(height_cm, stage)
    years = []
    for ahead in range(seasons + 1):
        sites = sites_after(counted, ahead, limit.sites)
        shoots = SHOOTS_PER_SITE * sites
        years.append(Year(ahead, sites, shoots, _hours(sites, shoots, minutes_per)))
    return Outlook(counted, limit, A_YEAR, tuple(years))


def _hours(sites: float, shoots: float, minutes_per: Mapping[str, float] | None) -> float | None:
    if minutes_per is None:
        return None
    return (sites * minutes_per.get("site", 0.0) + shoots * minutes_per.get("shoot", 0.0)) / 60


@dataclass(frozen=True, slots=True)
class Compared:
    """One later count beside what the first count foretold.

    Attributes:
        ratio: Counted over foretold; 1 where the curve held.
    """

    years: float
    counted: float
    foretold: float
    ratio: float


def compared(
    counts: Sequence[tuple[float, float]], height_cm: float | None, stage: str | None
) -> tuple[Compared, ...]:
    """Each later count beside the forecast made from the first.

    Args:
        counts: (years since the first count, sites), oldest first; the first is at 0 years.

    Returns:
        One entry for every count after the first; empty where the first counted nothing.

    Raises:
        ValueError: If the counts are not in order of time.
    """
    if [years for years, _ in counts] != sorted(years for years, _ in counts):
        raise ValueError("counts must stand oldest first")
    if not counts or counts[0][1] <= 0:
        return ()
    limit, start = limit_for(height_cm, stage).sites, counts[0][1]
    rows = []
    for years, found in counts[1:]:
        foretold = sites_after(start, years, limit)
        rows.append(Compared(years, found, foretold, found / foretold))
    return tuple(rows)
