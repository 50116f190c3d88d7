"""Wire for a branch or a pair of branches, and what to buy for many.

The coil angle is always measured from the branch's own axis. Lengths and angles are geometry; anchor
turns, tails, offcut and the gauge rule are common practice or assumptions, and each line says which.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from collection.craft.figures import OutOfRange, Step, looked_up, positive, step, within
from collection.craft.reasons import Reason
from collection.craft.wire_metal import (
    THICKEST_MM,
    THINNEST_MM,
    Metal,
    grams_per_metre,
    metal,
    parallel_stiffness,
)

# Commonly stocked, mm: rolls in a trade price list (copper), 0.5 mm steps in another (aluminium).
STOCKED: dict[str, tuple[float, ...]] = {
    "copper": (0.8, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0),
    "aluminium": (1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0),
}
ANGLE_DEG, LEAST_ANGLE_DEG, MOST_ANGLE_DEG = 45.0, 15.0, 70.0  # range is an assumption
USUAL_ANGLES_DEG = (30.0, 60.0)  # what teachers name
ANCHOR_TURNS, TAIL_MM, OFFCUT = 1.5, 30.0, 0.10  # assumption
LEAST_TURNS, MOST_TURNS = 1.0, 3.0  # one at least, preferably two, between a pair
LIKE = 1.5  # "of like thickness"; where the line lies is an assumption
Branches = tuple[tuple[float, float], ...]
Lines = tuple[Step, ...]
LONGEST_MM, THICKEST_BRANCH_MM = 5000.0, 200.0  # above this somebody has mistyped


@dataclass(frozen=True, slots=True)
class Winding:
    """How the coil is laid.

    Attributes:
        angle_deg: From the branch's own axis.
        anchor_turns: Turns round the parent.
        tail_mm: Left over at each free end.
        offcut: Share lost in cutting.
    """

    angle_deg: float = ANGLE_DEG
    anchor_turns: float = ANCHOR_TURNS
    tail_mm: float = TAIL_MM
    offcut: float = OFFCUT

    def __post_init__(self) -> None:
        within("wire_angle", LEAST_ANGLE_DEG, MOST_ANGLE_DEG, angle_deg=self.angle_deg)
        within("wire_anchor", LEAST_TURNS, MOST_TURNS, anchor_turns=self.anchor_turns)
        within("wire_tail", 0, 500, tail_mm=self.tail_mm)
        within("wire_offcut", 0, 0.5, offcut=self.offcut)


@dataclass(frozen=True, slots=True)
class Coil:
    """One stretch of wire along a branch."""

    wire_mm: float
    turns: float
    pitch_mm: float
    lines: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class GaugeChoice:
    """The gauge for a branch.

    Attributes:
        wanted_mm: What the rule asks for.
        gauge_mm: What to take from the rack.
        wires: 1, or 2 laid side by side.
        reasons: Why it is not simply the next gauge.
    """

    metal: str
    wanted_mm: float
    gauge_mm: float
    wires: int
    lines: tuple[Step, ...]
    reasons: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class WireCut:
    """Wire to cut for one or two branches.

    Attributes:
        lengths_mm: The branches it runs along.
        cut_mm: All wires of it together.
        order_m, grams: With offcut, as it is bought or weighed out.
    """

    lengths_mm: tuple[float, ...]
    choice: GaugeChoice
    cut_mm: float
    order_m: float
    grams: float
    lines: tuple[Step, ...]
    reasons: tuple[Reason, ...]


def turn_length_mm(diameter_mm: float, pitch_mm: float) -> float:
    """Length of one turn of a helix, mm, from its centre-line diameter and its pitch.

    Raises:
        OutOfRange: ``size_above_zero``.

    Source: the unrolled turn is a right triangle; textbook geometry.
    """
    positive("size_above_zero", diameter_mm=diameter_mm, pitch_mm=pitch_mm)
    return math.hypot(math.pi * diameter_mm, pitch_mm)


def turn_curvature_per_mm(diameter_mm: float, pitch_mm: float) -> float:
    """Curvature of a helix, 1/mm, from its centre-line diameter and its pitch; textbook geometry."""
    positive("size_above_zero", diameter_mm=diameter_mm, pitch_mm=pitch_mm)
    radius = diameter_mm / 2
    return radius / (radius**2 + (pitch_mm / (2 * math.pi)) ** 2)


def wire_per_branch(angle_deg: float) -> float:
    """Wire per unit of branch at a coil angle from the branch's axis: 1 / cos.

    Raises:
        OutOfRange: ``wire_angle`` unless 0 <= angle < 90; at 90 degrees a coil gets nowhere.
    """
    if not 0 <= angle_deg < 90:
        raise OutOfRange("wire_angle", field="angle_deg", given=angle_deg, low=0, high=90)
    return 1 / math.cos(math.radians(angle_deg))


def coil(length_mm: float, diameter_mm: float, gauge_mm: float, angle_deg: float = ANGLE_DEG) -> Coil:
    """Wire along a stretch of branch.

    Args:
        length_mm: Stretch that is wired.
        diameter_mm: Branch thickness, at the middle of the stretch where it tapers.
        gauge_mm: Wire thickness.
        angle_deg: From the branch's axis.

    Raises:
        OutOfRange: ``wire_angle``, ``wire_gauge`` or ``wire_branch``.
    """
    within("wire_angle", LEAST_ANGLE_DEG, MOST_ANGLE_DEG, angle_deg=angle_deg)
    within("wire_gauge", THINNEST_MM, THICKEST_MM, gauge_mm=gauge_mm)
    within("wire_branch", 0.5, THICKEST_BRANCH_MM, diameter_mm=diameter_mm)
    within("wire_branch", 1, LONGEST_MM, length_mm=length_mm)
    tangent = math.tan(math.radians(angle_deg))
    around = math.pi * (diameter_mm + gauge_mm)
    shape = {"diameter_mm": diameter_mm, "gauge_mm": gauge_mm, "angle_deg": angle_deg}
    wire_mm = length_mm * wire_per_branch(angle_deg)
    turns, pitch_mm = length_mm * tangent / around, around / tangent
    lines = (
        step("wire_coil", wire_mm, length_mm=length_mm, angle_deg=angle_deg),
        step("wire_turns", turns, length_mm=length_mm, **shape),
        step("wire_pitch", pitch_mm, **shape),
    )
    return Coil(wire_mm, turns, pitch_mm, lines)


# --- gauge ------------------------------------------------------------------------------------


def gauge_for(
    diameter_mm: float,
    metal_name: str,
    *,
    stocked: Iterable[float] = (),
    ratio: float | None = None,
    light: bool = False,
) -> GaugeChoice:
    """The gauge for a branch, rounded up to what is on the rack.

    Args:
        diameter_mm: Branch thickness where the wire starts.
        metal_name: "aluminium" or "copper".
        stocked: Gauges on the rack; those commonly sold when empty.
        ratio: Wire to branch diameter; the metal's own when None.
        light: Brittle or thin-barked: one gauge lighter, laid twice.

    Raises:
        OutOfRange: ``wire_metal``, ``wire_branch``, ``wire_ratio``, or ``wire_none_holds`` when two of
            the thickest wire would be too weak; then the branch wants a guy or a heavy bend.
    """
    of = metal(metal_name)
    within("wire_branch", 0.5, THICKEST_BRANCH_MM, diameter_mm=diameter_mm)
    share = of.ratio if ratio is None else ratio
    within("wire_ratio", 0.2, 0.7, ratio=share)
    rack = sorted(set(stocked)) or list(STOCKED[metal_name])
    within("wire_gauge", THINNEST_MM, THICKEST_MM, thinnest_mm=rack[0], thickest_mm=rack[-1])
    wanted = diameter_mm * share
    asked = step("wire_wanted", wanted, diameter_mm=diameter_mm, ratio=share)
    enough = [gauge for gauge in rack if gauge >= wanted - 1e-9]
    if not enough:
        return _doubled(of, wanted, rack, asked)
    line = step("wire_gauge", enough[0], wanted_mm=wanted)
    if light:
        return _lighter(of, wanted, rack, (asked, line), enough[0])
    return GaugeChoice(metal_name, wanted, enough[0], 1, (asked, line))


def _doubled(of: Metal, wanted: float, rack: list[float], asked: Step) -> GaugeChoice:
    factor = parallel_stiffness(2)
    enough = [gauge for gauge in rack if gauge * factor >= wanted - 1e-9]
    if not enough:
        raise OutOfRange("wire_none_holds", wanted_mm=wanted, thickest_mm=rack[-1], metal=of.metal)
    gauge = enough[0]
    why = Reason.of("wire_two_parallel", wanted_mm=wanted, gauge_mm=gauge, as_stiff_as_mm=gauge * factor)
    return GaugeChoice(of.metal, wanted, gauge, 2, (asked, step("wire_two", gauge, wanted_mm=wanted)), (why,))


def _lighter(
    of: Metal, wanted: float, rack: list[float], lines: tuple[Step, ...], full: float
) -> GaugeChoice:
    below = [gauge for gauge in rack if gauge < full]
    if not below:
        return GaugeChoice(of.metal, wanted, full, 1, lines, (Reason.of("wire_no_lighter", gauge_mm=full),))
    line = step("wire_light", below[-1], gauge_mm=full)
    why = Reason.of("wire_light_twice", gauge_mm=below[-1], full_mm=full)
    return GaugeChoice(of.metal, wanted, below[-1], 2, (*lines, line), (why,))


# --- cutting ----------------------------------------------------------------------------------


def cut_for(
    branches: Branches,
    parent_mm: float,
    choice: GaugeChoice,
    winding: Winding | None = None,
) -> WireCut:
    """Wire to cut for a branch alone or for a pair on one wire.

    Args:
        branches: One or two of (length_mm, diameter_mm).
        parent_mm: Thickness of the trunk or branch they grow from.
        choice: The gauge, as ``gauge_for`` gives it for the thicker of the two.
        winding: How the coil is laid; the usual way when None.

    Raises:
        OutOfRange: ``wire_pair`` unless there are one or two branches; sizes as in ``coil``.
    """
    if len(branches) not in (1, 2):
        raise OutOfRange("wire_pair", given=len(branches))
    way = winding or Winding()
    within("wire_branch", 0.5, 1000, parent_mm=parent_mm)
    coils = [coil(length, thick, choice.gauge_mm, way.angle_deg) for length, thick in branches]
    coil_mm = sum(one.wire_mm for one in coils)
    anchor_mm = way.anchor_turns * math.pi * (parent_mm + choice.gauge_mm)
    tails_mm = way.tail_mm * len(branches)
    cut_mm = (coil_mm + anchor_mm + tails_mm) * choice.wires
    order_m = cut_mm * (1 + way.offcut) / 1000
    of = metal(choice.metal)
    grams = order_m * grams_per_metre(choice.gauge_mm, of)
    around = {"anchor_turns": way.anchor_turns, "parent_mm": parent_mm, "gauge_mm": choice.gauge_mm}
    parts = {"coil_mm": coil_mm, "anchor_mm": anchor_mm, "tails_mm": tails_mm, "wires": choice.wires}
    lines = (
        *choice.lines,
        step("wire_angle", way.angle_deg, angle_deg=way.angle_deg),
        *(line for one in coils for line in one.lines),
        step("wire_anchor", anchor_mm, **around),
        step("wire_tails", tails_mm, tail_mm=way.tail_mm, ends=len(branches)),
        step("wire_cut", cut_mm, **parts),
        step("wire_order", order_m, cut_mm=cut_mm, offcut=way.offcut),
        _mass_line(grams, order_m, choice.gauge_mm, of),
    )
    lengths = tuple(length for length, _ in branches)
    return WireCut(lengths, choice, cut_mm, order_m, grams, lines, _notes(branches, choice, way))


def _mass_line(grams: float, metres: float, gauge_mm: float, of: Metal) -> Step:
    given = {"metres": metres, "gauge_mm": gauge_mm, "density_kg_m3": of.density_kg_m3}
    return looked_up("wire_mass", grams, of.label, of.source, **given)


def _notes(
    branches: tuple[tuple[float, float], ...], choice: GaugeChoice, way: Winding
) -> tuple[Reason, ...]:
    notes = list(choice.reasons)
    low, high = USUAL_ANGLES_DEG
    if not low <= way.angle_deg <= high:
        notes.append(Reason.of("wire_angle_unusual", angle_deg=way.angle_deg, low=low, high=high))
    thick = [diameter for _, diameter in branches]
    if max(thick) > LIKE * min(thick):
        notes.append(Reason.of("wire_pair_unlike", thick_mm=max(thick), thin_mm=min(thick)))
    return tuple(notes)


# --- shopping ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class ShoppingLine:
    """One metal and gauge: what jobs ask for, what the rack holds, what is short; never below zero."""

    metal: str
    gauge_mm: float
    needed_m: float
    needed_g: float
    stock_g: float
    short_m: float
    short_g: float
    lines: tuple[Step, ...]


def shopping(cuts: Iterable[WireCut], stock_g: Mapping[tuple[str, float], float]) -> tuple[ShoppingLine, ...]:
    """What many pieces need against the rack, by metal and gauge, thin before thick.

    Args:
        cuts: All pieces of all jobs.
        stock_g: Grams on the rack by (metal, gauge in mm).

    Raises:
        OutOfRange: ``wire_stock`` if the rack holds less than nothing.
    """
    needed: dict[tuple[str, float], float] = {}
    for one in cuts:
        key = (one.choice.metal, one.choice.gauge_mm)
        needed[key] = needed.get(key, 0.0) + one.order_m
    return tuple(_line(key, metres, stock_g.get(key, 0.0)) for key, metres in sorted(needed.items()))


def _line(key: tuple[str, float], metres: float, stock_g: float) -> ShoppingLine:
    within("wire_stock", 0, math.inf, stock_g=stock_g)
    of, gauge_mm = metal(key[0]), key[1]
    per_metre = grams_per_metre(gauge_mm, of)
    grams = metres * per_metre
    short = max(grams - stock_g, 0.0)
    lines = (
        _mass_line(grams, metres, gauge_mm, of),
        step("wire_short", short, needed_g=grams, stock_g=stock_g),
    )
    return ShoppingLine(of.metal, gauge_mm, metres, grams, stock_g, short / per_metre, short, lines)
