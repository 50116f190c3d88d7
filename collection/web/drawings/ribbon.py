"""The season ribbon: weeks left to right, hours of work as an area against the hours people offered.

The area is hours: one week is one step, nothing is smoothed, and the hatched area is exactly the
hours missing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from collection.web.drawings.ribbon_windows import WindowBar, more_windows, window_shapes
from collection.web.drawings.shapes import (
    Path,
    Picture,
    Point,
    Rect,
    Shape,
    day_words,
    hours,
    joined,
    line,
    text,
    width_of,
)

__all__ = ["Ribbon", "Spell", "WeekLoad", "WindowBar", "draw_ribbon", "short_spells"]

GRID_STEPS_H = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
MOST_GRID_LINES = 6
NAMED_SPELLS = 2
WEEKS_ON_A_PHONE = 26


@dataclass(frozen=True, slots=True)
class WeekLoad:
    """One club week, in hours."""

    monday: date
    likely_h: float
    cautious_h: float
    offered_h: float
    missing_h: float

    def __post_init__(self) -> None:
        if self.monday.weekday():
            raise ValueError(f"{self.monday} is not a Monday: a club week starts on Monday")
        if min(self.likely_h, self.cautious_h, self.offered_h, self.missing_h) < 0:
            raise ValueError(f"the week of {self.monday} has hours below nought")


@dataclass(frozen=True, slots=True)
class Spell:
    """Short weeks in a row, by their places in the list of weeks."""

    first: int
    last: int
    missing_h: float


@dataclass(frozen=True, slots=True)
class Ribbon:
    """The drawing in both layouts, with its words for those who cannot see it."""

    title: str
    description: str
    wide: Picture
    narrow: tuple[Picture, ...]


@dataclass(frozen=True, slots=True)
class Frame:
    """Where the plot lies on its sheet."""

    weeks: tuple[WeekLoad, ...]
    width: float
    left: float
    right: float
    top: float
    bottom: float
    top_h: float
    step_h: float
    size: int
    roomy: bool

    def x(self, place: float) -> float:
        """Across, from a place in the list of weeks."""
        return self.left + (self.right - self.left) * place / len(self.weeks)

    def x_of(self, day: date) -> float:
        """Across, from a date, kept on the plot."""
        weeks = (day - self.weeks[0].monday).days / 7
        return self.x(min(max(weeks, 0.0), float(len(self.weeks))))

    def y(self, value_h: float) -> float:
        """Up, from hours a week."""
        return self.bottom - (self.bottom - self.top) * value_h / self.top_h

    @property
    def start(self) -> date:
        """The first day of the first week."""
        return self.weeks[0].monday

    @property
    def end(self) -> date:
        """The first day after the last week."""
        return self.weeks[-1].monday + timedelta(days=7)


def short_spells(weeks: Sequence[WeekLoad]) -> list[Spell]:
    """Weeks in a row that miss hours, in order of time."""
    spells: list[Spell] = []
    for place, week in enumerate(weeks):
        if week.missing_h <= 0:
            continue
        if spells and spells[-1].last == place - 1:
            before = spells.pop()
            spells.append(Spell(before.first, place, before.missing_h + week.missing_h))
        else:
            spells.append(Spell(place, place, week.missing_h))
    return spells


def draw_ribbon(weeks: Sequence[WeekLoad], windows: Sequence[WindowBar]) -> Ribbon:
    """The season ribbon on one wide strip, and on one or two narrow ones.

    Args:
        weeks: Club weeks in a row, oldest first.
        windows: Windows that touch these weeks, in any order.

    Raises:
        ValueError: If there are no weeks or they are not seven days apart.
    """
    if not weeks:
        raise ValueError("a ribbon needs one week at least")
    if any((b.monday - a.monday).days != 7 for a, b in pairwise(weeks)):
        raise ValueError("the weeks of a ribbon follow each other")
    parts = [weeks[i : i + WEEKS_ON_A_PHONE] for i in range(0, len(weeks), WEEKS_ON_A_PHONE)]
    return Ribbon(
        title=f"Hours of work and hours offered in {len(weeks)} weeks",
        description=described(weeks),
        wide=strip("ribbon-wide", weeks, windows, roomy=True),
        narrow=tuple(
            strip(f"ribbon-narrow-{i}", part, windows, roomy=False) for i, part in enumerate(parts, start=1)
        ),
    )


def described(weeks: Sequence[WeekLoad]) -> str:
    """The drawing in one or two sentences."""
    work, offered = sum(w.likely_h for w in weeks), sum(w.offered_h for w in weeks)
    first = (
        f"{hours(work)} h of likely work and {hours(offered)} h offered from {day_words(weeks[0].monday)}."
    )
    short = [w for w in weeks if w.missing_h > 0]
    if not short:
        return f"{first} No week is short."
    missing = hours(sum(w.missing_h for w in short))
    return f"{first} {len(short)} weeks are short, {missing} h are missing. The table has every week."


def framed(weeks: Sequence[WeekLoad], *, roomy: bool, top: float) -> Frame:
    """The plot's place and scale; the same scale for work and for hours offered."""
    highest = max(max(w.likely_h, w.cautious_h, w.offered_h) for w in weeks)
    step = next((s for s in GRID_STEPS_H if highest / s <= MOST_GRID_LINES), GRID_STEPS_H[-1])
    top_h = max(step, -(-highest // step) * step)
    width, left, right, high = (1120.0, 46.0, 966.0, 230.0) if roomy else (354.0, 34.0, 352.0, 190.0)
    return Frame(
        tuple(weeks),
        width,
        left,
        right,
        top,
        top + high,
        float(top_h),
        float(step),
        17 if roomy else 16,
        roomy,
    )


def strip(name: str, weeks: Sequence[WeekLoad], windows: Sequence[WindowBar], *, roomy: bool) -> Picture:
    """One strip of the ribbon, windows below it."""
    spells = short_spells(weeks)
    draft = framed(weeks, roomy=roomy, top=0)
    labels, high = spell_shapes(draft, spells)
    f = framed(weeks, roomy=roomy, top=high)
    labels, _ = spell_shapes(f, spells)
    below = f.bottom + (48 if roomy else 44)
    bars, end = window_shapes(f, windows, below)
    shapes: list[Shape] = [
        *grid_shapes(f, end),
        *work_shapes(f),
        *offered_shapes(f),
        Path(line([(f.left, f.bottom), (f.right, f.bottom)]), "axis"),
        *labels,
        *side_labels(f),
        *bars,
    ]
    return Picture(name, f.width, end, tuple(shapes))


def steps(f: Frame, values_h: Sequence[float]) -> list[Point]:
    """The corners of a stepped line, one step a week."""
    return [point for i, v in enumerate(values_h) for point in ((f.x(i), f.y(v)), (f.x(i + 1), f.y(v)))]


def grid_shapes(f: Frame, end: float) -> list[Shape]:
    """Level lines with their hours, upright lines with their months."""
    shapes: list[Shape] = []
    count = round(f.top_h / f.step_h)
    for n in range(1, count + 1):
        y, unit = f.y(n * f.step_h), " h" if f.roomy and n == count else ""
        shapes.append(Path(line([(f.left, y), (f.right, y)]), "grid"))
        shapes.append(text(f.left - 8, y + 6, hours(n * f.step_h) + unit, size=f.size, anchor="end"))
    every = 3 if len(f.weeks) > 30 and not f.roomy else 1
    for place, day in enumerate(months(f.weeks[0].monday, f.end)):
        x = f.x_of(day)
        shapes.append(Path(line([(x, f.bottom + 8), (x, end)]), "grid"))
        shapes.append(Path(line([(x, f.bottom), (x, f.bottom + 8)]), "axis"))
        words = f"{day:%b} {day.year}" if day.month == 1 and f.roomy else f"{day:%b}"
        if place % every == 0 and x + width_of(words, f.size, bold=True) <= f.right + (40 if f.roomy else 2):
            shapes.append(text(x + 4, f.bottom + 24, words, size=f.size, css="b"))
    return shapes


def months(first: date, end: date) -> list[date]:
    """The first days of the months inside a stretch of days."""
    found: list[date] = []
    day = date(first.year + first.month // 12, first.month % 12 + 1, 1)
    while day < end:
        found.append(day)
        day = date(day.year + day.month // 12, day.month % 12 + 1, 1)
    return found


def work_shapes(f: Frame) -> list[Shape]:
    """Likely work as an area, the cautious figure as dots above it, missing hours hatched."""
    likely = [w.likely_h for w in f.weeks]
    ground = [(f.left, f.bottom), *steps(f, likely), (f.right, f.bottom)]
    shapes: list[Shape] = [Path(line(ground, closed=True), "load")]
    for i, week in enumerate(f.weeks):
        wide = f.x(i + 1) - f.x(i)
        if week.cautious_h > week.likely_h:
            high = f.y(week.likely_h) - f.y(week.cautious_h)
            shapes.append(Rect(f.x(i), f.y(week.cautious_h), wide, high, "dots", "dots"))
    cautious = steps(f, [max(w.cautious_h, w.likely_h) for w in f.weeks])
    shapes.append(Path(line(cautious), "dots-edge"))
    shapes.append(Path(line(steps(f, likely)), "load-edge"))
    for i, week in enumerate(f.weeks):
        missing = min(week.missing_h, week.likely_h)
        if missing > 0:
            top, wide = f.y(week.likely_h), f.x(i + 1) - f.x(i)
            box = (f.x(i), top, wide, f.y(week.likely_h - missing) - top)
            shapes += [Rect(*box, "hatch-ground"), Rect(*box, "missing-area", "hatch")]
    return shapes


def offered_shapes(f: Frame) -> list[Shape]:
    """The heavy line of hours offered, with an edge of paper so that it shows over anything."""
    d = line(steps(f, [w.offered_h for w in f.weeks]))
    return [Path(d, "hours-under"), Path(d, "hours")]


def side_labels(f: Frame) -> list[Shape]:
    """What each line is, written at its end; on a phone written on the plot."""
    last = f.weeks[-1]
    nobody = all(w.offered_h == 0 for w in f.weeks)
    words = "No hours offered yet" if nobody else "Hours offered"
    if not f.roomy:
        return phone_labels(f, nobody)
    wanted = sorted(
        [
            (f.y(max(last.cautious_h, last.likely_h)), 0, "Cautious, 8 in 10", "t-needle"),
            (f.y(last.offered_h), 1, words, "b"),
            (f.y(last.likely_h), 2, "Likely work", "b t-needle"),
        ]
    )
    ys: list[float] = []
    for at, *_ in wanted:
        ys.append(max(at + 6, ys[-1] + 22) if ys else at + 6)
    over = max(ys[-1] - (f.bottom + 6), 0.0)
    return [
        text(f.right + 10, y - over, label, size=f.size, css=css)
        for y, (_, _, label, css) in zip(ys, wanted, strict=True)
    ]


def phone_labels(f: Frame, nobody: bool) -> list[Shape]:
    """ "offered" at the widest gap above the line, "work" on the deepest part of the area."""
    most = max(range(len(f.weeks)), key=lambda i: min(w.likely_h for w in f.weeks[max(i - 2, 0) : i + 3]))
    shapes: list[Shape] = []
    if f.bottom - f.y(f.weeks[most].likely_h) > 26:
        x = min(max(f.x(most + 0.5), f.left + 24), f.right - 24)
        shapes.append(text(x, f.bottom - 8, "work", size=f.size, css="b t-needle", anchor="middle"))
    if nobody:
        shapes.append(text(f.left + 6, f.bottom - 30, "no hours offered yet", size=f.size, css="b halo"))
        return shapes
    room = [w.offered_h - max(w.cautious_h, w.likely_h) for w in f.weeks]
    place = max(range(len(room)), key=lambda i: min(room[max(i - 1, 0) : i + 2]))
    x = min(max(f.x(place + 0.5), f.left + 32), f.right - 32)
    y = max(f.y(f.weeks[place].offered_h) - 9, f.top + 14)
    shapes.append(text(x, y, "offered", size=f.size, css="b halo", anchor="middle"))
    return shapes


def spell_shapes(f: Frame, spells: Sequence[Spell]) -> tuple[list[Shape], float]:
    """Brackets over the short weeks, the worst two named; the shapes, and how much room they take above."""
    row = 50.0
    named = sorted(sorted(spells, key=lambda s: -s.missing_h)[:NAMED_SPELLS], key=lambda s: s.first)
    shapes: list[Shape] = []
    for spell in spells:
        x0, x1, y = f.x(spell.first), f.x(spell.last + 1), f.top - 22
        shapes.append(Path(line([(x0, y + 12), (x0, y), (x1, y), (x1, y + 12)]), "spell"))
    for place, spell in enumerate(named):
        shapes += spell_label(f, spell, f.top - 44 - row * (len(named) - 1 - place))
    more = len(spells) - len(named)
    if more:
        y = f.top - 44 - row * len(named) + 24
        shapes.append(
            text(f.right, y, f"and {more} more, in the table", size=f.size, css="t-plum", anchor="end")
        )
    return shapes, 48.0 + row * len(named) + (24 if more else 0)


def spell_label(f: Frame, spell: Spell, y: float) -> list[Shape]:
    """Two lines that name a spell, over its bracket, moved sideways to stay on the sheet."""
    weeks = f.weeks[spell.first : spell.last + 1]
    if f.roomy:
        head = f"Short: {named_weeks(weeks)}"
        work, offered = sum(w.likely_h for w in weeks), sum(w.offered_h for w in weeks)
        tail = f"{hours(work)} h of work, {hours(offered)} h offered: {hours(spell.missing_h)} h missing"
    else:
        head = f"{len(weeks)} short weeks," if len(weeks) > 1 else f"Short: {day_words(weeks[0].monday)},"
        tail = f"{hours(spell.missing_h)} h missing"
    half = max(width_of(head, f.size, bold=True), width_of(tail, f.size)) / 2
    middle = (f.x(spell.first) + f.x(spell.last + 1)) / 2
    x = min(max(middle, f.left + 70 + half if f.roomy else half), f.right - half)
    stem = Path(line([(middle, y + 6), (middle, f.top - 22)]), "spell thin")
    under = [] if y > f.top - 60 else [stem]
    return [
        *under,
        text(x, y - 20, head, size=f.size, css="b t-plum halo", anchor="middle"),
        text(x, y, tail, size=f.size, css="t-plum halo" if f.roomy else "b t-plum halo", anchor="middle"),
    ]


def named_weeks(weeks: Sequence[WeekLoad]) -> str:
    """Weeks by their Mondays: "weeks of 8, 15 and 22 March"; many of them as from and to."""
    days = [w.monday for w in weeks]
    if len(days) == 1:
        return f"week of {day_words(days[0])}"
    if len(days) > 5:
        return f"{len(days)} weeks, from {day_words(days[0])} to the week of {day_words(days[-1])}"
    ends = [i + 1 == len(days) or days[i + 1].month != d.month for i, d in enumerate(days)]
    return "weeks of " + joined([day_words(d) if e else str(d.day) for d, e in zip(days, ends, strict=True)])


def left_out(windows: Sequence[WindowBar], weeks: Sequence[WeekLoad]) -> int:
    """How many windows the ribbon has no room for."""
    return more_windows(windows, weeks[0].monday, weeks[-1].monday + timedelta(days=7))
