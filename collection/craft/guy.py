"""Guy wires: the pull in the wire, pulling in stages, and when to look at the loop."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from collection.craft.bite import LONGEST_DAYS, MONTH_WEIGHT, look_date
from collection.craft.figures import OutOfRange, Step, looked_up, positive, step, within
from collection.craft.reasons import Reason
from collection.craft.wire_metal import THICKEST_MM, THINNEST_MM, metal

FLATTEST_DEG = 10.0  # below this the pull grows without end (assumption on where to stop)
STAGES = 3  # one third of the way at a time: one teacher's page (published)
WAIT_FROM_DAYS, WAIT_TO_DAYS = 60, 90  # "two to three months", the same page
LOOK_DAYS = 14  # in growth (assumption)


@dataclass(frozen=True, slots=True)
class Guy:
    """A guy wire under load.

    Attributes:
        tension_n: Along the wire.
        push_n: Along the branch, towards its base or its tip.
        stretches_from_n: Pull at which annealed wire of this gauge begins to stretch; ranking only.
    """

    tension_n: float
    push_n: float
    stretches_from_n: float | None
    lines: tuple[Step, ...]
    reasons: tuple[Reason, ...]


def guy(force_n: float, angle_deg: float, metal_name: str = "", gauge_mm: float = 0) -> Guy:
    """The pull in a guy wire that gives a force across the branch.

    Args:
        force_n: Across the branch.
        angle_deg: Between wire and branch, 10 to 90.
        metal_name, gauge_mm: The wire, when it is to be looked at too.

    Raises:
        OutOfRange: ``guy_angle``, ``wire_metal``, ``wire_gauge`` or ``size_above_zero``.

    Source: balance of forces; turns of a tourniquet or turnbuckle are not worked out.
    """
    positive("size_above_zero", force_n=force_n)
    within("guy_angle", FLATTEST_DEG, 90, angle_deg=angle_deg)
    angle = math.radians(angle_deg)
    tension, push = force_n / math.sin(angle), force_n * math.cos(angle) / math.sin(angle)
    given = {"force_n": force_n, "angle_deg": angle_deg}
    lines = [step("guy_tension", tension, **given), step("guy_push", push, **given)]
    if not metal_name:
        return Guy(tension, push, None, tuple(lines), ())
    of = metal(metal_name)
    within("wire_gauge", THINNEST_MM, THICKEST_MM, gauge_mm=gauge_mm)
    stretches = of.yield_low_mpa * math.pi / 4 * gauge_mm**2
    sizes = {"yield_mpa": of.yield_low_mpa, "gauge_mm": gauge_mm}
    lines.append(looked_up("guy_yield", stretches, of.label, of.source, **sizes))
    over = tension > stretches
    why = (Reason.of("guy_stretches", tension_n=tension, stretches_n=stretches, gauge_mm=gauge_mm),)
    return Guy(tension, push, stretches, tuple(lines), why if over else ())


def sling_leg(weight_n: float, angle_deg: float) -> Step:
    """The pull in each leg of a two-leg sling, N, by the legs' angle from the level.

    Raises:
        OutOfRange: ``guy_angle`` or ``size_above_zero``.

    Source: balance of forces; rigging tables print the same (from memory).
    """
    positive("size_above_zero", weight_n=weight_n)
    within("guy_angle", FLATTEST_DEG, 90, angle_deg=angle_deg)
    leg = weight_n / (2 * math.sin(math.radians(angle_deg)))
    return step("guy_leg", leg, weight_n=weight_n, angle_deg=angle_deg)


# --- in stages --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Pulled:
    """One stage: how far the branch is then, and the first and last day of the pull."""

    stage: int
    drop_mm: float
    first: date
    last: date
    line: Step


def staged(drop_mm: float, start: date, stages: int = STAGES) -> tuple[Pulled, ...]:
    """A pull in equal stages, two to three months apart.

    Args:
        drop_mm: The whole way.
        start: Day of the first pull.

    Raises:
        OutOfRange: ``guy_stages`` unless there are 2 to 6; ``size_above_zero``.
    """
    positive("size_above_zero", drop_mm=drop_mm)
    within("guy_stages", 2, 6, stages=stages)
    return tuple(
        Pulled(
            n,
            drop_mm * n / stages,
            start + timedelta(days=WAIT_FROM_DAYS * (n - 1)),
            start + timedelta(days=WAIT_TO_DAYS * (n - 1)),
            step("guy_stage", drop_mm * n / stages, drop_mm=drop_mm, stage=n, stages=stages),
        )
        for n in range(1, stages + 1)
    )


# --- looks ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class LookDay:
    """A day to look at the loop, and why then."""

    on: date
    reason: Reason


def in_growth(day: date, *, southern: bool) -> bool:
    """Whether branches thicken in this month (northern April to October; flipped in the south)."""
    return ((day.month + 5) % 12 + 1 if southern else day.month) in MONTH_WEIGHT


def guy_looks(
    group: str, on: date, until: date, *, southern: bool, gales: Iterable[date] = ()
) -> tuple[LookDay, ...]:
    """Days to look at a guy's loop: every two weeks in growth, when a coil would bite, after each gale.

    Args:
        on: Day the guy went on.
        until: Last day asked for, at most a year on.
        gales: Days on which it blew hard.

    Raises:
        OutOfRange: ``guy_days`` if ``until`` comes before ``on`` or more than a year after.
        ValueError: If the group is not known.
    """
    if not on <= until <= on + timedelta(days=LONGEST_DAYS):
        raise OutOfRange("guy_days", days=(until - on).days, high=LONGEST_DAYS)
    found: dict[date, Reason] = {}
    day = on + timedelta(days=LOOK_DAYS)
    while day <= until:
        if in_growth(day, southern=southern):
            found[day] = Reason.of("guy_look_growth", days=LOOK_DAYS)
        day += timedelta(days=LOOK_DAYS)
    bites = look_date(group, on, southern=southern)
    found |= {bites: Reason.of("guy_look_bite")} if bites <= until else {}
    after = {gale + timedelta(days=1): gale for gale in gales if on <= gale < until}
    found |= {day: Reason.of("guy_look_gale", gale=gale) for day, gale in after.items()}
    return tuple(LookDay(day, reason) for day, reason in sorted(found.items(), key=lambda item: item[0]))
