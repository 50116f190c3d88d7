"""What people can push and pull against the published table.

Each id names a check value. published: read in a source or second hand, as named. from memory: source named,
text not seen.
"""

from __future__ import annotations

import pytest

from collection.craft import body_force

FORCE_01 = {
    "one_hand_grip": (250, 184), "arm_up": (50, 31), "arm_down": (75, 44), "arm_outward": (55, 31),
    "arm_inward": (75, 49), "arm_push_supported": (275, 186), "arm_push": (62, 30),
    "arm_pull_supported": (225, 169), "arm_pull": (55, 28), "body_push": (200, 119), "body_pull": (145, 96),
    "pedal_ankle": (250, 154), "pedal_leg": (475, 308),
}  # fmt: skip


def test_FORCE_01_basic_forces() -> None:
    # EN 1005-3:2002+A1:2008, Table 1, a work-safety page reproducing it (published, second hand).
    assert {key: (row.work_n, row.home_n) for key, row in body_force.actions().items()} == FORCE_01


def test_FORCE_02_product_of_factors_whose_tables_are_from_memory() -> None:
    found = body_force.pull(50, speed="moving", hours=2, frequency=0.9)
    assert found.cap_n == pytest.approx(96 * 0.8 * 0.9 * 0.8)
    assert (body_force.SPEED, body_force.DURATION) == (
        {"still": 1.0, "moving": 0.8},
        {1.0: 1.0, 2.0: 0.8, 8.0: 0.5},
    )
    assert "from memory" in found.lines[1].source


def test_FORCE_03_bands_of_the_ratio() -> None:
    # As quoted by a public work-safety program (published, second hand).
    bands = [body_force.band_of(ratio) for ratio in (0.5, 0.51, 0.7, 0.71)]
    assert bands == ["advised", "with_care", "with_care", "avoided"]


def test_FORCE_04_eighty_newtons_ask_for_a_helper() -> None:
    # Constructed; the team share for pulling is by analogy, no source.
    one, light, two = body_force.pull(80), body_force.pull(40), body_force.pull(80, 2)
    assert (one.cap_n, light.ratio) == (96, pytest.approx(0.417, abs=5e-4))
    assert one.ratio == pytest.approx(0.833, abs=5e-4)
    assert (two.cap_n, two.ratio) == pytest.approx((128, 0.625))
    assert (one.band, light.band, two.band) == ("avoided", "advised", "with_care")
    assert body_force.people_for(80).people == 2
