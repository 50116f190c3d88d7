"""When a task's window opens and closes for a club: flip, climate shift, club weeks, tree signs.

Rule source: our own (assumption) unless a line says otherwise. Windows are given for a baseline
club: northern, temperate, last air frost 25 April, first 25 October (assumption).
"""

from __future__ import annotations

import calendar
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from collection.craft.monthday import PLAIN_YEAR, YEAR_DAYS, MonthDay, Repeat
from collection.craft.reasons import Value

__all__ = [
    "ANCHORS",
    "Climate",
    "MonthDay",
    "ProgrammeRow",
    "Repeat",
    "Window",
    "autumn_shift_days",
    "garden_days_later",
    "shift_days",
    "size_of",
    "wake_shift_days",
    "window",
    "window_lines",
    "with_sign",
]

ANCHORS = ("W", "G", "A", "D", "C")
STAGES = "RBFS"
TROPICS_DEG = 10.0
CLAMP_DAYS = 28
WEEKS_MOST = 4
SIGN_EARLY_DAYS = 14
SIGN_STALE_DAYS = 90  # assumption: an older sign belongs to another season


BASE_LAST_FROST = MonthDay(4, 25)
BASE_FIRST_FROST = MonthDay(10, 25)


@dataclass(frozen=True, slots=True)
class ProgrammeRow:
    """When a species group wants a task.

    Attributes:
        key: Stable and unique.
        group: ``G01`` to ``G15``, or "" for all groups.
        task: A task code; "" for a chore of the club that belongs to no tree.
        opens: First day at the baseline; in the club's own dates when ``own``.
        closes: Last day, inclusive; earlier than ``opens`` when the window runs over New Year.
        stages: Some of the letters RBFS.
        anchor: W wake, G regrowth, A autumn, D dormant, C fixed.
        sign: Tree sign that opens or holds the window, or "".
        sign_opens_early: Whether the sign may open it before its date; decandling counts back from
            autumn and is not opened early (growers in a forum thread on an early spring, April 2012).
        sizes: Windows by ``large``, ``medium``, ``small``; empty when size does not matter.
        own: A club's own row: neither flipped nor shifted.
        wait_for_sign: The club holds the window until the sign is seen.
        all_trees: Asked for on every tree, wired or not (the winter look at guys and pots).
    """

    key: str
    group: str
    task: str
    opens: MonthDay
    closes: MonthDay
    stages: str
    every: Repeat
    anchor: str
    label: str = ""
    source: str = ""
    note: str = ""
    sign: str = ""
    sign_opens_early: bool = True
    sizes: tuple[tuple[str, MonthDay, MonthDay], ...] = ()
    own: bool = False
    wait_for_sign: bool = False
    all_trees: bool = False

    def __post_init__(self) -> None:
        if not self.key:
            raise ValueError("a programme row needs a key")
        if self.anchor not in ANCHORS:
            raise ValueError(f"row {self.key}: the anchor must be one of {', '.join(ANCHORS)}")
        if not set(self.stages) <= set(STAGES):
            raise ValueError(f"row {self.key}: stages are some of the letters R B F S, not {self.stages!r}")
        if self.wait_for_sign and not self.sign:
            raise ValueError(f"row {self.key}: say which sign the window waits for")


