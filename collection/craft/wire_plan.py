"""Wire for a wiring job: which branches share a wire, what each takes, and which have to be left out.

Neighbours on one parent and of like thickness go on one wire (a handbook of basics); that the neighbours in
height are the ones to pair is an assumption, and a club's hands may pair others.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from collection.craft.figures import OutOfRange, within
from collection.craft.quantities import ORDERS
from collection.craft.reasons import Reason
from collection.craft.reference import table
from collection.craft.wire import LIKE, Winding, WireCut, cut_for, gauge_for

# A height nobody measured, as in ``growth`` (assumption).
USUAL_HEIGHT_MM = 600.0


@dataclass(frozen=True, slots=True)
class ToWire:
    """A branch to be wired, as the register knows it.

    Attributes:
        label: Its name on the tree, such as "B2".
        parent: What it grows from; branches with equal text grow from the same.
        parent_mm: How thick that is; the branch's own thickness twice when None (assumption).
        height_mm: How high it starts, to tell neighbours.
        light: Thin bark or brittle.
    """

    label: str
    length_mm: float | None
    diameter_mm: float | None
    parent: str = ""
    parent_mm: float | None = None
    height_mm: float | None = None
    light: bool = False


@dataclass(frozen=True, slots=True)
class Wired:
    """One wire and the labels of the one or two branches on it, so many ``times``."""

    labels: tuple[str, ...]
    cut: WireCut
    times: int = 1


@dataclass(frozen=True, slots=True)
class WirePlan:
    """Wire for a tree; ``left_out`` holds the branches that get none, and why."""

    wired: tuple[Wired, ...]
    left_out: tuple[tuple[str, Reason], ...]

    @property
    def order_m(self) -> float:
        """Metres, with offcuts."""
        return math.fsum(one.cut.order_m * one.times for one in self.wired)

    @property
    def grams(self) -> float:
        """Mass of all wires."""
        return math.fsum(one.cut.grams * one.times for one in self.wired)

    @property
    def cuts(self) -> tuple[WireCut, ...]:
        """Every piece to cut."""
        return tuple(one.cut for one in self.wired for _ in range(one.times))


def wire_plan(
    branches: Iterable[ToWire],
    metal_name: str,
    *,
    stocked: Sequence[float] = (),
    ratio: float | None = None,
    winding: Winding | None = None,
) -> WirePlan:
    """Wire for the branches of a tree, thick before thin.

    Args:
        metal_name: "aluminium" or "copper".
        stocked, ratio: As in ``wire.gauge_for``.
        winding: How the coil is laid; the usual way when None.

    Raises:
        OutOfRange: ``wire_metal``, ``wire_ratio`` or ``wire_gauge``. Single branches are
            left out instead.
    """
    gauge_for(0.5, metal_name, stocked=stocked, ratio=ratio)  # refuses what holds for all of them
    wired: list[Wired] = []
    left: list[tuple[str, Reason]] = []
    for group in _pairs(branches):
        if any(branch.length_mm is None or branch.diameter_mm is None for branch in group):
            left += [(branch.label, Reason.of("wire_no_size", label=branch.label)) for branch in group]
            continue
        try:
            wired.append(_wired(group, metal_name, stocked, ratio, winding))
        except OutOfRange as refused:
            left += [(branch.label, refused.reason) for branch in group]
    return WirePlan(tuple(sorted(wired, key=_thick_first)), tuple(left))


@dataclass(frozen=True, slots=True)
class UsualBranch:
    """What a branch of an order is taken to be where nobody drew it; ``share`` is of the tree's height."""

    order: str
    diameter_mm: float
    parent_mm: float
    share: float
    label: str
    source: str


def usual_branch(order: str) -> UsualBranch:
    """The usual branch of an order.

    Raises:
        ValueError: If there is no such order.

    Source: assumption (``fixtures/reference/branch_sizes.csv``).
    """
    for row in table("branch_sizes"):
        if row["order"] == order:
            sizes = {name: float(row[name]) for name in ("diameter_mm", "parent_mm")}
            share = float(row["share_of_height"])
            return UsualBranch(order, **sizes, share=share, label=row["label"], source=row["source"])
    raise ValueError(f"no order of branches called {order!r}")


def counted_plan(
    counts: Mapping[str, int],
    metal_name: str,
    *,
    height_mm: float | None,
    thick_mm: Mapping[str, float] | None = None,
    stocked: Sequence[float] = (),
    light: bool = False,
) -> WirePlan:
    """Wire for branches that were counted and not drawn, by twos on one wire, the odd one alone.

    Args:
        counts: Branches by order: "primary", "secondary", "fine".
        height_mm: Of the tree above its pot; one nobody measured is read as 600 mm.
        thick_mm: Typical thickness by order, where somebody measured it.

    Raises:
        OutOfRange: ``wire_metal``, ``wire_gauge`` or ``wire_height``. An order that no wire holds is
            left out instead.
    """
    height = USUAL_HEIGHT_MM if height_mm is None else height_mm
    within("wire_height", 20, 5000, height_mm=height)
    gauge_for(0.5, metal_name, stocked=stocked)
    wired: list[Wired] = []
    left: list[tuple[str, Reason]] = []
    for order in (order for order in ORDERS if counts.get(order)):
        usual = usual_branch(order)
        thick = (thick_mm or {}).get(order, usual.diameter_mm)
        size = (usual.share * height, thick)
        try:
            choice = gauge_for(thick, metal_name, stocked=stocked, light=light)
            for branches, times in (((size, size), counts[order] // 2), ((size,), counts[order] % 2)):
                if times:
                    wired.append(Wired((order,), cut_for(branches, usual.parent_mm, choice), times))
        except OutOfRange as refused:
            left.append((order, refused.reason))
    return WirePlan(tuple(wired), tuple(left))


def _thick_first(one: Wired) -> tuple[float, tuple[str, ...]]:
    return -one.cut.choice.gauge_mm, one.labels


def _wired(
    group: tuple[ToWire, ...],
    metal_name: str,
    stocked: Sequence[float],
    ratio: float | None,
    winding: Winding | None,
) -> Wired:
    sizes = tuple((branch.length_mm or 0, branch.diameter_mm or 0) for branch in group)
    thickest = max(thick for _, thick in sizes)
    light = any(branch.light for branch in group)
    choice = gauge_for(thickest, metal_name, stocked=stocked, ratio=ratio, light=light)
    parents = [branch.parent_mm for branch in group if branch.parent_mm is not None]
    parent_mm = max(parents) if parents else 2 * thickest
    return Wired(tuple(branch.label for branch in group), cut_for(sizes, parent_mm, choice, winding))


def _pairs(branches: Iterable[ToWire]) -> list[tuple[ToWire, ...]]:
    """Neighbours of like thickness on one parent by twos, the rest alone; unmeasured ones alone."""
    order = sorted(branches, key=lambda b: (b.parent, b.height_mm is None, b.height_mm or 0, b.label))
    found: list[tuple[ToWire, ...]] = []
    for branch in order:
        last = found[-1] if found else ()
        if len(last) == 1 and _go_together(last[0], branch):
            found[-1] = (last[0], branch)
        else:
            found.append((branch,))
    return found


def _go_together(one: ToWire, other: ToWire) -> bool:
    if one.parent != other.parent or one.light != other.light:
        return False
    sizes = (one.diameter_mm, other.diameter_mm, one.length_mm, other.length_mm)
    if one.diameter_mm is None or other.diameter_mm is None or None in sizes:
        return False
    thin, thick = sorted((one.diameter_mm, other.diameter_mm))
    return thick <= LIKE * thin
