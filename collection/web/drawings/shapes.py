"""What every drawing is made of: boxes, paths and words on a sheet measured in its own units.

One unit is one pixel when the drawing is shown at its full width; it shrinks with the page.
Looks are names of classes, so colour, print and dark are decided in the style sheet alone.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import ClassVar, Literal

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]

# Widths of letters in hundredths of the type size, measured in the reading face and rounded to five;
# bold is wider by a tenth at most.
WIDTHS = {
    20: "',.:;",
    25: "`ijl|",
    30: ' !"()[]f',
    35: "-_rt{}",
    40: "1/I\\",
    45: "svyz",
    50: "7*?Jackx",
    55: "2<>EFLTY^bdeghnopqu~",
    60: "345689$+BPRSVXZ",
    65: "0#=ACDK",
    70: "GHNOQUw",
    80: "&@M",
    90: "Wm%",
}
LETTERS = {letter: width / 100 for width, letters in WIDTHS.items() for letter in letters}
UNKNOWN_LETTER = 0.65
BOLDER = 1.1
NO_BREAK = "\N{NO-BREAK SPACE}"
NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:h|min|kg|mm|cm|m|l)\b)|(?<=\d h) (?=\d)")


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
    """A finished drawing: its size in units, its shapes from the bottom up, a name unique on its page."""

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
    plain = size * sum(LETTERS.get(" " if c == NO_BREAK else c, UNKNOWN_LETTER) for c in words)
    return plain * BOLDER if bold else plain


def tied(words: str) -> str:
    """The words with each number tied to its unit."""
    return NUMBER_AND_UNIT.sub(NO_BREAK, words)


def wrapped(words: str, size: float, room: float, *, most: int, bold: bool = False) -> list[str]:
    """The words in lines that fit; what is too much for ``most`` lines is left out, by whole words."""
    lines: list[str] = []
    for word in tied(words).split(" "):
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