@dataclass(frozen=True, slots=True)
class Climate:
    """Where the club's trees stand.

    Attributes:
        latitude: Degrees, south negative, -90 to 90.
        last_frost: Mean last air frost of spring; None where it never freezes.
        first_frost: Mean first air frost of autumn; None where it never freezes.
        weeks_later: Whole weeks later (or earlier, negative) by anchor, -4 to 4.
    """

    latitude: float
    last_frost: MonthDay | None
    first_frost: MonthDay | None
    weeks_later: Mapping[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not -90 <= self.latitude <= 90:
            raise ValueError(f"latitude runs from -90 to 90 degrees, not {self.latitude}")
        for anchor, weeks in self.weeks_later.items():
            if anchor not in ANCHORS:
                raise ValueError(f"there is no anchor {anchor!r}; use one of {', '.join(ANCHORS)}")
            if not -WEEKS_MOST <= weeks <= WEEKS_MOST:
                raise ValueError(f"a season moves by at most {WEEKS_MOST} weeks, not {weeks}")

    @property
    def is_southern(self) -> bool:
        """Whether reference rows are flipped by half a year."""
        return self.latitude < 0

    @property
    def is_tropical(self) -> bool:
        """Whether only tree signs open windows: within 10 degrees of the equator (assumption)."""
        return abs(self.latitude) <= TROPICS_DEG


@dataclass(frozen=True, slots=True)
class Window:
    """First and last day of a task, both inclusive; ``sign_only`` until a tree sign has opened it."""

    opens: date
    closes: date
    sign_only: bool = False

    def __post_init__(self) -> None:
        if self.closes < self.opens:
            raise ValueError(f"a window cannot close on {self.closes} before it opens on {self.opens}")


def _clamp(days: int) -> int:
    return max(-CLAMP_DAYS, min(CLAMP_DAYS, days))


def wake_shift_days(climate: Climate) -> int:
    """W: days the spring is later than the baseline, -28 to 28.

    A place without a last frost wakes as early as the clamp allows: -28.
    """
    if climate.last_frost is None:
        return -CLAMP_DAYS
    frost = climate.last_frost.flipped() if climate.is_southern else climate.last_frost
    return _clamp(frost.days_after(BASE_LAST_FROST))


def autumn_shift_days(climate: Climate) -> int:
    """A: half the days the autumn is later than the baseline, -28 to 28; half days towards zero.

    A place without a first frost has the latest autumn the clamp allows: 28.
    """
    if climate.first_frost is None:
        return CLAMP_DAYS
    frost = climate.first_frost.flipped() if climate.is_southern else climate.first_frost
    return _clamp(int(0.5 * frost.days_after(BASE_FIRST_FROST)))


def shift_days(row: ProgrammeRow, climate: Climate) -> tuple[int, int]:
    """Days by which the row's first and last day move.

    W and C move as one; G and A by the autumn shift; D starts by the autumn shift and ends by the
    wake shift, both with D's own club weeks. A window with anchor A that runs over New Year starts
    by A and ends by W, each with its own club weeks. A club's own row does not move.
    """
    if row.own:
        return 0, 0
    wake, autumn = wake_shift_days(climate), autumn_shift_days(climate)
    weeks = {anchor: 7 * climate.weeks_later.get(anchor, 0) for anchor in ANCHORS}
    if row.anchor == "C":
        return weeks["C"], weeks["C"]
    if row.anchor == "W":
        return wake + weeks["W"], wake + weeks["W"]
    if row.anchor == "D":
        return autumn + weeks["D"], wake + weeks["D"]
    start = autumn + weeks[row.anchor]
    if row.anchor == "A" and row.closes < row.opens:
        return start, wake + weeks["W"]
    return start, start


def size_of(height_cm: float | None) -> str | None:
    """``small`` to 20 cm, ``medium`` to 60 cm, ``large`` above; None when nobody measured.

    The limits follow the size classes quoted from one national exhibition; that they are the
    sizes meant by the decandling dates is an assumption.
    """
    if height_cm is None:
        return None
    if height_cm <= 0:
        raise ValueError(f"a tree's height is above 0 cm, not {height_cm}")
    if height_cm <= 20:
        return "small"
    return "medium" if height_cm <= 60 else "large"


def _baseline(row: ProgrammeRow, climate: Climate, height_cm: float | None) -> tuple[MonthDay, MonthDay]:
    opens, closes = row.opens, row.closes
    size = size_of(height_cm)
    for name, first, last in row.sizes:
        if name == size:
            opens, closes = first, last
    if climate.is_southern and not row.own:
        opens, closes = opens.flipped(), closes.flipped()
    return opens, closes


def _day(year: int, number: int, *, is_end: bool) -> date:
    """The date of a day number that may lie before 1 or beyond 365; an end on 28 Feb is the last of Feb."""
    turns, rest = divmod(number - 1, YEAR_DAYS)
    plain = date(PLAIN_YEAR, 1, 1) + timedelta(days=rest)
    there = year + turns
    if is_end and (plain.month, plain.day) == (2, 28):
        return date(there, 2, calendar.monthrange(there, 2)[1])
    return date(there, plain.month, plain.day)


def window(
    row: ProgrammeRow, climate: Climate, season_year: int, *, height_cm: float | None = None
) -> Window:
    """The row's window for a club in a season.

    Args:
        row: The programme row, at the baseline or the club's own.
        climate: The club's place.
        season_year: The year in which the window opens before it is shifted.
        height_cm: Height of the tree, for rows whose days depend on size; None for the whole span.

    Returns:
        First and last day. Sums are done in a year of 365 days, so a leap day moves nothing, and an
        end of 28 February means the last day of February. Where opposite shifts leave no day at
        all, the window is its first day. Within 10 degrees of the equator ``sign_only`` is set and
        the dates serve only to tell seasons apart.
    """
    opens, closes = _baseline(row, climate, height_cm)
    first, last = shift_days(row, climate)
    ends = closes.number + (YEAR_DAYS if closes < opens else 0)
    start = _day(season_year, opens.number + first, is_end=False)
    end = _day(season_year, ends + last, is_end=True)
    return Window(start, max(start, end), sign_only=climate.is_tropical and not row.own)


def on_bench(found: Window, row: ProgrammeRow, weeks_later: int) -> Window:
    """The window of a tree whose bench wakes a week later (shade) or earlier (glass) than the club.

    Windows that stay on the calendar do not move.
    """
    if not weeks_later or row.anchor == "C":
        return found
    step = timedelta(weeks=weeks_later)
    return Window(found.opens + step, found.closes + step, sign_only=found.sign_only)


def window_lines(
    row: ProgrammeRow, climate: Climate, season_year: int, *, height_cm: float | None = None
) -> tuple[tuple[str, Value], ...]:
    """How a window was found, line by line, so that a page can open the date.

    Returns:
        Pairs of code and value: ``baseline`` and ``in_hemisphere`` as "MM-DD..MM-DD", ``own``,
        ``size``, ``wake_shift_days``, ``autumn_shift_days``, ``club_weeks`` of the anchor,
        ``opens_shift_days``, ``closes_shift_days``, ``sign_only``, ``opens`` and ``closes``.
    """
    found = window(row, climate, season_year, height_cm=height_cm)
    opens, closes = _baseline(row, climate, height_cm)
    first, last = shift_days(row, climate)
    lines: list[tuple[str, Value]] = [("baseline", f"{row.opens}..{row.closes}")]
    if row.sizes:
        lines.append(("size", size_of(height_cm) or "not measured"))
    if row.own:
        lines.append(("own", True))
    else:
        lines += [
            ("in_hemisphere", f"{opens}..{closes}"),
            ("wake_shift_days", wake_shift_days(climate)),
            ("autumn_shift_days", autumn_shift_days(climate)),
            ("club_weeks", climate.weeks_later.get(row.anchor, 0)),
        ]
    lines += [
        ("opens_shift_days", first),
        ("closes_shift_days", last),
        ("sign_only", found.sign_only),
        ("opens", found.opens),
        ("closes", found.closes),
    ]
    return tuple(lines)


def with_sign(found: Window, seen_on: date | None, *, wait: bool = False, early: bool = True) -> Window:
    """The window once the tree has been looked at.

    Args:
        found: The window by date.
        seen_on: Day the row's sign was noted on this tree, or None.
        wait: Whether the club holds the window until the sign is seen.
        early: Whether the sign may open the window before its date.

    Returns:
        Opened by the sign at most 14 days before its first day, or by date; closed at its last day
        all the same. With ``wait`` it opens on the sign and is ``sign_only`` until then. A window
        that is ``sign_only`` already (near the equator) opens on the sign and keeps its length. A sign
        noted more than 90 days before the first day belongs to another season.
    """
    if seen_on is None or not found.opens - timedelta(days=SIGN_STALE_DAYS) <= seen_on <= found.closes:
        return Window(found.opens, found.closes, sign_only=found.sign_only or wait)
    if found.sign_only:
        return Window(seen_on, seen_on + (found.closes - found.opens))
    opens = max(seen_on, found.opens - timedelta(days=SIGN_EARLY_DAYS if early else 0))
    return Window(opens if wait else min(found.opens, opens), found.closes)


def garden_days_later(latitude_deg: float, height_m: float) -> float:
    """Days by which spring comes later in one garden than in another of the same region.

    Args:
        latitude_deg: Degrees nearer the pole, negative for nearer the equator.
        height_m: Metres higher, negative for lower.

    Returns:
        4 days per degree and per 120 m. Autumn comes earlier by as much. Not for conifers, and not
        across regions.

    Source: Hopkins, The Bioclimatic Law, restated in Richardson, Hufkens, Li and Ault 2019,
    Applications in Plant Sciences 7(3):e01228, who found no gradient in evergreen conifers.
    """
    return 4 * latitude_deg + 4 * height_m / 120
