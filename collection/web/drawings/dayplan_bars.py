"""The bars of the day plan: one person's job, a crew's job with its bracket, a learner beside."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property

from collection.web.drawings.dayplan_rows import Bar, Column, PersonRow, Step, stretches
from collection.web.drawings.shapes import (
    Path,
    Rect,
    Run,
    Shape,
    Text,
    line,
    num,
    strokes,
    tag_shapes,
    text,
    tied,
    width_of,
    wrapped,
)

EDGE = 6.0
SHORT_MIN = 30
HEAD = 46.0


@dataclass(frozen=True)
class Frame:
    """Where rows and minutes lie on the sheet."""

    name: str
    people: tuple[PersonRow, ...]
    bars: tuple[Bar, ...]
    columns: tuple[Column, ...]
    order: tuple[int, ...]
    starts: int
    ends: int
    width: float
    left: float
    top: float
    row: float
    size: int
    roomy: bool

    @cached_property
    def rows(self) -> dict[int, int]:
        """A person's place in the list -> the row."""
        return {person: row for row, person in enumerate(self.order)}

    @property
    def bottom(self) -> float:
        """Under the last row."""
        return self.y(len(self.order))

    def x(self, minute: int) -> float:
        """Across, from a minute, kept on the sheet."""
        share = (min(max(minute, self.starts), self.ends) - self.starts) / (self.ends - self.starts)
        return self.left + (self.width - self.left) * share

    def y(self, row: int) -> float:
        """The top of a row."""
        return self.top + self.row * row


def bar_shapes(f: Frame, bar: Bar) -> list[Shape]:
    """A job as it lies on the sheet."""
    if len(bar.people) == 1:
        return single_shapes(f, bar)
    return crew_shapes(f, bar)


def box(f: Frame, bar: Bar, first: int, last: int) -> tuple[float, float, float, float]:
    """Left, top, width and height of a bar over rows."""
    x0, x1 = f.x(bar.starts) + 1.5, f.x(bar.ends) - 1.5
    y0, y1 = f.y(first) + EDGE, f.y(last + 1) - EDGE
    return x0, y0, max(x1 - x0, 2.0), y1 - y0


def single_shapes(f: Frame, bar: Bar) -> list[Shape]:
    """One person's job; with a learner, two bars joined by a neck."""
    row = f.rows[bar.people[0]]
    x, y, w, h = box(f, bar, row, row)
    shapes: list[Shape] = [Rect(x, y, w, h, "bar work"), *bar_words(f, bar, x, y, w, bar.title, bar.detail)]
    if bar.beside is None:
        return shapes
    other = f.rows[bar.beside]
    bx, by, bw, bh = box(f, bar, other, other)
    lead = f.people[bar.people[0]].name
    shapes += [
        Rect(bx, by, bw, bh, "bar work beside"),
        *bar_words(f, bar, bx, by, bw, f"beside {lead}", ""),
    ]
    if abs(other - row) == 1:
        top, foot = min(y, by) + h, max(y, by)
        wide = min(18.0, w)
        shapes.append(Rect(x + 1, top - 1, wide - 2, foot - top + 2, "neck"))
        shapes.append(
            Path(strokes([((x, top), (x, foot)), ((x + wide, top), (x + wide, foot))]), "load-edge")
        )
    else:
        shapes.append(joint(f, bar, row, other))
    return shapes


def bar_words(f: Frame, bar: Bar, x: float, y: float, w: float, title: str, detail: str) -> list[Shape]:
    """Tag in bold, then title and detail where both fit whole, the title where it does, else its start."""
    size, room = 16, w - (16 if f.roomy else 6)
    short = short_tag(bar, size, room)
    first_room = room - width_of(short, size, bold=True) - 6 if short else room
    whole = f"{title}, {detail}" if detail and f.roomy else title
    wordings = [whole, title] if bar.ends - bar.starts >= SHORT_MIN else [re.split(r"[ ,]", title)[0]]
    lines = next(
        (
            found
            for words in wordings
            if " ".join(found := two_lines(words, size, first_room, room)).strip() == tied(words)
        ),
        cleaned(two_lines(wordings[-1], size, first_room, room)),
    )
    left, base = x + (8 if f.roomy else 4), y + 23
    runs = tuple(run for run in (Run(short, "b"), Run(lines[0])) if run.words)
    shapes: list[Shape] = [Text(left, base, size, runs)] if runs else []
    return [*shapes, *(text(left, base + 21, words, size=size) for words in lines[1:])]


def two_lines(words: str, size: int, first_room: float, room: float) -> list[str]:
    """The words on a first line that may be short and on one below; an empty first line when nothing fits."""
    first = (wrapped(words, size, first_room, most=1) or [""])[0]
    return [first, *wrapped(tied(words)[len(first) :].strip(" "), size, room, most=1)]


def cleaned(lines: list[str]) -> list[str]:
    """Lines that break off, without a comma or a joining word at the end."""
    return [*lines[:-1], re.sub(r",?( and| to| with| of)?$", "", lines[-1])]


def short_tag(bar: Bar, size: int, room: float) -> str:
    """The tag; where it is too wide the job's number in the list or the tag's last part; or nothing."""
    last = str(bar.number) if bar.number else bar.tag.replace("-", ".").rsplit(".", 1)[-1]
    tags = (bar.tag, last) if bar.tag else ()
    return next((words for words in tags if width_of(words, size, bold=True) <= room), "")


