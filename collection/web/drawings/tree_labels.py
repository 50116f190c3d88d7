"""Labels of the front view, moved apart so that no two touch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from collection.web.drawings.shapes import Anchor, Path, Point, Run, Shape, Text, line, text

LINE = 22.0
GAP = 8.0


@dataclass(frozen=True, slots=True)
class Label:
    """Words at a branch: its label and place on the first line, up to two lines below.

    Attributes:
        lines: The label in bold, what stands beside it, and the lines below.
        last_css: How the last line looks.
        last: The last line, "" where it is like the others.
        y: The first line's middle.
        side: -1 left, 1 right.
        tip: Where the leader ends.
    """

    lines: tuple[str, ...]
    last_css: str
    last: str
    x: float
    y: float
    side: int
    tip: Point
    size: int

    @property
    def top(self) -> float:
        """Its upper edge."""
        return self.y - LINE / 2

    @property
    def height(self) -> float:
        """From its upper edge to its lower one."""
        return LINE * max(len(self.lines) - 1, 1)


def settled(labels: Sequence[Label]) -> list[Label]:
    """The labels with the upper one of two that touch moved up; the order is kept."""
    moved = list(labels)
    for side in (-1, 1):
        places = sorted(
            (i for i, label in enumerate(moved) if label.side == side), key=lambda i: -moved[i].tip[1]
        )
        limit: float | None = None
        for i in places:
            label = moved[i]
            if limit is not None and label.top + label.height + GAP > limit:
                label = replace(label, y=limit - GAP - label.height + LINE / 2)
            moved[i] = label
            limit = label.top
    return moved


def label_shapes(label: Label, *, leader: bool) -> list[Shape]:
    """The words and, on a wide sheet, the line from them to the branch."""
    anchor: Anchor = "start" if label.side > 0 else "end"
    beside = (Run(label.lines[1]),) if len(label.lines) > 1 else ()
    shapes: list[Shape] = []
    if leader:
        near = label.x - label.side * 8
        tip = (label.tip[0] + label.side * 14, label.tip[1])
        elbow = (tip[0] + label.side * max((near - tip[0]) * label.side - 40, 0) * 0.5, tip[1])
        straight = abs(label.y - tip[1]) < 1
        points = (
            [(near, label.y), tip]
            if straight
            else [(near, label.y), (near - label.side * 14, label.y), elbow, tip]
        )
        shapes.append(Path(line(points), "leader"))
    elif abs(label.y - label.tip[1]) > 6:
        shapes.append(Path(line([(label.x - label.side * 3, label.y), label.tip]), "leader"))
    first = Text(label.x, label.y + 6, label.size, (Run(label.lines[0], "b"), *beside), "halo", anchor)
    shapes.append(first)
    for place, words in enumerate(label.lines[2:], start=1):
        css = label.last_css if words == label.last else "t2"
        shapes.append(
            text(label.x, label.y + 6 + LINE * place, words, size=label.size, css=css, anchor=anchor)
        )
    return shapes
