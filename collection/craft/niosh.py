"""The revised NIOSH lifting equation: one person, two hands, one kind of lift, and where it does not apply.

Metric throughout; a task in inches is converted first and meets the metric limits. Its results sort lifts
by how much they ask of people. None of them says that a lift does no harm.

Source: Waters, Putz-Anderson and Garg, Applications Manual for the Revised NIOSH Lifting Equation, DHHS
(NIOSH) Publication No. 94-110, January 1994, revised 9/2021 (public domain).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from collection.craft.figures import OutOfRange, Step, looked_up, positive, step, within
from collection.craft.reasons import Reason
from collection.craft.reference import table

DURATIONS = {"short": 1.0, "moderate": 2.0, "long": 8.0}  # hours of lifting in one go, at most
# Rest after lifting, in lengths of the lifting, for the next spell to count anew (manual pp. 13-14).
RECOVERY = {"short": 1.0, "moderate": 0.3}
COUPLINGS = ("good", "fair", "poor")
GOAL, NEARLY_ALL = 1.0, 3.0  # lifting index, manual p. 20
# What the equation does not cover (manual p. 6).
OUT_OF_SCOPE = (
    "one_handed",
    "over_8_hours",
    "seated_or_kneeling",
    "restricted_space",
    "unstable_load",
    "carry_push_pull",
    "barrow_or_shovel",
    "fast",
    "slippery_floor",
    "temperature",
    "humidity",
)
WARMTH_C, DAMP_PERCENT = (19.0, 26.0), (35.0, 50.0)


@dataclass(frozen=True, slots=True)
class System:
    """Constants of the equation in one system of units; the service computes in metric only."""

    load: float
    near: float
    far: float
    knuckle: float
    per_height: float
    highest: float
    travel: float
    shortest: float
    longest: float


METRIC = System(23.0, 25.0, 63.0, 75.0, 0.003, 175.0, 4.5, 25.0, 175.0)


@dataclass(frozen=True, slots=True)
class Multipliers:
    """The six factors of the equation, each 0 to 1; a factor of 0 means that the task is out of range."""

    h: float
    v: float
    d: float
    a: float
    f: float
    c: float

    @property
    def product(self) -> float:
        """All six together."""
        return self.h * self.v * self.d * self.a * self.f * self.c


@dataclass(frozen=True, slots=True)
class Hands:
    """Where the hands are: from the ankles' midpoint, above the floor, and how far the body twists."""

    h_cm: float
    v_cm: float
    a_deg: float = 0.0

    def __post_init__(self) -> None:
        within("lift_hands", 0, 300, h_cm=self.h_cm, v_cm=self.v_cm)
        within("lift_twist", 0, 180, a_deg=self.a_deg)


@dataclass(frozen=True, slots=True)
class LiftTask:
    """One kind of lift.

    Attributes:
        origin: Hands where the lift begins.
        destination: Hands where it ends, if the load must be set down with care; a pot must.
        d_cm: Height it is moved through.
        per_min: Lifts a minute, averaged over a quarter of an hour.
        hours: Lifting in one go.
        coupling: One of ``COUPLINGS``: how well the hands hold.
        outside: Any of ``OUT_OF_SCOPE``.
    """

    load_kg: float
    origin: Hands
    d_cm: float
    destination: Hands | None = None
    per_min: float = 0.2
    hours: float = 1.0
    coupling: str = "fair"
    outside: frozenset[str] = frozenset()
    warmth_c: float | None = None
    damp_percent: float | None = None

    def __post_init__(self) -> None:
        within("lift_load", 0.1, 500, load_kg=self.load_kg)
        within("lift_hands", 0, 300, d_cm=self.d_cm)
        within("lift_often", 0, 60, per_min=self.per_min)
        positive("lift_hours", hours=self.hours)
        if self.coupling not in COUPLINGS:
            raise OutOfRange("lift_coupling", given=self.coupling)
        strange = sorted(self.outside - set(OUT_OF_SCOPE))
        if strange:
            raise OutOfRange("lift_scope", given=strange[0])


@dataclass(frozen=True, slots=True)
class Lift:
    """What the equation says; ``rwl_kg`` and ``index`` are None where it cannot be computed.

    Attributes:
        rwl_kg: The manual's recommended weight, the smaller of origin and destination.
        index: Load over that.
        band: "goal", "raised" or "nearly_all"; None where there is no index.
        governs: "origin" or "destination", whichever gives the smaller weight.
        reasons: Why it is not computable.
    """

    task: LiftTask
    rwl_kg: float | None
    index: float | None
    band: str | None
    governs: str
    multipliers: Multipliers | None
    lines: tuple[Step, ...]
    reasons: tuple[Reason, ...]


