"""Wire itself: gauge numbers in millimetres, mass, stiffness and what it takes to bend it.

Strength figures rank wires; they say nothing about a branch. Rows are in ``fixtures/reference``
(``metals.csv``, ``swg.csv``) with label and source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from collection.craft.figures import OutOfRange, positive, within
from collection.craft.reference import table

METALS = ("aluminium", "copper")
THINNEST_MM, THICKEST_MM = 0.3, 12.0  # what is sold for trees; common practice, no source
AWG_LEAST, AWG_MOST = -3, 40  # 0000 to 40


@dataclass(frozen=True, slots=True)
class Metal:
    """One metal with one named set of constants; sets are not mixed.

    Attributes:
        density_kg_m3: Mass of a cubic metre.
        ratio: Wire to branch diameter.
        yield_low_mpa, yield_high_mpa: Stress at which annealed wire begins to stay bent, as a band.
        modulus_mpa: Stiffness.
    """

    metal: str
    key: str
    density_kg_m3: float
    ratio: float
    yield_low_mpa: float
    yield_high_mpa: float
    modulus_mpa: float
    label: str
    source: str


@cache
def metal(name: str, key: str = "rack") -> Metal:
    """A metal's constants; "rack" is the set the club's own stock is reckoned with.

    Raises:
        OutOfRange: ``wire_metal`` for a metal that is not wound on trees.
        ValueError: If the metal has no such set.
    """
    rows = [row for row in table("metals") if row["metal"] == name]
    if not rows:
        raise OutOfRange("wire_metal", given=name)
    for row in rows:
        if row["key"] == key:
            numbers = {field: float(row[field]) for field in list(row)[2:7]}
            return Metal(name, key, label=row["label"], source=row["source"], **numbers)
    raise ValueError(f"{name} has no constants called {key!r}")


def grams_per_metre(gauge_mm: float, of: Metal) -> float:
    """Mass of one metre of round wire, g.

    Raises:
        OutOfRange: ``wire_gauge``.

    Source: area times density; textbook.
    """
    within("wire_gauge", THINNEST_MM, THICKEST_MM, gauge_mm=gauge_mm)
    return math.pi / 4 * gauge_mm**2 * of.density_kg_m3 / 1000


def metres_per_kg(gauge_mm: float, of: Metal) -> float:
    """Metres of round wire in a kilogram."""
    return 1000 / grams_per_metre(gauge_mm, of)


# --- gauge numbers ----------------------------------------------------------------------------


def awg_mm(number: str) -> float:
    """Diameter, mm, of an American gauge number such as "8", "0000" or "4/0".

    Raises:
        OutOfRange: ``wire_number``.

    Source: ASTM B258, formula d = 0.127 mm x 92^((36 - n) / 39) (formula universal; text from memory).
    """
    n = _awg_number(number.strip())
    if n is None or not AWG_LEAST <= n <= AWG_MOST:
        raise OutOfRange("wire_number", given=number, system="AWG")
    return float(0.127 * 92 ** ((36 - n) / 39))


def _awg_number(text: str) -> int | None:
    if text.endswith("/0") and text[:-2].isdigit() and int(text[:-2]) > 0:
        return 1 - int(text[:-2])
    if text and not text.strip("0"):
        return 1 - len(text)
    return int(text) if text.isdecimal() else None


@dataclass(frozen=True, slots=True)
class NamedGauge:
    """One number of a list that follows no formula."""

    number: str
    mm: float
    label: str
    source: str


@cache
def swg() -> dict[str, NamedGauge]:
    """The British list by number; 1 inch is 25.4 mm exactly."""
    return {
        row["number"]: NamedGauge(row["number"], float(row["inch"]) * 25.4, row["label"], row["source"])
        for row in table("swg")
    }


def swg_mm(number: str) -> float:
    """Diameter, mm, of a British gauge number such as "10" or "7/0".

    Raises:
        OutOfRange: ``wire_number`` for a number that is not on the list.
    """
    if number.strip() not in swg():
        raise OutOfRange("wire_number", given=number, system="SWG")
    return swg()[number.strip()].mm


# --- stiffness and strength, for ranking only ---------------------------------------------------


def stiffness_nm2(diameter_mm: float, modulus_mpa: float) -> float:
    """Bending stiffness of a round rod, N m2: modulus times second moment of area.

    Raises:
        OutOfRange: ``size_above_zero``.
    """
    positive("size_above_zero", diameter_mm=diameter_mm, modulus_mpa=modulus_mpa)
    return modulus_mpa * math.pi * diameter_mm**4 / 64 / 1e6


def first_yield_nm(gauge_mm: float, yield_mpa: float) -> float:
    """Moment at which the skin of a straight round wire begins to stay bent, N m; textbook result."""
    positive("size_above_zero", gauge_mm=gauge_mm, yield_mpa=yield_mpa)
    return yield_mpa * math.pi * gauge_mm**3 / 32 / 1000


def fully_bent_nm(gauge_mm: float, yield_mpa: float) -> float:
    """Moment at which the whole section stays bent, N m: 16 / (3 pi) of the first; textbook result."""
    positive("size_above_zero", gauge_mm=gauge_mm, yield_mpa=yield_mpa)
    return yield_mpa * gauge_mm**3 / 6 / 1000


def as_stiff_as_mm(branch_mm: float, branch_modulus_mpa: float, wire_modulus_mpa: float) -> float:
    """Wire diameter, mm, whose stiffness equals that of a round branch; textbook result."""
    sizes = {"branch_mm": branch_mm, "branch_mpa": branch_modulus_mpa, "wire_mpa": wire_modulus_mpa}
    positive("size_above_zero", **sizes)
    return float(branch_mm * (branch_modulus_mpa / wire_modulus_mpa) ** 0.25)


def parallel_stiffness(wires: int) -> float:
    """Gauge of the one wire as stiff as ``wires`` parallel ones, in their gauge: the fourth root."""
    return float(wires**0.25)


def parallel_strength(wires: int) -> float:
    """Gauge of the one wire as strong in bending as ``wires`` parallel ones: the cube root."""
    return float(wires ** (1 / 3))
