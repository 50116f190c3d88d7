"""The day plan: people down, time across, pair jobs as one bar over two rows with a bracket."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from collection.web.drawings.dayplan_bars import Frame, bar_shapes
from collection.web.drawings.dayplan_rows import Bar, Column, PersonRow, Step, order_rows, stretches
from collection.web.drawings.shapes import (
    Path,
    Picture,
    Rect,
    Shape,
    clock,
    line,
    strokes,
    text,
    width_of,
    wrapped,
)

__all__ = ["Bar", "Column", "DayPlan", "PersonRow", "Step", "draw_day", "order_rows"]

GRID_MIN = 30


@dataclass(frozen=True, slots=True)
class DayPlan:
    """The drawing in both layouts, with its words for those who cannot see it."""

    title: str
    description: str
    wide: Picture
    narrow: Picture


def draw_day(
    people: Sequence[PersonRow],
    bars: Sequence[Bar],
    columns: Sequence[Column],
    *,
    starts: int,
    ends: int,
) -> DayPlan:
    """The plan of a day on a wide sheet and on a narrow one.

    Args:
        people: Who comes, in any order; bars and columns name them by their place here.
        bars: Jobs with their crews and times.
        columns: Times that people share.
        starts: First minute of the day.
        ends: Last minute of the day.

    Raises:
        ValueError: If the day ends before it starts or a bar names nobody on the list.
    """
    if ends <= starts:
        raise ValueError("the day ends before it starts: swap its times")
    for bar in bars:
        if not all(0 <= person < len(people) for person in bar.everybody):
            raise ValueError(f"the job {bar.title!r} names somebody who is not on the list")
    order = order_rows(len(people), bars)
    day = (tuple(people), tuple(bars), tuple(columns), order, starts, ends)
    pairs = sum(len(bar.people) > 1 for bar in bars)
    return DayPlan(
        title=f"Day plan, {clock(starts)} to {clock(ends)}",
        description=f"{len(people)} people and {len(bars)} jobs, {pairs} of them for people together."
        " The list below has the same jobs.",
        wide=sheet(Frame("day-wide", *day, 1120.0, 196.0, 36.0, 72.0, 17, True)),
        narrow=sheet(Frame("day-narrow", *day, 354.0, 78.0, 30.0, 64.0, 16, False)),
    )


def sheet(f: Frame) -> Picture:
    """One layout."""
    shapes: list[Shape] = [*time_shapes(f), *row_shapes(f)]
    for row, person in enumerate(f.order):
        shapes += away_shapes(f, row, f.people[person])
    for column in f.columns:
        shapes += column_shapes(f, column)
    for bar in f.bars:
        shapes += bar_shapes(f, bar)
    shapes.append(Path(line([(0, f.bottom), (f.width, f.bottom)]), "axis"))
    return Picture(f.name, f.width, f.bottom + 2, tuple(shapes))


def time_shapes(f: Frame) -> list[Shape]:
    """An upright line every half hour, with its time where there is room."""
    shapes: list[Shape] = []
    free_from = 0.0
    for minute in range(-(-f.starts // GRID_MIN) * GRID_MIN, f.ends + 1, GRID_MIN):
        x = f.x(minute)
        wide = width_of(clock(minute), f.size, bold=True) + 8
        shapes.append(Path(line([(x, 0 if f.roomy else 22), (x, f.bottom)]), "grid"))
        whole = f.roomy or minute % 60 == 0
        if whole and x >= free_from and x + wide <= f.width + 1:
            shapes.append(text(x + (6 if f.roomy else 2), f.size + 2, clock(minute), size=f.size, css="b"))
            free_from = x + wide
    return shapes


def row_shapes(f: Frame) -> list[Shape]:
    """Names at the left, a line over each row; none between people who share a bar."""
    shapes: list[Shape] = []
    for row, person in enumerate(f.order):
        y = f.y(row)
        shapes.append(Path(line([(0, y), (f.width, y)]), "rule" if row else "axis"))
        who = f.people[person]
        names = wrapped(who.name, f.size, f.left - 6, most=2, bold=True) or [who.name[:8]]
        for place, words in enumerate(names):
            shapes.append(text(0, y + 24 + 20 * place, words, size=f.size, css="b"))
        if f.roomy:
            notes = wrapped(who.note, 16, f.left - 10, most=3 - len(names))
            for place, words in enumerate(notes, start=len(names)):
                shapes.append(text(0, y + 24 + 21 * place, words, size=16, css="t2"))
    return shapes


def away_shapes(f: Frame, row: int, who: PersonRow) -> list[Shape]:
    """Level lines where somebody is not here, with the word for it."""
    shapes: list[Shape] = []
    late, early = who.arrives > f.starts, who.leaves < f.ends
    for there, x0, x1, words in (
        (late, f.left, f.x(who.arrives), f"comes at {clock(who.arrives)}"),
        (early, f.x(who.leaves), f.width, f"leaves at {clock(who.leaves)}"),
    ):
        if not there:
            continue
        top = f.y(row)
        lines = [((x0 + 2, top + dy), (x1 - 2, top + dy)) for dy in range(12, int(f.row) - 4, 11)]
        shapes.append(Path(strokes(lines), "away"))
        for place, part in enumerate(wrapped(words, 16, x1 - x0 - 8, most=2)):
            shapes.append(text(x0 + 6, top + f.row / 2 + 6 + 20 * place, part, size=16, css="halo"))
    return shapes


def column_shapes(f: Frame, column: Column) -> list[Shape]:
    """A shared time over the rows of those who take it, its word upright where no bar hides it."""
    here = [
        row
        for row, person in enumerate(f.order)
        if (not column.people or person in column.people)
        and f.people[person].arrives < column.ends
        and f.people[person].leaves > column.starts
    ]
    x0, x1 = f.x(column.starts), f.x(column.ends)
    shapes: list[Shape] = [
        Rect(x0, f.y(a), x1 - x0, f.y(b + 1) - f.y(a), "column") for a, b in stretches(here)
    ]
    hidden = {
        f.rows[person]
        for bar in f.bars
        if bar.starts < column.ends and bar.ends > column.starts
        for person in bar.everybody
    }
    open_rows = stretches([row for row in here if row not in hidden])
    if open_rows and x1 - x0 >= f.size:
        a, b = max(open_rows, key=lambda s: s[1] - s[0])
        middle, room = (f.y(a) + f.y(b + 1)) / 2, f.y(b + 1) - f.y(a) - 6
        words = wrapped(column.words, f.size, room, most=1, bold=True)
        if words:
            x = (x0 + x1) / 2 + 6
            shapes.append(text(x, middle, words[0], size=f.size, css="b", anchor="middle", upright=True))
    return shapes