# --- factors ----------------------------------------------------------------------------------


def reach_factor(h: float, system: System = METRIC) -> float:
    """HM: 25 / H, 1 nearer than 25 cm, 0 beyond 63 cm."""
    return 0.0 if h > system.far else min(system.near / max(h, system.near), 1.0)


def height_factor(v: float, system: System = METRIC) -> float:
    """VM: 1 - 0.003 |V - 75|, 0 above 175 cm."""
    return 0.0 if v > system.highest else 1 - system.per_height * abs(v - system.knuckle)


def travel_factor(d: float, system: System = METRIC) -> float:
    """DM: 0.82 + 4.5 / D, 1 under 25 cm, 0 above 175 cm."""
    if d > system.longest:
        return 0.0
    return min(0.82 + system.travel / d, 1.0) if d >= system.shortest else 1.0


def twist_factor(a_deg: float) -> float:
    """AM: 1 - 0.0032 A, 0 above 135 degrees."""
    return 0.0 if a_deg > 135 else 1 - 0.0032 * a_deg


def duration_of(hours: float) -> str:
    """The column of the frequency table.

    Raises:
        OutOfRange: ``lift_hours`` above eight hours.
    """
    for name, most in DURATIONS.items():
        if 0 < hours <= most:
            return name
    raise OutOfRange("lift_hours", field="hours", given=hours)


def lifting_hours(first_min: float, rest_min: float, second_min: float) -> float:
    """Hours that count when two spells of lifting have a rest between them (manual p. 14).

    A rest long enough for the first spell's length parts them, and the longer spell counts.
    """
    positive("lift_hours", first_min=first_min, second_min=second_min)
    needed = RECOVERY.get(duration_of(first_min / 60))
    if needed is not None and rest_min >= needed * first_min:
        return max(first_min, second_min) / 60
    return (first_min + second_min) / 60


def averaged_per_min(per_min: float, working_min: float, of_min: float = 15.0) -> float:
    """Lifts a minute over a quarter of an hour when people lift for part of it (manual p. 16)."""
    within("lift_often", 0, 60, per_min=per_min)
    within("lift_hours", 0, of_min, working_min=working_min)
    return per_min * working_min / of_min


@cache
def _rows() -> tuple[tuple[float, dict[str, float]], ...]:
    cells = [
        (float(row["per_min"]), {key: float(row[key]) for key in list(row)[1:7]})
        for row in table("niosh_frequency")
    ]
    return tuple(cells)


def frequency_factor(per_min: float, hours: float, v: float, system: System = METRIC) -> float:
    """FM: the table, between rows in proportion; 0.2 a minute and less is one row, above 15 it is 0.

    Args:
        v: Height of the hands at the origin; it chooses the column, at the destination too.
    """
    column = f"{duration_of(hours)}_{'high' if v >= system.knuckle else 'low'}"
    rows = _rows()
    if per_min <= rows[0][0]:
        return rows[0][1][column]
    for (lower, below), (upper, above) in pairwise(rows):
        if lower < per_min <= upper:
            share = (per_min - lower) / (upper - lower)
            return below[column] + share * (above[column] - below[column])
    return 0.0


def coupling_factor(coupling: str, v: float, system: System = METRIC) -> float:
    """CM: the table; the column by the height of the hands at the point looked at."""
    for row in table("niosh_coupling"):
        if row["coupling"] == coupling:
            return float(row["high" if v >= system.knuckle else "low"])
    raise OutOfRange("lift_coupling", given=coupling)


def multipliers(
    hands: tuple[float, float, float],
    d: float,
    per_min: float,
    hours: float,
    coupling: str,
    *,
    origin_v: float,
    system: System = METRIC,
) -> Multipliers:
    """The six factors at one point.

    Args:
        hands: H, V and A at that point.
        origin_v: Height of the hands at the origin.
    """
    h, v, a = hands
    return Multipliers(
        reach_factor(h, system),
        height_factor(v, system),
        travel_factor(d, system),
        twist_factor(a),
        frequency_factor(per_min, hours, origin_v, system),
        coupling_factor(coupling, v, system),
    )


# --- the equation -----------------------------------------------------------------------------


