"""A heavy bend in figures: strain, forces, the wood that stands for the tree; each opens to its sum."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from collection.craft.bend_methods import GUY
from collection.craft.bending import bend_figures
from collection.craft.bending_types import BendFigures, BendWish, Range95
from collection.craft.figures import OutOfRange, Step
from collection.craft.guy import staged
from collection.models import Bend
from collection.queries.bend_case import circumstances_of
from collection.queries.opened import Opened
from collection.queries.sentences import say
from collection.queries.sums import opened_steps

# What a band asks for, in words; where the bands lie is an assumption.
BAND_WORDS = {
    "easy": "within what wire alone does",
    "wire_and_wrap": "wants wire and a wrap",
    "lever_and_expert": "wants a lever and an expert who leads",
    "cut_or_stage": "wants a cut, or several stages",
}
IN_STAGES = "In stages"
# Lines that a figure is worked out from, in the order of the sum.
SHAPE = ("bend_load", "bend_load_radius")
STRAIN = (*SHAPE, "bend_radius", "bend_strain")
WOOD = ("bend_wood", "bend_by_density", "bend_shear_free", "bend_inertia")
FORCE = (*SHAPE, *WOOD, "bend_force")
HAND = (*FORCE, "bend_lever", "bend_shared")


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a bend: what it is, the number, and what to read beside it."""

    code: str
    label: str
    number: Opened
    beside: str = ""


@dataclass(frozen=True, slots=True)
class Stage:
    """One pull of a bend that is made in stages: how far down the branch is then, and its days."""

    number: int
    drop: Opened
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class InFigures:
    """What can be worked out for a bend, and in sentences what cannot and how far to trust it."""

    figures: tuple[Figure, ...]
    notes: tuple[str, ...]
    worked: BendFigures | None
    stages: tuple[Stage, ...] = ()


NO_FIGURES = InFigures((), (), None)


def in_figures(bend: Bend, start: date | None = None) -> InFigures:
    """The figures of a bend; a size outside a rule's range is named in the notes and nothing is shown.

    ``start`` is the day of a first pull; with it a bend by guy or in stages has its stages.
    """
    try:
        worked = bend_figures(wish_of(bend))
    except OutOfRange as refused:
        return InFigures((), (say(refused.reason),), None)
    notes = [say(reason) for reason in (*worked.heavy_for, *worked.reasons)]
    stages = _stages(worked, start) if start else ()
    return InFigures(tuple(_figures(worked)), tuple(dict.fromkeys(notes)), worked, stages)


def wish_of(bend: Bend) -> BendWish:
    """The bend as the arithmetic takes it.

    Raises:
        OutOfRange: For a size outside a rule's range.
    """
    said = bend.inputs
    return BendWish(
        diameter_mm=bend.diameter_mm,
        length_mm=bend.length_mm,
        drop_mm=bend.drop_mm,
        radius_mm=bend.radius_mm,
        group=bend.tree.group,
        method=bend.method,
        circumstances=circumstances_of(bend),
        load_arm_mm=said.get("load_arm_mm"),
        hand_arm_mm=said.get("hand_arm_mm"),
        people_on_lever=said.get("people_on_lever") or 1,
        guy_deg=said.get("guy_deg"),
    )


def _stages(worked: BendFigures, start: date) -> tuple[Stage, ...]:
    wish = worked.wish
    if wish.drop_mm is None or not (wish.guy_deg is not None or wish.method in (GUY, IN_STAGES)):
        return ()
    return tuple(
        Stage(one.stage, opened_steps(f"{one.drop_mm:.0f} mm", [one.line]), one.first, one.last)
        for one in staged(wish.drop_mm, start)
    )


def _figures(worked: BendFigures) -> list[Figure]:
    found = []
    if worked.strain is not None and worked.band:
        steps = _lines(worked, STRAIN)
        found.append(
            Figure("strain", "Strain in the outer skin", opened_steps(f"{100 * worked.strain:.1f} %", steps),
                   BAND_WORDS[worked.band])
        )  # fmt: skip
    if worked.radius_mm is not None and any(line.rule == "bend_radius" for line in worked.lines):
        number = opened_steps(f"{worked.radius_mm:.0f} mm", _lines(worked, (*SHAPE, "bend_radius")))
        found.append(Figure("radius", "Tightest radius", number, "of the centre line"))
    for code, label, force, rules in (
        ("force", "Force across the branch", worked.force_n, FORCE),
        ("hand", "Force at each hand", worked.hand_n, HAND),
        ("guy", "Pull in the guy wire", worked.guy_n, (*FORCE, "guy_tension")),
    ):
        if force is not None:
            number = opened_steps(_newtons(force.likely), _lines(worked, rules))
            found.append(Figure(code, label, number, _between(force)))
    return found


def _lines(worked: BendFigures, rules: Sequence[str]) -> list[Step]:
    return [line for line in worked.lines if line.rule in rules]


def _newtons(force_n: float) -> str:
    return f"{force_n:,.0f} N"


def _between(force: Range95) -> str:
    """Newtons mean little to hands: about 10 N are the weight of a kilogram."""
    return (
        f"{force.low:,.0f} to {force.high:,.0f} N for 95 of 100 trees, "
        f"the weight of {force.low / 9.81:,.0f} to {force.high / 9.81:,.0f} kg"
    )
