"""Stiffness and strength of green wood from a published table, by the nearest listed genus.

The table is of small, straight, knot-free pieces of forest timber. Thin living branches, bark on, yield and
creep: the figures rank bends and give a force, they never tell whether wood will hold.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from collection.craft.figures import OutOfRange, within
from collection.craft.reference import table

# Clear wood of fifty species, Wood Handbook Table 5-6 (a public transcription); where a row has none.
MOR_COV, MOE_COV = 0.16, 0.22
Z_95 = 1.96
# The tabulated modulus contains shear; the table's footnote lets it be raised by this (public transcription).
SHEAR_FREE = 1.10
KPA_PER_PSI = 6.894757


@dataclass(frozen=True, slots=True)
class Wood:
    """One row, green.

    Attributes:
        specific_gravity: Oven-dry mass over green volume.
        mor_kpa: Modulus of rupture, kPa.
        moe_mpa: Modulus of elasticity, MPa.
        mor_cov, moe_cov: Spread between trees as a share of the mean.
    """

    key: str
    name: str
    genus: str
    specific_gravity: float
    mor_kpa: float
    moe_mpa: float
    mor_psi: float | None
    moe_million_psi: float | None
    mor_cov: float
    moe_cov: float
    label: str
    source: str

    @property
    def shear_free_mpa(self) -> float:
        """Modulus for pure bending."""
        return self.moe_mpa * SHEAR_FREE


@dataclass(frozen=True, slots=True)
class Nearest:
    """The row that stands for a species group, and why."""

    wood: Wood
    why: str
    label: str


@cache
def woods() -> dict[str, Wood]:
    """Every row by key."""
    return {row["key"]: _wood(row) for row in table("green_wood")}


def _wood(row: dict[str, str]) -> Wood:
    psi, million = row["mor_psi"], row["moe_million_psi"]
    return Wood(
        key=row["key"],
        name=row["name"],
        genus=row["genus"],
        specific_gravity=float(row["specific_gravity"]),
        mor_kpa=float(row["mor_kpa"]),
        moe_mpa=float(row["moe_mpa"]),
        mor_psi=float(psi) if psi else None,
        moe_million_psi=float(million) if million else None,
        mor_cov=float(row["mor_cov"] or MOR_COV),
        moe_cov=float(row["moe_cov"] or MOE_COV),
        label=row["label"],
        source=row["source"],
    )


def nearest(group: str) -> Nearest | None:
    """The row for a species group; None where no relative is listed, as for azalea, fig and box."""
    for row in table("green_wood_groups"):
        if row["group"] == group:
            return Nearest(woods()[row["wood"]], row["why"], row["label"])
    return None


def by_density(modulus_mpa: float, listed: float, found: float) -> float:
    """A row's modulus for wood of another density, in proportion.

    Args:
        listed: Density of the row; ``found`` is that of the tree, in the same measure.

    Raises:
        OutOfRange: ``wood_density`` unless the two are within a factor of two.

    Source: Arboriculture & Urban Forestry 39(5):218, abstract: stiffness nearly linear in density.
    """
    within("wood_density", listed / 2, listed * 2, density=found)
    return modulus_mpa * found / listed


def spread_95(mean: float, cov: float) -> tuple[float, float]:
    """The range that holds 95 of 100 trees, from a mean and a coefficient of variation.

    Raises:
        OutOfRange: ``wood_spread`` unless 0 <= cov < 0.5, where the range would reach zero.
    """
    if not 0 <= cov < 1 / Z_95:
        raise OutOfRange("wood_spread", given=cov)
    return mean * (1 - Z_95 * cov), mean * (1 + Z_95 * cov)
