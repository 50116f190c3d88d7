"""The branches of the front view: curve, side branches, fine ticks, coils of wire."""

from __future__ import annotations

import math
from dataclasses import dataclass

from collection.web.drawings.shapes import Path, Point, Shape, num, strokes, text

MOST_SIDE = 6
COIL_STEP = 7.0


@dataclass(frozen=True, slots=True)
class Limb:
    """A branch as a curve with one bend; ``side`` is -1 left, 1 right."""

    start: Point
    bend: Point
    end: Point
    thick: float
    side: int

    @property
    def length(self) -> float:
        """About the curve's length."""
        chord = math.dist(self.start, self.end)
        return (chord + math.dist(self.start, self.bend) + math.dist(self.bend, self.end)) / 2


def limb_at(limb: Limb, part: float) -> Point:
    """The point at a part of the curve, 0 at the trunk and 1 at the tip."""
    a, b, c = (1 - part) ** 2, 2 * part * (1 - part), part**2
    x = a * limb.start[0] + b * limb.bend[0] + c * limb.end[0]
    y = a * limb.start[1] + b * limb.bend[1] + c * limb.end[1]
    return x, y


def lean(limb: Limb, part: float) -> float:
    """The curve's direction there, in radians."""
    dx = 2 * (1 - part) * (limb.bend[0] - limb.start[0]) + 2 * part * (limb.end[0] - limb.bend[0])
    dy = 2 * (1 - part) * (limb.bend[1] - limb.start[1]) + 2 * part * (limb.end[1] - limb.bend[1])
    return math.atan2(dy, dx)


def limb_shapes(limb: Limb, side_branches: int, *, behind: bool, fine: bool) -> list[Shape]:
    """The branch with its side branches, one line each up to six, then a figure."""
    d = (
        f"M{num(limb.start[0])} {num(limb.start[1])}"
        f"Q{num(limb.bend[0])} {num(limb.bend[1])} {num(limb.end[0])} {num(limb.end[1])}"
    )
    shapes: list[Shape] = []
    twigs: list[tuple[Point, Point]] = []
    ticks: list[tuple[Point, Point]] = []
    shown = min(side_branches, MOST_SIDE)
    for place in range(shown):
        part = 0.38 + 0.6 * (place + 0.5) / shown
        up = -1 if place % 2 == 0 else 1
        twig = twig_at(limb, part, up)
        twigs.append(twig)
        ticks += tick_marks(twig)
    if twigs:
        shapes.append(Path(strokes(twigs), "twig"))
        if fine:
            shapes.append(Path(strokes(ticks), "tick"))
    shapes.append(Path(d, "limb behind" if behind else "limb", limb.thick))
    if side_branches > MOST_SIDE and fine:
        x, y = limb_at(limb, 0.68)
        shapes.append(text(x, y - 40, str(side_branches), size=16, css="halo", anchor="middle"))
    return shapes


def twig_at(limb: Limb, part: float, up: int) -> tuple[Point, Point]:
    """A side branch: a thin line that leaves the branch forward, above or below."""
    x, y = limb_at(limb, part)
    long = min(46.0, 0.15 * limb.length + 14) * (1.0 if up < 0 else 0.7)
    angle = 0.68
    return (x, y), (x + limb.side * long * math.cos(angle), y + up * long * math.sin(angle))


def tick_marks(twig: tuple[Point, Point]) -> list[tuple[Point, Point]]:
    """Fine branches as small ticks near the end of a side branch; they carry no count."""
    (x0, y0), (x1, y1) = twig
    dx, dy = x1 - x0, y1 - y0
    marks: list[tuple[Point, Point]] = []
    for part in (0.55, 0.72, 0.88, 1.0):
        x, y = x0 + part * dx, y0 + part * dy
        for turn in (0.75, -0.75):
            c, s = math.cos(turn) * 0.28, math.sin(turn) * 0.28
            marks.append(((x, y), (x + c * dx - s * dy, y + s * dx + c * dy)))
    return marks


def coil_shapes(limb: Limb) -> list[Shape]:
    """Slanted strokes across the branch with paper between, so that the coil shows in grey."""
    count = max(int(limb.length * 0.94 / COIL_STEP), 3)
    half = limb.thick / 2 + 2.5
    pairs: list[tuple[Point, Point]] = []
    for place in range(count):
        part = 0.03 + 0.94 * (place + 0.5) / count
        x, y = limb_at(limb, part)
        slant = lean(limb, part) + limb.side * math.radians(60)
        ux, uy = math.cos(slant) * half * 1.15, math.sin(slant) * half * 1.15
        pairs.append(((x - ux, y - uy), (x + ux, y + uy)))
    return [Path(strokes(pairs), "coil-gap"), Path(strokes(pairs), "coil")]
