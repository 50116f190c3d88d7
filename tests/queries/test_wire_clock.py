"""The wire clock: opened to its parts, moved by the club's own looks once enough wires were seen to mark."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from collection.craft.bite import bites, growing_weeks, look_date
from collection.models import Branch, Club, Look, Tree, Wire
from collection.queries.wire_clock import (
    CAPPED,
    FEWEST_MARKS,
    OTHERWISE,
    club_clock,
    club_clocks,
    first_look,
    position_of,
)
from collection.usecases import trees
from tests.factories import MemberFactory, SiteFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db
ON = date(2027, 5, 1)


class Garden:
    """A northern club, one juniper 600 mm high."""

    def __init__(self) -> None:
        self.site = SiteFactory()
        self.club: Club = self.site.club
        self.tree: Tree = TreeFactory(site=self.site, group="G03", height_mm=600, stage="F")
        self.actor = actor_of(MemberFactory(club=self.club))

    def wire(self, label: str, **more: object) -> Wire:
        kind = {"length_m": 1.0, "gauge_mm": 2.0, "metal": "copper", "on": ON} | more
        pk = trees.put_wire_on(actor=self.actor, tree_id=self.tree.pk, label=label, **kind)
        return Wire.objects.get(pk=pk)

    def look(self, wire: Wire, weeks: int, seen: str) -> None:
        on = ON + timedelta(weeks=weeks)
        Look.objects.create(club=self.club, wire=wire, on=on, seen=seen)

    def marked_early(self, number: int) -> None:
        """Wires that marked between the third and the fourth week."""
        for n in range(number):
            wire = self.wire(f"M{n}")
            self.look(wire, 3, "snug")
            self.look(wire, 4, "marking")


@pytest.fixture
def garden() -> Garden:
    return Garden()


def test_the_first_look_opens_to_table_position_fit_and_stage(garden: Garden):
    apex = Branch.objects.create(club=garden.club, tree=garden.tree, label="T", height_mm=590)
    wire = garden.wire("W1", branch_id=apex.pk)
    found = first_look(wire, garden.club, ON + timedelta(weeks=2))
    # Weeks of the table x looks x part x apex x snug copper x stage.
    assert [line.value for line in found.lines] == [bites()["G03"].bites_from_weeks, 1.0, 0.7, 0.6, 0.9, 1.0]
    assert found.value == pytest.approx(bites()["G03"].bites_from_weeks * 0.7 * 0.6 * 0.9)
    assert found.notes[0] == "2.0 growing weeks have gone since it went on."
    assert wire.look_on is not None
    grown = growing_weeks(ON, wire.look_on, southern=False)
    assert grown == pytest.approx(found.value, abs=1 / 7)


@pytest.mark.parametrize(
    ("height", "position"), [(None, "middle"), (100, "lower"), (300, "middle"), (450, "upper"), (560, "apex")]
)
def test_where_a_branch_sits_goes_by_its_height(garden: Garden, height: float | None, position: str):
    branch = Branch(club=garden.club, tree=garden.tree, label="B", height_mm=height)
    assert position_of(garden.tree, branch) == position


def test_marks_that_come_early_bring_the_clock_forward_and_clean_looks_push_it_back(garden: Garden):
    assert club_clock(garden.club, "G03").factor == 1
    wire = garden.wire("W1")
    garden.look(wire, 20, "snug")
    assert club_clock(garden.club, "G03").factor > 1
    garden.marked_early(3)
    found = club_clock(garden.club, "G03")
    assert (found.factor < 1, found.seen, found.marked) == (True, 4, 3)


def test_the_dates_follow_only_once_enough_wires_were_seen_to_mark(garden: Garden):
    usual = look_date("G03", ON, southern=False)
    garden.marked_early(FEWEST_MARKS - 1)
    assert garden.wire("W1").look_on == usual
    garden.look(garden.wire("M9"), 4, "marking")
    wire = garden.wire("W2")
    assert wire.look_on is not None
    assert wire.look_on < usual
    factor = club_clock(garden.club, "G03").factor
    assert wire.look_on == look_date("G03", ON, southern=False, factor=factor)
    line = first_look(wire, garden.club, ON).lines[1]
    assert (line.value, line.trust) == (factor, "learned")


def test_a_mark_found_after_a_winter_in_which_nothing_grew_has_no_interval(garden: Garden):
    wire = garden.wire("W1", on=date(2026, 11, 1))
    Look.objects.create(club=garden.club, wire=wire, on=date(2026, 12, 1), seen="marking")
    assert club_clock(garden.club, "G03").marked == 0


def test_each_group_that_was_looked_at_has_a_clock_and_no_other_club_s(garden: Garden):
    garden.marked_early(1)
    Garden().marked_early(2)
    [(name, found)] = club_clocks(garden.actor)
    assert (name.startswith("Juniper"), found.seen) == (True, 1)


def test_a_day_to_look_that_the_clock_does_not_give_is_said_to_be_set_otherwise(garden: Garden):
    by_clock = garden.wire("W1")
    by_hand = garden.wire("W2", look_on=date(2027, 5, 10))
    assert OTHERWISE not in first_look(by_clock, garden.club, ON).notes
    assert OTHERWISE in first_look(by_hand, garden.club, ON).notes
    garden.marked_early(FEWEST_MARKS)
    # The clock moved; the day of a wire that was on before it did stays.
    assert OTHERWISE in first_look(by_clock, garden.club, ON).notes


def test_growing_weeks_that_reach_past_a_year_are_said_to_be_cut_short(garden: Garden):
    assert CAPPED not in first_look(garden.wire("W1"), garden.club, ON).notes
    for n in range(FEWEST_MARKS):
        wire = garden.wire(f"M{n}")
        garden.look(wire, 75, "snug")
        garden.look(wire, 105, "marking")
    low = Branch.objects.create(club=garden.club, tree=garden.tree, label="B1", height_mm=100)
    late = garden.wire("W2", branch_id=low.pk, metal="aluminium", fit="loose")
    assert late.look_on == ON + timedelta(days=365)
    assert CAPPED in first_look(late, garden.club, ON).notes
