"""Green wood against the printed tables. Nothing here says whether living wood will hold.

Each id names a check value. published: read in a source or second hand, as named. from memory: source named,
text not seen.
"""

from __future__ import annotations

import pytest

from collection.craft.bending import bend_figures
from collection.craft.bending_types import BendWish
from collection.craft.figures import OutOfRange
from collection.craft.green_wood import (
    KPA_PER_PSI,
    MOE_COV,
    MOR_COV,
    SHEAR_FREE,
    by_density,
    nearest,
    spread_95,
    woods,
)

# Rows read on a page or a sheet of the Forest Products Laboratory, or on a page that quotes it.
READ = {
    "pine_ponderosa", "pine_red", "pine_sugar", "pine_western_white", "pine_virginia", "pine_pond",
    "pine_sand", "pine_shortleaf", "pine_slash", "pine_spruce", "redwood_old", "redwood_young",
    "redcedar_western",
    "whitecedar_northern", "larch_western", "maple_sugar", "elm_american", "beech_american", "pine_lodgepole",
    "baldcypress", "hemlock_eastern", "fir_subalpine",
}  # fmt: skip


def test_rows_nobody_read_say_from_memory() -> None:
    assert {key for key, wood in woods().items() if wood.label.startswith("published")} == READ
    assert {wood.label for key, wood in woods().items() if key not in READ} == {"from memory"}
    assert woods()["redcedar_eastern"].label == "from memory"  # our only juniper


@pytest.mark.parametrize("key", [key for key, wood in woods().items() if wood.mor_psi])
def test_WOOD_01_both_unit_systems_agree(key: str) -> None:
    wood = woods()[key]
    assert wood.mor_psi is not None
    assert wood.moe_million_psi is not None
    assert wood.mor_psi * KPA_PER_PSI == pytest.approx(wood.mor_kpa, rel=0.015)
    assert wood.moe_million_psi * KPA_PER_PSI * 1000 == pytest.approx(wood.moe_mpa, rel=0.015)


# Specific gravity, MOR kPa, MOE MPa, MOR/MOE as printed: FPL-GTR-190 Table 5-3a, page scan (published).
NV_27 = {
    "pine_sand": (0.46, 52_000, 7_000, 0.0074),
    "pine_shortleaf": (0.47, 51_000, 9_600, 0.0053),
    "pine_slash": (0.54, 60_000, 10_500, 0.0057),
    "pine_spruce": (0.41, 41_000, 6_900, 0.0059),
    "redwood_old": (0.38, 52_000, 8_100, 0.0064),
    "redwood_young": (0.34, 41_000, 6_600, 0.0062),
    "pine_ponderosa": (0.38, 35_000, 6_900, 0.0051),
    "pine_red": (0.41, 40_000, 8_800, 0.0045),
    "larch_western": (0.48, 53_000, 10_100, 0.0052),
    "maple_sugar": (0.56, 65_000, 10_700, 0.0061),
    "beech_american": (0.56, 59_000, 9_500, 0.0062),
    "elm_american": (0.46, 50_000, 7_700, 0.0065),
    "whitecedar_northern": (0.29, 29_000, 4_400, 0.0066),
}


@pytest.mark.parametrize("key", NV_27)
def test_NV_27_rows_of_the_wood_handbook(key: str) -> None:
    wood, (gravity, mor, moe, ratio) = woods()[key], NV_27[key]
    assert (wood.specific_gravity, wood.mor_kpa, wood.moe_mpa) == (gravity, mor, moe)
    assert wood.mor_kpa / wood.moe_mpa / 1000 == pytest.approx(ratio, abs=5.1e-5)


def test_WOOD_02_order_of_stiffness() -> None:
    order = ["redcedar_eastern", "pine_ponderosa", "pine_red", "maple_sugar"]
    stiff = [woods()[key].moe_mpa for key in order]
    assert stiff == sorted(stiff)
    assert len(set(stiff)) == 4


def test_WOOD_03_a_tenth_more_without_shear() -> None:
    # Footnote of the table, a public transcription (published, second hand).
    assert SHEAR_FREE == 1.10
    assert woods()["pine_red"].shear_free_mpa == pytest.approx(9680)


def test_WOOD_04_spread_between_trees() -> None:
    # Wood Handbook Table 5-6, from 50 species (public transcription).
    assert (MOR_COV, MOE_COV) == (0.16, 0.22)
    low, high = spread_95(100, MOE_COV)
    assert (low, high) == pytest.approx((57, 143), abs=0.2)


@pytest.mark.parametrize(
    ("key", "mor", "mor_sd", "moe", "moe_sd"),
    [
        ("hemlock_eastern", 6420, 1027, 1073, 236),
        ("fir_subalpine", 4900, 664, 1052, 182),
        ("baldcypress", 6640, 1062, 1184, 260),
        ("pine_lodgepole", 5490, 878, 1076, 237),
    ],
)
def test_NV_28_spread_of_single_species(
    key: str, mor: float, mor_sd: float, moe: float, moe_sd: float
) -> None:
    assert woods()[key].mor_cov == pytest.approx(mor_sd / mor, abs=6e-4)
    assert woods()[key].moe_cov == pytest.approx(moe_sd / moe, abs=6e-4)


def test_NV_29_stiffness_goes_with_density() -> None:
    # Constructed on the abstract of Arboriculture & Urban Forestry 39(5):218.
    assert by_density(6900, 1.00, 1.10) == pytest.approx(7590, abs=1)
    with pytest.raises(OutOfRange, match="wood_density"):
        by_density(6900, 1.00, 2.5)


def test_clear_wood_would_put_the_breaking_radius_far_above_what_growers_bend() -> None:
    # 10 mm red pine 1.10 m, redcedar 0.47 m: why the figures must not predict breakage.
    for key, radius_m in (("pine_red", 1.10), ("redcedar_eastern", 0.47)):
        wood = woods()[key]
        assert 5 / (wood.mor_kpa / 1000 / wood.moe_mpa) / 1000 == pytest.approx(radius_m, abs=0.005)
        asked = BendWish(10, length_mm=300, radius_mm=100, group="G01")
        assert "bend_ranks_only" in [reason.code for reason in bend_figures(asked).reasons]


def test_each_listed_group_has_a_relative_and_the_rest_say_none() -> None:
    found = {f"G{n:02d}": nearest(f"G{n:02d}") for n in range(1, 16)}
    genus = {group: near.wood.genus for group, near in found.items() if near}
    assert genus == {
        "G01": "Pinus", "G02": "Pinus", "G03": "Juniperus", "G04": "Juniperus", "G05": "Picea",
        "G06": "Larix", "G07": "Acer", "G08": "Acer", "G09": "Ulmus", "G10": "Fagus",
    }  # fmt: skip
