"""A tree's front view: a diagram by branch order, never a portrait."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from collection.web.drawings.shapes import Path, Picture, Point, Shape, line, num, text
from collection.web.drawings.tree_labels import Label, label_shapes, settled
from collection.web.drawings.tree_limbs import Limb, coil_shapes, limb_at, limb_shapes

__all__ = ["BranchMark", "GuyMark", "TreeView", "draw_tree"]

MOST_BRANCHES = 24
SHORTEST = 0.3


@dataclass(frozen=True, slots=True)
class BranchMark:
    """A branch from the trunk.

    Attributes:
        place: Where it is, in words: "Lower left".
        clock: Place round the trunk seen from above, 1 to 12: 6 is the front, 3 right, 9 left, 12
            behind; None where nobody noted it.
        height: Part of the tree's height at which it leaves the trunk, 0 to 1; None if not measured.
        length_mm: None where nobody measured it.
        wire: The wire in words, "" for none: "3 mm aluminium, 1.1 m".
        look: The look date in words, "" for none.
    """

    label: str
    place: str
    clock: int | None
    height: float | None
    diameter_mm: float | None
    length_mm: float | None = None
    side_branches: int = 0
    wire: str = ""
    look: str = ""

    def __post_init__(self) -> None:
        if self.clock is not None and not 1 <= self.clock <= 12:
            raise ValueError(f"branch {self.label}: the clock goes from 1 to 12, not {self.clock}")
        if self.height is not None and not 0 <= self.height <= 1:
            raise ValueError(f"branch {self.label}: a height is a part of the tree, from 0 to 1")
        if self.diameter_mm is not None and not 0 < self.diameter_mm < 1000:
            raise ValueError(f"branch {self.label}: {self.diameter_mm} mm is not a thickness")
        if self.side_branches < 0:
            raise ValueError(f"branch {self.label}: side branches cannot be fewer than none")

    @property
    def behind(self) -> bool:
        """It leaves the trunk at the back."""
        return self.clock in (11, 12, 1)


@dataclass(frozen=True, slots=True)
class GuyMark:
    """A guy wire: from a branch, by its label, to the pot rim."""

    branch: str
    words: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class TreeView:
    """The drawing in both layouts, with its words for those who cannot see it."""

    title: str
    description: str
    wide: Picture
    narrow: Picture
    left_out: int


@dataclass(frozen=True, slots=True)
class Frame:
    """Where the tree stands on its sheet."""

    width: float
    middle: float
    top: float
    foot: float
    reach: float
    thick: float
    roomy: bool

    def trunk(self, height: float) -> Point:
        """The trunk's middle at a part of its height: a soft double curve."""
        sway = 0.055 * (self.foot - self.top)
        x = self.middle + sway * (1.2 * math.sin(2.6 * height) - 1.1 * height**3 - 0.35)
        return x, self.foot - (self.foot - self.top) * height

    def half(self, height: float) -> float:
        """Half the trunk's width there, wider at the roots."""
        taper = 0.13 + 0.87 * math.pow(1 - height, 1.15)
        return self.thick * (taper + 0.55 * math.exp(-9 * height))


def draw_tree(name: str, branches: Sequence[BranchMark], guys: Sequence[GuyMark] = ()) -> TreeView | None:
    """The front view on a wide sheet and on a narrow one; None when nobody has drawn the tree yet.

    Args:
        name: The tree's tag or name, for the drawing's title.
        branches: Branches from the trunk, in any order.
        guys: Guy wires; one whose branch is not drawn is left out.
    """
    if not branches:
        return None
    kept = sorted(branches, key=lambda b: -(b.diameter_mm or 0))[:MOST_BRANCHES]
    drawn = [b for b in branches if b in kept][:MOST_BRANCHES]
    limbs = placed(drawn)
    wired = sum(bool(b.wire) for b in branches)
    return TreeView(
        title=f"Front view of {name}",
        description=f"{len(branches)} branches from the trunk, {wired} of them wired. The table has each.",
        wide=sheet("tree-wide", limbs, guys, roomy=True),
        narrow=sheet("tree-narrow", limbs, guys, roomy=False),
        left_out=len(branches) - len(drawn),
    )


def placed(branches: Sequence[BranchMark]) -> list[tuple[BranchMark, float, int, float]]:
    """Each branch with its height, its side (-1 left, 1 right) and its length as a part of the longest.

    Where nobody noted height or side, branches are spread evenly up the trunk and from side to side.
    """
    longest = max((b.length_mm or 0 for b in branches), default=0)
    found: list[tuple[BranchMark, float, int, float]] = []
    for place, branch in enumerate(branches):
        even = 0.2 + 0.76 * (place + 0.5) / len(branches)
        height = even if branch.height is None else branch.height
        across = math.sin(math.radians(30 * branch.clock)) if branch.clock else 0.0
        side = (1 if across > 0 else -1) if abs(across) > 0.01 else (1 if place % 2 else -1)
        share = branch.length_mm / longest if branch.length_mm and longest else 1.0 - 0.75 * height
        if branch.clock:
            share *= 0.55 + 0.45 * abs(across)
        found.append((branch, height, side, max(share, SHORTEST)))
    return sorted(found, key=lambda row: row[1])


