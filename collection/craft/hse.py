"""Filter figures of the British guidance on manual handling: above them somebody must look closer.

Source: HSE, Manual handling, guidance on regulations L23, and leaflet INDG143; read in reproductions, not
in the leaflet. HSE's own page on the filters says that the law sets no weights and that these are no "safe
limits". Hands that pass through several zones count by the smallest figure.
"""

from __future__ import annotations

from dataclasses import dataclass

from collection.craft.figures import OutOfRange, Step, looked_up, positive, step, within
from collection.craft.reasons import Reason
from collection.craft.reference import table

ZONES = ("below_shin", "shin_to_knuckle", "knuckle_to_elbow", "elbow_to_shoulder", "shoulder_up")
# Tops of the zones for hands of a person of middling height, cm (assumption); the guidance draws a body.
TOPS_CM = (25.0, 75.0, 105.0, 140.0)
# Hands further from the ankles than this count as arms extended; the guidance draws it (assumption: nearer to
# full stretch, about 63 cm, than to the body, about 25 cm).
EXTENDED_FROM_CM = 50.0
COLUMNS = ("women", "men")
CARRY_M, PUSH_M = 10.0, 20.0
PUSH_KGF = {
    ("men", "start"): 20.0,
    ("women", "start"): 15.0,
    ("men", "moving"): 10.0,
    ("women", "moving"): 7.0,
}
N_PER_KGF = 9.80665
# Lifts a minute and the share taken off. The guidance prints 1-2, 5-8 and more than 12; in its gaps the
# stricter neighbour counts (assumption). Its figures hold for about 30 an hour.
OFTEN = ((0.5, 0.0), (2.0, 0.30), (8.0, 0.50))
OFTEN_MOST = 0.80


@dataclass(frozen=True, slots=True)
class Filter:
    """The figure for one person, kg, before and after twist and frequency."""

    zone: str
    reach: str
    column: str
    filter_kg: float
    kg: float
    lines: tuple[Step, ...]


def zone_of(v_cm: float) -> str:
    """The zone in which hands at this height lie.

    Raises:
        OutOfRange: ``lift_hands``.
    """
    within("lift_hands", 0, 300, v_cm=v_cm)
    return next((zone for zone, top in zip(ZONES, TOPS_CM, strict=False) if v_cm < top), ZONES[-1])


def reach_of(h_cm: float) -> str:
    """Whether arms are "close" or "extended"."""
    return "extended" if h_cm > EXTENDED_FROM_CM else "close"


def twist_share(a_deg: float) -> float:
    """Share taken off for twisting: a tenth beyond 45 degrees, a fifth beyond 90."""
    if a_deg > 90:
        return 0.20
    return 0.10 if a_deg > 45 else 0.0


def often_share(per_min: float) -> float:
    """Share taken off for lifting often."""
    if per_min > 12:
        return OFTEN_MOST
    return next((share for most, share in OFTEN if per_min <= most), OFTEN_MOST)


def one_person(
    zone: str, reach: str, *, column: str = "women", a_deg: float = 0, per_min: float = 0
) -> Filter:
    """The filter figure for one person.

    Args:
        column: "women" is the stricter and holds where nobody knows who will lift; "men" the other.

    Raises:
        OutOfRange: ``hse_zone`` or ``hse_column``.
    """
    if column not in COLUMNS:
        raise OutOfRange("hse_column", given=column)
    if zone not in ZONES or reach not in ("close", "extended"):
        raise OutOfRange("hse_zone", given=f"{zone}, {reach}")
    row = next(row for row in table("hse_lifting") if row["zone"] == zone)
    figure = float(row[f"{column}_{reach}"])
    twist, often = twist_share(a_deg), often_share(per_min)
    kg = figure * (1 - twist) * (1 - often)
    given = {"zone": zone, "reach": reach, "column": column}
    lines = (
        looked_up("hse_filter", figure, row["label"], row["source"], **given),
        step("hse_adjusted", kg, filter_kg=figure, twist=twist, often=often),
    )
    return Filter(zone, reach, column, figure, kg, lines)


@dataclass(frozen=True, slots=True)
class Push:
    """A push or pull against its filter."""

    filter_n: float
    above: bool
    lines: tuple[Step, ...]
    reasons: tuple[Reason, ...]


def push(force_n: float, *, moving: bool, column: str = "women", distance_m: float = 0) -> Push:
    """A force to start, stop or keep a load moving against the filter figure, N.

    Raises:
        OutOfRange: ``hse_column``, ``lift_carry`` or ``size_above_zero``.
    """
    positive("size_above_zero", force_n=force_n)
    within("lift_carry", 0, 1000, distance_m=distance_m)
    if column not in COLUMNS:
        raise OutOfRange("hse_column", given=column)
    kgf = PUSH_KGF[column, "moving" if moving else "start"]
    figure = kgf * N_PER_KGF
    far = (Reason.of("hse_push_far", distance_m=distance_m, most_m=PUSH_M),) if distance_m > PUSH_M else ()
    return Push(figure, force_n > figure, (step("hse_push", figure, filter_kgf=kgf),), far)
