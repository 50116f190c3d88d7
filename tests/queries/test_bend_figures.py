"""A bend's page in figures: what is worked out, what opens, what is left out and why, what is refused."""

from __future__ import annotations

from typing import Any

import pytest

from collection.models import Bend
from collection.queries.bend_figures import in_figures
from collection.queries.bends import bend_sheet
from collection.queries.errors import Refused
from collection.queries.sentences import say
from collection.usecases import bends
from tests.usecases.bend_world import CLOSES, OPENS, TODAY, World, world

pytestmark = pytest.mark.django_db


def of(**wanted: Any) -> dict[str, str]:
    """The figures of a bend 28 mm thick on a juniper, by their codes."""
    made = world(**wanted)
    return {one.code: one.number.text for one in in_figures(made.bend).figures}


def test_a_bend_with_all_its_sizes_has_every_figure_and_each_ends_in_its_own_line():
    made = world(
        length_mm=300, drop_mm=60, radius_mm=200, method="Lever bar", load_arm_mm=120, hand_arm_mm=480,
        guy_deg=45,
    )  # fmt: skip
    found = bend_sheet(made.planner, made.bend.pk, today=TODAY).figures
    assert [one.code for one in found.figures] == ["strain", "force", "hand", "guy"]
    for one in found.figures:
        assert one.number.value == pytest.approx(one.number.lines[-1].value)
    by = {one.code: one.number.value for one in found.figures}
    # Skin strain of a round branch: thickness over twice the radius (textbook), 28 / (2 x 200).
    assert by["strain"] == pytest.approx(0.07)
    # A lever of four to one, and a guy at 45 degrees (balance of forces).
    assert by["hand"] == pytest.approx(by["force"] / 4)
    assert by["guy"] == pytest.approx(by["force"] * 2**0.5)
    assert any("promise" in note or "rank" in note.lower() for note in found.notes)
    assert any("juniper" in note.lower() or "cedar" in note.lower() for note in found.notes)


def test_a_bend_by_guy_is_pulled_in_thirds_two_to_three_months_apart():
    made = world(length_mm=300, drop_mm=60, guy_deg=45)
    stages = bend_sheet(made.planner, made.bend.pk, today=TODAY).figures.stages
    # A third at a time, two to three months apart: one teacher's page (published).
    assert [(one.number, one.drop.value) for one in stages] == [(1, 20), (2, 40), (3, 60)]
    assert [((one.first - OPENS).days, (one.last - OPENS).days) for one in stages] == [
        (0, 0),
        (60, 90),
        (120, 180),
    ]
    by_hand = world(length_mm=300, drop_mm=60, method="Coil and hand")
    assert bend_sheet(by_hand.planner, by_hand.bend.pk, today=TODAY).figures.stages == ()


def test_without_length_there_is_no_force_and_the_page_says_what_to_measure():
    made = world()
    found = in_figures(made.bend)
    assert found.figures == ()
    assert any("length" in note.lower() for note in found.notes)


def test_a_drop_makes_a_radius_of_its_own_where_none_was_asked_for():
    assert list(of(length_mm=300, drop_mm=60))[:2] == ["strain", "radius"]


@pytest.mark.parametrize(
    ("sizes", "said"),
    [
        ({"radius_mm": 10}, "radius"),
        ({"drop_mm": 60}, "length"),
        ({"length_mm": 300, "drop_mm": 60, "load_arm_mm": 120}, "lever"),
        ({"length_mm": 300, "drop_mm": 60, "guy_deg": 5}, "guy"),
    ],
)
def test_sizes_that_no_rule_holds_for_are_refused_in_its_words_and_nothing_is_written(sizes: Any, said: str):
    made: World = world()
    wanted = {"diameter_mm": 28.0, "opens": OPENS, "closes": CLOSES} | sizes
    with pytest.raises(Refused) as refused:
        bends.want_bend(actor=made.planner, tree_id=made.tree.pk, **wanted)
    assert refused.value.reason.code == "out_of_range"
    assert said in say(refused.value.reason).lower()
    assert Bend.objects.count() == 1


def test_a_trunk_thicker_than_the_rules_reach_may_be_wanted_and_has_no_figures():
    made = world(diameter_mm=250.0)
    found = in_figures(made.bend)
    assert (found.figures, found.worked) == ((), None)
    assert "200" in found.notes[0]