def crew_shapes(f: Frame, bar: Bar) -> list[Shape]:
    """A job of two or three: one bar over neighbouring rows, an outline for whoever is elsewhere."""
    rows = [f.rows[person] for person in bar.people]
    lead = rows[0]
    shapes: list[Shape] = []
    for first, last in stretches(rows):
        if first <= lead <= last:
            shapes += main_shapes(f, bar, first, last)
            continue
        x, y, w, h = box(f, bar, first, last)
        words = f"with {f.people[bar.people[0]].name}"
        shapes += [Rect(x, y, w, h, "bar ghost"), *bar_words(f, bar, x + 4, y, w - 4, words, bar.title)]
        shapes.append(joint(f, bar, lead, first))
    return shapes


def joint(f: Frame, bar: Bar, row: int, other: int) -> Path:
    """The line that joins two rows which are not neighbours, just inside the bars' left end."""
    x = f.x(bar.starts) + 4
    low, high = (row, other) if row < other else (other, row)
    return Path(line([(x, f.y(low + 1) - EDGE), (x, f.y(high) + EDGE)]), "joint")


def main_shapes(f: Frame, bar: Bar, first: int, last: int) -> list[Shape]:
    """The bar itself: bracket at the left end, title line, steps below it to scale."""
    x, y, w, h = box(f, bar, first, last)
    shapes: list[Shape] = [Rect(x, y, w, h, "bar pair")]
    head = HEAD if last > first else 26.0
    if bar.steps:
        for step in bar.steps:
            shapes += step_shapes(f, bar, step, y + head, h - head)
        shapes.append(Path(line([(x, y + head), (x + w, y + head)]), "step"))
    if f.roomy:
        shapes += title_shapes(bar, x, y, w, small=last == first)
    else:
        shapes += phone_title(bar, x, y, w)
    arm = min(20.0, w / 2)
    points = [(x + arm, y + 3), (x + 3, y + 3), (x + 3, y + h - 3), (x + arm, y + h - 3)]
    shapes.append(Path(line(points), "prong"))
    for row in range(first + 1, last):
        middle = f.y(row) + f.row / 2
        shapes.append(Path(line([(x + 3, middle), (x + arm, middle)]), "prong"))
    return shapes


def title_shapes(bar: Bar, x: float, y: float, w: float, *, small: bool) -> list[Shape]:
    """Tag mark, title in bold, then what the tree is."""
    at = x + 26
    shapes: list[Shape] = []
    if bar.tag:
        marks, wide = tag_shapes(at, y + (1 if small else 9), bar.tag, 16)
        if 26 + wide < w:
            shapes += marks
            at += wide + 8
    title = wrapped(bar.title, 17, x + w - at - 6, most=1, bold=True)
    if not title:
        return shapes
    after = at + width_of(title[0], 17, bold=True) + 8
    whole = title[0] == tied(bar.title)
    detail = wrapped(bar.detail, 16, x + w - after - 6, most=1) if whole else []
    runs = (Run(title[0], "b"), *(Run(d) for d in detail if d == tied(bar.detail)))
    shapes.append(Text(at, y + (19 if small else 28), 17, runs))
    return shapes


def phone_title(bar: Bar, x: float, y: float, w: float) -> list[Shape]:
    """On a phone the tag in bold, and the title when it fits."""
    room = w - 26
    short = short_tag(bar, 16, room)
    left = room - width_of(short, 16, bold=True) - 6
    title = cleaned(wrapped(bar.title, 16, left, most=1) or [""])
    runs = (
        (Run(short, "b"), *(Run(t) for t in title if t)) if short else tuple(Run(t, "b") for t in title if t)
    )
    return [Text(x + 24, y + 28, 16, runs)] if runs else []


def step_shapes(f: Frame, bar: Bar, step: Step, y: float, h: float) -> list[Shape]:
    """A part of a pair job to scale; a held one is dark with grip marks along its foot."""
    x0 = max(f.x(step.starts), f.x(bar.starts) + 2.5)
    x1 = min(f.x(step.ends), f.x(bar.ends) - 2.5)
    room = x1 - x0 - (16 if f.roomy else 6)
    left = max(x0 + (8 if f.roomy else 3), f.x(bar.starts) + (26 if f.roomy else 16))
    room -= left - x0 - (8 if f.roomy else 3)
    shapes: list[Shape] = []
    if step.held:
        shapes.append(Rect(x0, y, max(x1 - x0, 1.0), h - 1, "held"))
        grips = [((x, y + h - 8), (x, y + h - 1)) for x in spread(x0 + 4, x1 - 2, 7)]
        shapes.append(Path(strokes(grips), "grip"))
    elif step.starts > bar.starts:
        shapes.append(Path(f"M{num(x0)} {num(y)}V{num(y + h)}", "step"))
    most = max(int((h - (14 if step.held else 6)) // 20), 0)
    ink = " t-on" if step.held else ""
    heads = wrapped(step.words, 16, room, most=most, bold=step.held)
    if " ".join(heads) != tied(step.words):
        heads = cleaned(heads) if heads else []
    rest = wrapped(step.detail, 16, room, most=max(most - len(heads), 0))
    if " ".join(rest) != tied(step.detail):
        rest = []  # half a sentence misleads; the list below has all of it
    for i, words in enumerate(heads):
        shapes.append(
            text(left, y + 20 + 20 * i, words, size=16, css=f"{'b' if step.held else ''}{ink}".strip())
        )
    for i, words in enumerate(rest, start=len(heads)):
        shapes.append(text(left, y + 20 + 20 * i, words, size=16, css=ink.strip()))
    return shapes


def spread(first: float, last: float, step: float) -> list[float]:
    """Places from ``first`` on, a step apart, up to ``last``."""
    return [first + step * i for i in range(max(int((last - first) / step) + 1, 0))]
