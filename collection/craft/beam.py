"""Round rods that bend: section values, small deflections, and the large-deflection curve of a cantilever.

Millimetres, newtons and MPa throughout, so that no powers of ten hide in the formulas. All results are of
textbook beams; what living wood does beyond them is in ``bending``.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from scipy import optimize, special

from collection.craft.figures import OutOfRange, positive

# The small-deflection formula is 3 % too large at a = 0.5 (where to stop is an assumption).
LINEAR_TO = 0.5
# The published table of the large-deflection curve ends here.
LARGEST_LOAD = 10.0
# Below this both theories agree to ten figures, and the elliptic form loses digits.
_TINY = 1e-4


def inertia_mm4(diameter_mm: float) -> float:
    """Second moment of area of a round section: pi d^4 / 64.

    Raises:
        OutOfRange: ``size_above_zero``.
    """
    positive("size_above_zero", diameter_mm=diameter_mm)
    return math.pi * diameter_mm**4 / 64


def section_modulus_mm3(diameter_mm: float) -> float:
    """Section modulus of a round section: pi d^3 / 32."""
    positive("size_above_zero", diameter_mm=diameter_mm)
    return math.pi * diameter_mm**3 / 32


@dataclass(frozen=True, slots=True)
class Rod:
    """A round rod of one thickness.

    Attributes:
        modulus_mpa: Stiffness of the material.
    """

    diameter_mm: float
    length_mm: float
    modulus_mpa: float

    def __post_init__(self) -> None:
        sizes = {"diameter_mm": self.diameter_mm, "length_mm": self.length_mm}
        positive("size_above_zero", **sizes, modulus_mpa=self.modulus_mpa)

    @property
    def stiffness_nmm2(self) -> float:
        """E I, N mm2."""
        return self.modulus_mpa * inertia_mm4(self.diameter_mm)

    def end_drop_mm(self, force_n: float) -> float:
        """Drop of the free end under a force there, small deflection: P L^3 / (3 E I)."""
        return force_n * self.length_mm**3 / (3 * self.stiffness_nmm2)

    def root_moment_nmm(self, force_n: float) -> float:
        """Moment where it is held, force at the free end: P L."""
        return force_n * self.length_mm

    def root_stress_mpa(self, force_n: float) -> float:
        """Stress in the skin where it is held: M / S."""
        return self.root_moment_nmm(force_n) / section_modulus_mm3(self.diameter_mm)

    def root_radius_mm(self, force_n: float) -> float:
        """Radius of the bend where it is held, small deflection: E I / M."""
        return self.stiffness_nmm2 / self.root_moment_nmm(force_n)

    def middle_drop_mm(self, force_n: float) -> float:
        """Sag of a rod on two supports, force in the middle: P L^3 / (48 E I)."""
        return force_n * self.length_mm**3 / (48 * self.stiffness_nmm2)

    def middle_stress_mpa(self, force_n: float) -> float:
        """Stress in the skin at the middle of a rod on two supports: P L / (4 S)."""
        return force_n * self.length_mm / 4 / section_modulus_mm3(self.diameter_mm)

    def own_sag_mm(self, load_n_per_mm: float) -> float:
        """Sag of a rod on two supports under an even load: 5 w L^4 / (384 E I)."""
        return 5 * load_n_per_mm * self.length_mm**4 / (384 * self.stiffness_nmm2)

    def own_end_drop_mm(self, load_n_per_mm: float) -> float:
        """Drop of the free end of a cantilever under an even load: w L^4 / (8 E I)."""
        return load_n_per_mm * self.length_mm**4 / (8 * self.stiffness_nmm2)

    def load_number(self, force_n: float) -> float:
        """a = P L^2 / (E I), which decides whether a deflection is small."""
        return force_n * self.length_mm**2 / self.stiffness_nmm2


def is_small(load_number: float) -> bool:
    """Whether the small-deflection formula may be used."""
    return load_number <= LINEAR_TO


def outer_strain(diameter_mm: float, radius_mm: float) -> float:
    """Strain in the skin of a round branch bent to an arc: d / (2 R).

    Raises:
        OutOfRange: ``bend_radius`` when the radius of the centre line is not above half the thickness.
    """
    positive("size_above_zero", diameter_mm=diameter_mm, radius_mm=radius_mm)
    if radius_mm <= diameter_mm / 2:
        raise OutOfRange("bend_radius", given=radius_mm, low=diameter_mm / 2)
    return diameter_mm / (2 * radius_mm)


# --- large deflections ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Curve:
    """A cantilever bent by a force at its end that keeps its direction.

    Attributes:
        load: a = P L^2 / (E I).
        drop: Movement of the tip across the rod, in lengths of the rod.
        shortening: How far the tip comes back along the rod, in lengths of the rod.
        tip_rad: Rotation of the tip.
    """

    load: float
    drop: float
    shortening: float
    tip_rad: float

    @property
    def root_bend(self) -> float:
        """Length over radius where it is held, the tightest place: sqrt(2 a sin(tip))."""
        return math.sqrt(2 * self.load * math.sin(self.tip_rad))


def _curve(tip_rad: float) -> Curve:
    """The curve whose tip is turned by an angle between 0 and a right angle (elliptic integrals)."""
    m = (1 + math.sin(tip_rad)) / 2
    start = math.asin(1 / math.sqrt(2 * m))
    root_a = float(special.ellipk(m) - special.ellipkinc(start, m))
    drop = 1 - 2 * float(special.ellipe(m) - special.ellipeinc(start, m)) / root_a
    along = math.sqrt(2 * math.sin(tip_rad)) / root_a
    return Curve(root_a**2, drop, 1 - along, tip_rad)


def _small(load: float) -> Curve:
    return Curve(load, load / 3, load**2 / 15, load / 2)


@cache
def largest() -> Curve:
    """The curve at the end of the range."""
    return _curve(_solved(lambda curve: curve.load - LARGEST_LOAD, math.radians(89)))


def _solved(missing: Callable[[Curve], float], most_rad: float) -> float:
    return float(optimize.brentq(lambda tip: missing(_curve(tip)), _TINY / 4, most_rad, xtol=1e-14))


def curve_of_load(load: float) -> Curve:
    """The curve under a load number a.

    Raises:
        OutOfRange: ``bend_load`` unless 0 < a <= 10.

    Source: Bisshopp and Drucker 1945, Quart. Appl. Math. 3:272-275, for the method; Mattiasson 1981,
        Int. J. Numer. Meth. Eng. 17:145-153, Table 1, for figures at a = 1, 2, 5, 10.
    """
    if not 0 < load <= LARGEST_LOAD:
        raise OutOfRange("bend_load", given=load, high=LARGEST_LOAD)
    if load <= _TINY:
        return _small(load)
    return _curve(_solved(lambda curve: curve.load - load, largest().tip_rad * 1.0001))


def curve_of_drop(drop: float) -> Curve:
    """The curve whose tip has moved across by ``drop`` lengths of the rod.

    Raises:
        OutOfRange: ``bend_drop`` unless above 0 and at most 0.81.
    """
    if not 0 < drop <= largest().drop:
        raise OutOfRange("bend_drop", given=drop, high=largest().drop)
    if drop <= _TINY / 3:
        return _small(3 * drop)
    return _curve(_solved(lambda curve: curve.drop - drop, largest().tip_rad * 1.0001))


def curve_of_radius(length_over_radius: float) -> Curve:
    """The curve whose tightest radius is the rod's length over ``length_over_radius``.

    Raises:
        OutOfRange: ``bend_tightness`` unless above 0 and at most 4.4, the end of the range.
    """
    if not 0 < length_over_radius <= largest().root_bend:
        raise OutOfRange("bend_tightness", given=length_over_radius, high=largest().root_bend)
    if length_over_radius <= _TINY:
        return _small(length_over_radius)
    return _curve(_solved(lambda curve: curve.root_bend - length_over_radius, largest().tip_rad * 1.0001))
