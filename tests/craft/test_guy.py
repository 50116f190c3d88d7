"""Guy wires: the wire itself, stages, and days to look at the loop."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

import pytest

from collection.craft.bite import look_date
from collection.craft.figures import OutOfRange
from collection.craft.guy import guy, guy_looks, in_growth, sling_leg, staged

SPRING = date(2027, 3, 1)


def test_a_wire_that_would_stretch_is_told():
    # Copper yields from 69 MPa: 1 mm at 54.2 N, 2 mm at 216.8 N.
    thin, thick = guy(100, 45, "copper", 1.0), guy(100, 45, "copper", 2.0)
    assert thin.stretches_from_n == pytest.approx(69 * math.pi / 4)
    assert [reason.code for reason in thin.reasons] == ["guy_stretches"]
    assert thick.reasons == ()
    assert [line.rule for line in thick.lines] == ["guy_tension", "guy_push", "guy_yield"]


def test_stages_add_up_to_the_whole_way():
    pulls = staged(90, SPRING, 4)
    assert [pulled.stage for pulled in pulls] == [1, 2, 3, 4]
    assert pulls[-1].drop_mm == 90
    assert pulls[0].first == pulls[0].last == SPRING
    assert pulls[2].first == date(2027, 6, 29)
    assert pulls[2].last == date(2027, 8, 28)


def test_a_loop_is_looked_at_every_two_weeks_in_growth_only():
    looks = guy_looks("G01", SPRING, date(2027, 5, 15), southern=False)
    days = [look.on for look in looks if look.reason.code == "guy_look_growth"]
    # 15 and 29 March lie before growth; 12 and 26 April and 10 May in it.
    assert days == [date(2027, 4, 12), date(2027, 4, 26), date(2027, 5, 10)]


def test_growth_is_flipped_in_the_south():
    assert in_growth(date(2027, 5, 1), southern=False)
    assert not in_growth(date(2027, 5, 1), southern=True)
    assert in_growth(date(2027, 11, 1), southern=True)
    assert not in_growth(date(2027, 12, 1), southern=False)


def test_the_day_a_coil_would_bite_and_the_day_after_a_gale_are_looks_too():
    until = date(2027, 12, 1)
    gales = (date(2027, 3, 20), date(2026, 3, 20), until)
    looks = guy_looks("G01", SPRING, until, southern=False, gales=gales)
    by_code: dict[str, list[date]] = {}
    for look in looks:
        by_code.setdefault(look.reason.code, []).append(look.on)
    assert by_code["guy_look_gale"] == [date(2027, 3, 21)]
    assert by_code["guy_look_bite"] == [look_date("G01", SPRING, southern=False)]
    assert [look.on for look in looks] == sorted({look.on for look in looks})


@pytest.mark.parametrize(
    ("asked", "code"),
    [
        (lambda: guy(0, 45), "size_above_zero"),
        (lambda: guy(10, 45, "steel", 1), "wire_metal"),
        (lambda: guy(10, 45, "copper", 0), "wire_gauge"),
        (lambda: sling_leg(10, 5), "guy_angle"),
        (lambda: staged(0, SPRING), "size_above_zero"),
        (lambda: staged(90, SPRING, 1), "guy_stages"),
        (lambda: guy_looks("G01", SPRING, date(2027, 2, 1), southern=False), "guy_days"),
        (lambda: guy_looks("G01", SPRING, date(2028, 3, 1), southern=False), "guy_days"),
    ],
)
def test_nonsense_is_refused_with_a_code(asked: Any, code: str):
    with pytest.raises(OutOfRange) as refused:
        asked()
    assert refused.value.reason.code == code


def test_an_unknown_group_is_refused():
    with pytest.raises(ValueError, match="no such group"):
        guy_looks("G99", SPRING, SPRING, southern=False)