def sheet(
    name: str,
    rows: Sequence[tuple[BranchMark, float, int, float]],
    guys: Sequence[GuyMark],
    *,
    roomy: bool,
) -> Picture:
    """One layout; it grows upward when the labels need more room."""
    room = 0.0
    for _ in range(2):
        f = framed(room, roomy=roomy)
        limbs = [limb_of(f, *row) for row in rows]
        labels = settled([label_of(f, row[0], limb) for row, limb in zip(rows, limbs, strict=True)])
        over = 8 - min((label.top for label in labels), default=8)
        if over <= 0:
            break
        room += over
    shapes: list[Shape] = [*pot_shapes(f), *trunk_shapes(f)]
    for (branch, *_), limb in zip(rows, limbs, strict=True):
        shapes += limb_shapes(limb, branch.side_branches, behind=branch.behind, fine=roomy)
        if branch.wire:
            shapes += coil_shapes(limb)
    by_label = {branch.label: limb for (branch, *_), limb in zip(rows, limbs, strict=True)}
    drawn = [guy for guy in guys if guy.branch in by_label]
    for guy in drawn:
        shapes += guy_shapes(f, by_label[guy.branch])
    for label in labels:
        shapes += label_shapes(label, leader=roomy)
    foot = f.foot + (60 if roomy else 44)
    if roomy:
        for place, guy in enumerate(drawn):
            y = f.foot + 28 + 46 * place
            shapes.append(text(f.middle - 118, y, guy.words, css="b", anchor="end"))
            shapes.append(text(f.middle - 118, y + 21, guy.detail, css="t2", anchor="end"))
            foot = max(foot, y + 32)
    return Picture(name, f.width, foot, tuple(shapes))


def framed(room: float, *, roomy: bool) -> Frame:
    """The sheet, with some more room above the tree where the labels need it."""
    if roomy:
        return Frame(1120.0, 560.0, 44.0 + room, 524.0 + room, 250.0, 35.0, True)
    return Frame(354.0, 177.0, 30.0 + room, 330.0 + room, 128.0, 20.0, False)


def limb_of(f: Frame, branch: BranchMark, height: float, side: int, share: float) -> Limb:
    """The branch's curve: up from the trunk, then level, lower ones drooping a little."""
    up = min(height, 0.98)
    x, y = f.trunk(up)
    length = f.reach * share
    droop = (0.16 - 0.3 * up) * length * 0.55
    thick = 0.42 * (branch.diameter_mm or 6) + 1
    start = (x + side * f.half(up) * 0.2, y)
    bend = (x + side * length * 0.5, y - 0.13 * length)
    return Limb(start, bend, (x + side * length, y + droop), thick if f.roomy else thick * 0.75, side)


def label_of(f: Frame, branch: BranchMark, limb: Limb) -> Label:
    """What is written at the branch's side; on a phone its label only."""
    tip = limb.end
    if not f.roomy:
        x = min(max(tip[0] + limb.side * 8, 30.0), f.width - 30.0)
        return Label((branch.label,), "", "", x, tip[1], limb.side, tip, 16)
    thick = f", {num(branch.diameter_mm)} mm" if branch.diameter_mm else ""
    back = ", behind" if branch.behind else ""
    first = f"{branch.place}{thick}{back}".removeprefix(", ")
    if branch.wire:
        second, third, css = branch.wire, branch.look, "b t-copper"
    else:
        n = branch.side_branches
        second = f"{n} side branch{'' if n == 1 else 'es'}" if n else ""
        third, css = "not wired yet", "i"
    x = 862.0 if limb.side > 0 else 258.0
    rest = tuple(words for words in (second, third) if words)
    return Label((branch.label, first, *rest), css if third else "", third, x, tip[1], limb.side, tip, 17)


def trunk_shapes(f: Frame) -> list[Shape]:
    """The trunk, tapered."""
    heights = [i / 24 for i in range(25)]
    left = [(f.trunk(h)[0] - f.half(h), f.trunk(h)[1]) for h in heights]
    right = [(f.trunk(h)[0] + f.half(h), f.trunk(h)[1]) for h in reversed(heights)]
    return [Path(line([*left, *right], closed=True), "trunk")]


def pot_shapes(f: Frame) -> list[Shape]:
    """A plain tray with two feet."""
    half, deep = (105.0, 46.0) if f.roomy else (62.0, 28.0)
    m, y = f.trunk(0)[0], f.foot
    body = [(m - half, y), (m + half, y), (m + half - 14, y + deep), (m - half + 14, y + deep)]
    feet = [((m - s * half * 0.75, y + deep + 5), (m - s * half * 0.5, y + deep + 5)) for s in (-1, 1)]
    marks = [Path(line(pair), "limb foot", 5.0) for pair in feet]
    return [Path(line(body, closed=True), "pot"), *marks]


def guy_shapes(f: Frame, limb: Limb) -> list[Shape]:
    """A straight line from the branch to the pot rim with a small box on it."""
    x0, y0 = limb_at(limb, 0.55)
    half = 98.0 if f.roomy else 56.0
    x1, y1 = f.trunk(0)[0] + limb.side * half, f.foot
    span = math.hypot(x1 - x0, y1 - y0)
    ux, uy = (x1 - x0) / span, (y1 - y0) / span
    mx, my = (x0 + x1) / 2, (y0 + y1) / 2
    long, wide = (11.0, 4.5) if f.roomy else (8.0, 3.5)
    corners = [
        (mx + s * long * ux - t * wide * uy, my + s * long * uy + t * wide * ux)
        for s, t in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    return [Path(line([(x0, y0), (x1, y1)]), "guy"), Path(line(corners, closed=True), "guy-box")]
