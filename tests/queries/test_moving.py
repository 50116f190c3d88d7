"""How many people move a tree: the strictest rule decides and is named; a guess is called one."""

from __future__ import annotations

import pytest

from collection.queries.moving import moving_of, tree_moving
from tests.factories import BenchFactory, MemberFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db


def of(**more: object):
    bench = BenchFactory()
    return moving_of(TreeFactory(site=bench.site, bench=bench, **more))


def test_a_light_tree_is_for_one_and_a_heavy_one_wants_an_aid():
    light, heavy = of(mass_kg=6, mass_weighed=True), of(mass_kg=90, mass_weighed=True)
    assert (light.people, light.aid, light.guessed) == (1, False, False)
    assert (heavy.aid, set(heavy.decided_by) >= {"club"}) == (True, True)
    assert heavy.answer.startswith("Use a lifting aid and three people, by ")


def test_the_strictest_rule_decides_and_is_named():
    found = of(mass_kg=20, mass_weighed=True)
    strictest = max(int(one.answer.split()[0]) for one in found.rules if "people" in one.answer)
    assert found.people == strictest >= 2
    assert [one.rule for one in found.rules if one.decides] == list(found.decided_by)
    assert {one.rule for one in found.rules} == {"niosh", "hse", "club"}


def test_more_mass_never_takes_fewer_people_except_that_an_aid_takes_over():
    found = [of(mass_kg=kg, mass_weighed=True) for kg in (2, 8, 14, 18, 26, 34)]
    asked = [(one.aid, one.people or 0) for one in found]
    assert asked == sorted(asked)


def test_what_nobody_weighed_is_called_a_guess_and_what_nobody_knows_is_not_worked_out():
    said, from_pot = of(mass_kg=20, mass_weighed=False), of(pot_litres=10, height_mm=500)
    assert (said.guessed, said.mass and said.mass.text) == (True, "20 kg, guessed")
    # 1.4 x 10 of mix, 0.5 x 10 of pot and 0.05 x 50 of tree (assumption).
    assert from_pot.mass is not None
    assert from_pot.mass.value == pytest.approx(21.5)
    nothing = of(height_mm=None)
    assert (nothing.people, nothing.rules) == (None, ())
    assert nothing.notes == ("Weigh the tree, or give its pot's volume or its height.",)


def test_a_tree_without_a_bench_is_taken_up_from_the_ground_and_that_is_said():
    bench = BenchFactory()
    tree = TreeFactory(site=bench.site, bench=None, mass_kg=12, mass_weighed=True)
    found = tree_moving(actor_of(MemberFactory(club=bench.club)), tree.pk)
    assert "from the ground to a turntable" in found.notes[-1]
    assert (found.people or 0) >= (of(mass_kg=12, mass_weighed=True).people or 0)