def niosh(task: LiftTask) -> Lift:
    """Recommended weight and lifting index of a task, or why there is none."""
    outside = _outside(task)
    if outside:
        return Lift(task, None, None, None, "", None, (), outside)
    points = {"origin": task.origin} | ({"destination": task.destination} if task.destination else {})
    found = {name: _at(task, hands) for name, hands in points.items()}
    governs = min(found, key=lambda name: found[name].product)
    factors = found[governs]
    if factors.product == 0:
        return Lift(task, None, None, None, governs, factors, (), _zeros(factors, governs))
    rwl = METRIC.load * factors.product
    index = task.load_kg / rwl
    lines = (
        *_lines(task, points[governs], factors),
        step("niosh_rwl", rwl, **{f"{name}m": factor for name, factor in _named(factors).items()}),
    )
    line = step("niosh_li", index, load_kg=task.load_kg, rwl_kg=rwl)
    return Lift(task, rwl, index, band_of(index), governs, factors, (*lines, line), ())


def band_of(index: float) -> str:
    """Up to 1.0 the goal, above it raised for some, above 3.0 for nearly all (manual p. 20)."""
    if index <= GOAL:
        return "goal"
    return "raised" if index <= NEARLY_ALL else "nearly_all"


def _at(task: LiftTask, hands: Hands) -> Multipliers:
    place = (hands.h_cm, hands.v_cm, hands.a_deg)
    height = task.origin.v_cm
    return multipliers(place, task.d_cm, task.per_min, task.hours, task.coupling, origin_v=height)


def _outside(task: LiftTask) -> tuple[Reason, ...]:
    found = set(task.outside)
    if task.hours > DURATIONS["long"]:
        found.add("over_8_hours")
    if task.warmth_c is not None and not WARMTH_C[0] <= task.warmth_c <= WARMTH_C[1]:
        found.add("temperature")
    if task.damp_percent is not None and not DAMP_PERCENT[0] <= task.damp_percent <= DAMP_PERCENT[1]:
        found.add("humidity")
    return tuple(Reason.of("niosh_outside", what=what) for what in OUT_OF_SCOPE if what in found)


def _zeros(factors: Multipliers, governs: str) -> tuple[Reason, ...]:
    zero = [name for name, factor in _named(factors).items() if factor == 0]
    return tuple(Reason.of("niosh_beyond", factor=name, point=governs) for name in zero)


def _named(factors: Multipliers) -> dict[str, float]:
    return {name: getattr(factors, name) for name in ("h", "v", "d", "a", "f", "c")}


def _lines(task: LiftTask, hands: Hands, factors: Multipliers) -> tuple[Step, ...]:
    often: dict[str, float | str] = {"per_min": task.per_min, "duration": duration_of(task.hours)}
    frequency, coupling = table("niosh_frequency")[0], table("niosh_coupling")[0]
    return (
        step("niosh_h", factors.h, h_cm=hands.h_cm),
        step("niosh_v", factors.v, v_cm=hands.v_cm),
        step("niosh_d", factors.d, d_cm=task.d_cm),
        step("niosh_a", factors.a, a_deg=hands.a_deg),
        looked_up("niosh_f", factors.f, frequency["label"], frequency["source"], **often),
        looked_up("niosh_c", factors.c, coupling["label"], coupling["source"], coupling=task.coupling),
    )


# --- several tasks ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Part:
    """One task of several: load, lifts a minute, and its recommended weight without the frequency factor."""

    load_kg: float
    per_min: float
    free_kg: float


def composite_index(parts: tuple[Part, ...], hours: float, v_cm: float) -> float:
    """The composite lifting index of several tasks done in turn (manual sec. 2.4.5, p. 28).

    The hardest task counts whole; each further one adds what its lifts add at the summed frequency.

    Raises:
        OutOfRange: ``lift_parts`` without a task, ``lift_together`` where the summed frequency leaves the
            table, so that the index would have no value.
    """
    if not parts:
        raise OutOfRange("lift_parts")
    alone = {part: frequency_factor(part.per_min, hours, v_cm) for part in parts}
    summed = sum(part.per_min for part in parts)
    if min(alone.values()) == 0 or frequency_factor(summed, hours, v_cm) == 0:
        raise OutOfRange("lift_together", per_min=summed)
    # Of equally hard tasks the more frequent one comes first (manual p. 57).
    hard = {part: part.load_kg / (part.free_kg * alone[part]) for part in parts}
    order = sorted(parts, key=lambda part: (-round(hard[part], 9), -part.per_min))
    index, often = hard[order[0]], order[0].per_min
    for part in order[1:]:
        before, after = (frequency_factor(n, hours, v_cm) for n in (often, often + part.per_min))
        index += part.load_kg / part.free_kg * (1 / after - 1 / before)
        often += part.per_min
    return index
