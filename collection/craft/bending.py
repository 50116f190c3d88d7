"""A heavy bend in figures: strain, force at the hand, guy, whether it is heavy, and how many people.

It ranks bends and says when to get help. It never promises that wood will hold: clear-wood figures put a
branch's breaking radius far above what growers bend every day, and no strain at which living branches
break was found in print.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from collection.craft.beam import (
    LINEAR_TO,
    Curve,
    curve_of_drop,
    curve_of_radius,
    inertia_mm4,
    outer_strain,
)
from collection.craft.bend_methods import CUTS, asks_for, crew_of
from collection.craft.bending_types import (
    EXPERT,
    BendFigures,
    BendWish,
    Range95,
    band_of,
)
from collection.craft.body_force import Pull, people_for
from collection.craft.figures import OutOfRange, Step, looked_up, step
from collection.craft.green_wood import Z_95, Wood, by_density, nearest, spread_95, woods
from collection.craft.guy import guy
from collection.craft.labour_crew import BRITTLE_LIMIT_MM, LIMIT_MM, CrewNeed, crew_for
from collection.craft.labour_types import EstimateRequest
from collection.craft.quantities import Amount
from collection.craft.reasons import Reason
from collection.craft.reference import groups

HEAVY_ANGLE_DEG, HEAVY_ANGLE_MM = 45.0, 12.0  # assumption
STUBBY = 5.0  # shorter than this many thicknesses a branch is no beam (assumption)
BY_HAND = frozenset({"", "Coil and hand", "Wrap, doubled wire, hand", "In stages"})


@dataclass(slots=True)
class _Sum:
    """Lines and remarks as they come up."""

    lines: list[Step] = field(default_factory=list)
    reasons: list[Reason] = field(default_factory=list)


def bend_figures(wish: BendWish) -> BendFigures:
    """Everything that can be said about a wanted bend.

    Args:
        wish: Sizes in mm; what is missing leaves figures out, and a reason says which.

    Raises:
        ValueError: If the species group is not known.

    Source: beam theory (textbooks; Bisshopp and Drucker 1945) on the Wood Handbook's green wood; bands,
        triggers and crew are assumptions and common practice, as each line and reason says.
    """
    total = _Sum()
    curve = _curve(wish, total)
    radius, strain = _strain(wish, curve, total)
    angle = _angle(wish, curve, total)
    wood = _wood(wish)
    force = _force(wish, curve, wood, total)
    hand = _at_hand(wish, force, total)
    pulled = _pulled(hand, total)
    guy_n = _guy(wish, force, total)
    heavy_for = _heavy_for(wish, angle, pulled)
    crew = _crew(wish, pulled, heavy=bool(heavy_for))
    band = None if strain is None else band_of(strain)
    skill = _skill(wish, band, heavy=bool(heavy_for), total=total)
    total.reasons.append(Reason.of("bend_ranks_only"))
    return BendFigures(
        wish, strain, band, radius, angle, wood, force, hand, guy_n, pulled,
        bool(heavy_for), heavy_for, crew, skill, tuple(total.lines), tuple(total.reasons),
    )  # fmt: skip


# --- shape ------------------------------------------------------------------------------------


def _curve(wish: BendWish, total: _Sum) -> Curve | None:
    """The more strongly bent of the curves that drop and radius ask for."""
    if wish.length_mm is None:
        total.reasons.append(Reason.of("bend_no_length"))
        return None
    if wish.length_mm < STUBBY * wish.diameter_mm:
        total.reasons.append(Reason.of("bend_stubby", times=STUBBY, least_mm=STUBBY * wish.diameter_mm))
        return None
    try:
        found = _asked(wish, wish.length_mm)
    except OutOfRange as refused:
        total.reasons.append(refused.reason)
        return None
    if not found:
        total.reasons.append(Reason.of("bend_no_shape"))
        return None
    curve, line = max(found, key=lambda pair: pair[0].load)
    total.lines.append(line)
    if wish.drop_mm is not None:
        linear = 3 * wish.drop_mm / wish.length_mm
        total.lines.append(step("bend_linear", linear, drop_mm=wish.drop_mm, length_mm=wish.length_mm))
    if curve.load > LINEAR_TO:
        total.reasons.append(Reason.of("bend_large", load=curve.load, linear_to=LINEAR_TO))
    return curve


def _asked(wish: BendWish, length_mm: float) -> list[tuple[Curve, Step]]:
    found = []
    if wish.drop_mm is not None:
        curve = curve_of_drop(wish.drop_mm / length_mm)
        found.append((curve, step("bend_load", curve.load, drop_mm=wish.drop_mm, length_mm=length_mm)))
    if wish.radius_mm is not None:
        curve = curve_of_radius(length_mm / wish.radius_mm)
        given = {"radius_mm": wish.radius_mm, "length_mm": length_mm}
        found.append((curve, step("bend_load_radius", curve.load, **given)))
    return found


def _strain(wish: BendWish, curve: Curve | None, total: _Sum) -> tuple[float | None, float | None]:
    radius = wish.radius_mm
    if curve is not None and wish.length_mm is not None:
        tightest = wish.length_mm / curve.root_bend
        if radius is None or tightest < radius - 1e-9:
            given = {"length_mm": wish.length_mm, "load_number": curve.load, "tip_rad": curve.tip_rad}
            total.lines.append(step("bend_radius", tightest, **given))
            radius = tightest
    if radius is None:
        return None, None
    strain = outer_strain(wish.diameter_mm, radius)
    total.lines.append(step("bend_strain", strain, diameter_mm=wish.diameter_mm, radius_mm=radius))
    return radius, strain


def _angle(wish: BendWish, curve: Curve | None, total: _Sum) -> float | None:
    if wish.angle_deg is not None or curve is None:
        return wish.angle_deg
    angle = math.degrees(curve.tip_rad)
    total.lines.append(step("bend_angle", angle, load_number=curve.load))
    return angle


# --- force ------------------------------------------------------------------------------------


def _wood(wish: BendWish) -> Wood | None:
    if wish.wood is not None:
        return woods()[wish.wood]
    found = nearest(wish.group) if wish.group else None
    return found.wood if found else None


def _force(wish: BendWish, curve: Curve | None, wood: Wood | None, total: _Sum) -> Range95 | None:
    if wood is None:
        total.reasons.append(Reason.of("bend_wood_not_listed"))
        return None
    if curve is None or wish.length_mm is None:
        return None
    total.reasons.append(Reason.of("bend_wood_named", wood=wood.name, label=wood.label))
    modulus = _modulus(wish, wood, total)
    inertia = inertia_mm4(wish.diameter_mm)
    total.lines.append(step("bend_inertia", inertia, diameter_mm=wish.diameter_mm))
    likely = curve.load * modulus * inertia / wish.length_mm**2
    given = {
        "load_number": curve.load,
        "modulus_mpa": modulus,
        "inertia_mm4": inertia,
        "length_mm": wish.length_mm,
    }
    total.lines.append(step("bend_force", likely, **given))
    total.lines.append(step("bend_spread", Z_95 * wood.moe_cov, cov=wood.moe_cov))
    return Range95(likely, *spread_95(likely, wood.moe_cov))


def _modulus(wish: BendWish, wood: Wood, total: _Sum) -> float:
    row: dict[str, float | str] = {"wood": wood.name, "specific_gravity": wood.specific_gravity}
    total.lines.append(looked_up("bend_wood", wood.moe_mpa, wood.label, wood.source, **row))
    modulus = wood.moe_mpa
    if wish.specific_gravity is not None:
        modulus = by_density(modulus, wood.specific_gravity, wish.specific_gravity)
        given = {"modulus_mpa": wood.moe_mpa, "specific_gravity": wish.specific_gravity}
        listed = {"listed_specific_gravity": wood.specific_gravity}
        total.lines.append(step("bend_by_density", modulus, **given, **listed))
    free = modulus * wood.shear_free_mpa / wood.moe_mpa
    total.lines.append(step("bend_shear_free", free, modulus_mpa=modulus))
    return free


def _at_hand(wish: BendWish, force: Range95 | None, total: _Sum) -> Range95 | None:
    """The force at each hand; None where a screw or a frame takes it."""
    if force is None:
        return None
    if wish.load_arm_mm is None and wish.method not in BY_HAND:
        total.reasons.append(Reason.of("bend_arms_missing"))
        return None
    hand = force
    if wish.load_arm_mm is not None and wish.hand_arm_mm is not None:
        hand = hand.times(wish.load_arm_mm / wish.hand_arm_mm)
        arms = {"load_arm_mm": wish.load_arm_mm, "hand_arm_mm": wish.hand_arm_mm}
        total.lines.append(step("bend_lever", hand.likely, force_n=force.likely, **arms))
    if wish.people_on_lever > 1:
        shared = hand.times(1 / wish.people_on_lever)
        given = {"force_n": hand.likely, "people": wish.people_on_lever}
        total.lines.append(step("bend_shared", shared.likely, **given))
        hand = shared
    return hand


def _pulled(hand: Range95 | None, total: _Sum) -> Pull | None:
    """The high end of the force against what people can give: where it can hurt, the strictest."""
    if hand is None:
        return None
    found = people_for(hand.high)
    total.lines.extend(found.lines)
    if found.band == "avoided":
        total.reasons.append(Reason.of("bend_beyond_hands", force_n=hand.high))
    return found


def _guy(wish: BendWish, force: Range95 | None, total: _Sum) -> Range95 | None:
    if force is None or wish.guy_deg is None:
        return None
    found = guy(force.likely, wish.guy_deg)
    total.lines.extend(found.lines)
    return force.times(found.tension_n / force.likely)


# --- heavy, crew, skill -----------------------------------------------------------------------


def _limit_mm(wish: BendWish) -> float:
    if wish.group is None:
        return BRITTLE_LIMIT_MM if wish.brittle else LIMIT_MM
    if wish.group not in groups():
        raise ValueError(f"there is no species group {wish.group!r}")
    limit = groups()[wish.group].bend_limit_mm
    return min(limit, BRITTLE_LIMIT_MM) if wish.brittle else limit


def _heavy_for(wish: BendWish, angle: float | None, pulled: Pull | None) -> tuple[Reason, ...]:
    found = []
    limit = _limit_mm(wish)
    if wish.diameter_mm >= limit:
        found.append(Reason.of("heavy_thick", diameter_mm=wish.diameter_mm, limit_mm=limit))
    if angle is not None and angle > HEAVY_ANGLE_DEG and wish.diameter_mm > HEAVY_ANGLE_MM:
        found.append(Reason.of("heavy_angle", angle_deg=angle, diameter_mm=wish.diameter_mm))
    if wish.method in CUTS:
        found.append(Reason.of("heavy_cut"))
    if "lever_under_load" in _said(wish):
        found.append(Reason.of("heavy_tool"))
    if pulled is not None and pulled.people > 1 and wish.method in BY_HAND:
        found.append(Reason.of("heavy_hands", force_n=pulled.force_n))
    return tuple(found)


def _said(wish: BendWish) -> frozenset[str]:
    lever = frozenset() if wish.load_arm_mm is None else frozenset({"lever_under_load"})
    return wish.circumstances | asks_for(wish.method) | lever


def _crew(wish: BendWish, pulled: Pull | None, *, heavy: bool) -> CrewNeed:
    """People at once: the most that any trigger asks for."""
    request = EstimateRequest(
        "HEAVY_BEND",
        group=wish.group,
        group_limit_mm=_limit_mm(wish),
        brittle=wish.brittle,
        circumstances=_said(wish),
        lifts=0,
    )
    row = crew_of(wish.method, wish.diameter_mm)
    base = crew_for(request, {"bend_mm": Amount(wish.diameter_mm)}, 1)
    found = [(base.people, reason) for reason in base.reasons]
    if row > 1:
        found.append((row, Reason.of("crew_method", people=row)))
    if pulled is not None and pulled.people > 1 and pulled.band != "avoided":
        found.append((pulled.people, Reason.of("crew_force", force_n=pulled.force_n, people=pulled.people)))
    if heavy:
        found.append((2, Reason.of("crew_heavy", people=2)))
    people = max((people for people, _ in found), default=1)
    return CrewNeed(people, tuple(reason for _, reason in found))


def _skill(wish: BendWish, band: str | None, *, heavy: bool, total: _Sum) -> str:
    if band in ("lever_and_expert", "cut_or_stage") or wish.method in CUTS:
        total.reasons.append(Reason.of("bend_expert_leads"))
        return EXPERT
    return "practised" if heavy else "learning"
