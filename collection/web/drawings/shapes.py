"""What every drawing is made of: boxes, paths and words on a sheet measured in its own units.

One unit is one pixel when the drawing is shown at its full width; it shrinks with the page.
Looks are names of classes, so colour, print and dark are decided in the style sheet alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import ClassVar, Literal

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]

# Mean width of a letter as a part of the type size, measured on mixed words in the reading face.
LETTER = 0.53
LETTER_BOLD = 0.56


@dataclass(frozen=True, slots=True)
class Rect:
    """A box. ``pattern`` names a fill pattern of the sheet: "dots" or "hatch"."""

    kind: ClassVar[str] = "rect"
    x: float
    y: float
    w: float
    h: float
    css: str
    pattern: str = ""

    def __post_init__(self) -> None:
        if not all(math.isfinite(v) for v in (self.x, self.y, self.w, self.h)) or min(self.w, self.h) < 0:
            raise ValueError(f"no such box: {self.w} by {self.h} at {self.x}, {self.y}")


@dataclass(frozen=True, slots=True)
class Path:
    """A line or an outline. ``width`` overrides the style sheet where thickness is data."""

    kind: ClassVar[str] = "path"
    d: str
    css: str
    width: float | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """Words in one weight."""

    words: str
    css: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of words. ``upright`` turns it a quarter to the left about its point."""

    kind: ClassVar[str] = "text"
    x: float
    y: float
    size: int
    runs: tuple[Run, ...]
    css: str = ""
    anchor: Anchor = "start"
    upright: bool = False

    @property
    def words(self) -> str:
        """The whole line."""
        return " ".join(run.words for run in self.runs)


Shape = Rect | Path | Text


@dataclass(frozen=True, slots=True)
class Picture:
    """A finished drawing: its size in units and its shapes from the bottom up. ``name`` is unique on a page."""

    name: str
    width: float
    height: float
    shapes: tuple[Shape, ...]

    def having(self, css: str) -> list[Shape]:
        """The shapes that carry a class."""
        return [shape for shape in self.shapes if css in shape.css.split()]


def num(value: float) -> str:
    """A coordinate with one decimal at most, always with a point."""
    text = f"{value:.1f}"
    return "0" if text == "-0.0" else text.removesuffix(".0")


def line(points: Iterable[Point], *, closed: bool = False) -> str:
    """Path words for straight lines through the points."""
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points) + ("Z" if closed else "")


def strokes(pairs: Iterable[tuple[Point, Point]]) -> str:
    """Path words for many separate straight strokes."""
    return "".join(line(pair) for pair in pairs)


def width_of(words: str, size: float, *, bold: bool = False) -> float:
    """About how wide a line of words is."""
    return len(words) * size * (LETTER_BOLD if bold else LETTER)


def wrapped(words: str, size: float, room: float, *, most: int, bold: bool = False) -> list[str]:
    """The words in lines that fit; what does not fit into ``most`` lines is left out, never cut inside a word."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, size, bold=bold) <= room:
            lines[-1] = longer
        elif len(lines) < most and width_of(word, size, bold=bold) <= room:
            lines.append(word)
        else:
            break
    return lines


def text(
    x: float,
    y: float,
    words: str,
    *,
    size: int = 17,
    css: str = "",
    anchor: Anchor = "start",
    upright: bool = False,
) -> Text:
    """A line of words in one weight."""
    return Text(x, y, size, (Run(words),), css, anchor, upright)


def tag_shapes(x: float, y: float, words: str, size: int) -> tuple[list[Shape], float]:
    """The tag mark with its left top corner at a point; the shapes and how wide it is."""
    high = size + 9.0
    wide = width_of(words, size, bold=True) + 2.1 * size
    r = high / 2
    outline = (
        f"M{num(x + r)} {num(y)}H{num(x + wide)}V{num(y + high)}H{num(x + r)}"
        f"A{num(r)} {num(r)} 0 0 1 {num(x + r)} {num(y)}Z"
    )
    hole = 0.3 * size
    cx, cy = x + r + 1, y + r
    ring = f"M{num(cx - hole)} {num(cy)}a{num(hole)} {num(hole)} 0 1 0 {num(2 * hole)} 0"
    ring += f"a{num(hole)} {num(hole)} 0 1 0 {num(-2 * hole)} 0Z"
    label = text(x + r + hole + 7, y + size + 1.5, words, size=size, css="b")
    return [Path(outline, "tag-box"), Path(ring, "tag-box"), label], wide


def day_words(value: date) -> str:
    """A day without its year: "8 March"."""
    return f"{value.day} {value:%B}"


def short_day(value: date) -> str:
    """A day for a label: "30 Nov"."""
    return f"{value.day} {value:%b}"


def clock(minutes: int) -> str:
    """Minutes since midnight as a 24-hour time."""
    return f"{minutes // 60}:{minutes % 60:02d}"


def hours(value: float) -> str:
    """Hours for a label: one decimal, none when it is a whole number."""
    return f"{value:.1f}".removesuffix(".0")


def joined(words: Sequence[str]) -> str:
    """Words as in speech: "8, 15 and 22"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""
