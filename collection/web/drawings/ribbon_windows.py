"""The windows under the season ribbon: a triangle opens, a stop closes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Protocol

from collection.web.drawings.shapes import Path, Run, Shape, Text, line, short_day, text, width_of

MOST_WINDOWS = 8
CLOSING_DAYS = 14


@dataclass(frozen=True, slots=True)
class WindowBar:
    """A window and what waits in it: "Black pine: repot", "8 trees, 17 h"."""

    label: str
    detail: str
    opens: date
    closes: date

    def __post_init__(self) -> None:
        if self.closes < self.opens:
            raise ValueError(f"the window of {self.label} closes before it opens: swap its dates")


class Place(Protocol):
    """What this module needs to know of the plot above it."""

    @property
    def width(self) -> float: ...
    @property
    def left(self) -> float: ...
    @property
    def right(self) -> float: ...
    @property
    def size(self) -> int: ...
    @property
    def roomy(self) -> bool: ...
    @property
    def end(self) -> date: ...
    def x_of(self, day: date) -> float: ...
    def x(self, place: float) -> float: ...

    @property
    def start(self) -> date: ...


def in_order(windows: Sequence[WindowBar], start: date, end: date) -> list[WindowBar]:
    """Windows that touch the weeks: those that close soon first, then by opening."""
    soon = start + timedelta(days=CLOSING_DAYS)
    touching = [w for w in windows if w.closes >= start and w.opens < end]
    return sorted(touching, key=lambda w: (w.closes >= soon, max(w.opens, start), w.closes, w.label))


def more_windows(windows: Sequence[WindowBar], start: date, end: date) -> int:
    """How many windows there is no room for."""
    return max(0, len(in_order(windows, start, end)) - MOST_WINDOWS)


def window_shapes(f: Place, windows: Sequence[WindowBar], top: float) -> tuple[list[Shape], float]:
    """The bars from ``top`` down; the shapes and where they end."""
    shapes: list[Shape] = []
    high = 34.0 if f.roomy else 46.0
    y = top
    for window in in_order(windows, f.start, f.end)[:MOST_WINDOWS]:
        shapes += bar_shapes(f, window, y)
        y += high
    more = more_windows(windows, f.start, f.end)
    if more:
        words = f"{more} more, in the table"
        shapes.append(text(f.left if f.roomy else 0, y + 6, words, size=f.size, css="t2 halo"))
        y += high
    return shapes, y


def bar_shapes(f: Place, window: WindowBar, y: float) -> list[Shape]:
    """One window: bar, marks at its ends, label."""
    closing = window.closes < f.start + timedelta(days=CLOSING_DAYS)
    css = " closing" if closing else ""
    x0, x1 = f.x_of(window.opens), f.x_of(window.closes + timedelta(days=1))
    at = y if f.roomy else y + 18
    shapes: list[Shape] = [Path(line([(x0, at), (max(x1, x0 + 3), at)]), "window" + css)]
    if window.opens >= f.start:
        shapes.append(
            Path(line([(x0, at - 8), (x0 + 12, at), (x0, at + 8)], closed=True), "window-start" + css)
        )
    if window.closes < f.end:
        shapes.append(Path(line([(x1, at - 8), (x1, at + 8)]), "window-end" + css))
    detail = window.detail
    if closing:
        until = f"closes {short_day(window.closes)}"
        detail = f"{detail}, {until}".removeprefix(", ") if f.roomy else until
    return [*shapes, label(f, window.label, detail, x0, x1, y)]


def label(f: Place, words: str, detail: str, x0: float, x1: float, y: float) -> Text:
    """The words at a bar: right of it, or left when they would leave the sheet; above it on a phone."""
    bold, plain = Run(words, "b"), Run(detail)
    wide = width_of(words, f.size, bold=True) + width_of(detail, f.size) + 6
    if not f.roomy:
        runs = (bold, plain) if wide <= f.width else (bold,)
        used = min(wide if len(runs) == 2 else width_of(words, f.size, bold=True), f.width)
        if x0 + used <= f.width:
            return Text(0 if x0 <= f.left + 1 else x0, y + 2, f.size, runs, "halo")
        return Text(f.width, y + 2, f.size, runs, "halo", "end")
    if x1 + 12 + wide <= f.width or x0 - 12 < wide:
        runs = (bold, plain) if x1 + 12 + wide <= f.width else (bold,)
        fits = x1 + 12 + width_of(words, f.size, bold=True) <= f.width
        if fits:
            return Text(x1 + 12, y + 6, f.size, runs, "halo")
        return Text(f.right - 8, y - 6, f.size, (bold, plain), "halo", "end")
    return Text(x0 - 12, y + 6, f.size, (bold, plain), "halo", "end")
