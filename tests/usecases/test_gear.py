"""Wire that marks becomes an urgent job, once; taking it off ends the job; guys and the rack."""

from __future__ import annotations

from datetime import date

import pytest

from collection.models import Change, Guy, Job, WireStock
from collection.queries.errors import Refused
from collection.queries.gear import grams_a_metre, next_label, on_trees, stock
from collection.usecases import gear, trees
from tests.factories import MemberFactory, SiteFactory, TreeFactory, actor_of, coordinator

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 3)


class Wired:
    """A tree of 600 mm with wire W1 on its apex and a guy G1."""

    def __init__(self) -> None:
        self.site = SiteFactory()
        self.planner = coordinator(self.site.club)
        self.tree = TreeFactory(site=self.site, height_mm=600.0)
        self.apex = self.tree.branches.create(club=self.site.club, label="Apex", height_mm=580.0)
        kind = {"gauge_mm": 2.0, "metal": "copper", "on": date(2026, 10, 1)}
        self.wire = trees.put_wire_on(
            actor=self.planner, tree_id=self.tree.pk, label="W1", length_m=1.0, branch_id=self.apex.pk, **kind
        )
        self.guy = trees.add_guy(actor=self.planner, tree_id=self.tree.pk, label="G1", **kind)

    def look(self, seen: str, on: date = TODAY) -> None:
        trees.look(actor=self.planner, wire_id=self.wire, on=on, seen=seen)

    def jobs(self) -> list[tuple[str, date, date, int]]:
        rows = Job.objects.filter(task="WIRE_OFF").order_by("id")
        return [(j.state, j.opens, j.closes, j.priority) for j in rows]


def test_wire_that_marks_is_due_to_come_off_at_once_and_once_only():
    made = Wired()
    made.look("snug", date(2027, 2, 1))
    assert made.jobs() == []
    made.look("marking")
    made.look("marking", date(2027, 3, 5))
    assert made.jobs() == [("open", TODAY, date(2027, 3, 10), 5)]
    job = Job.objects.get(task="WIRE_OFF")
    assert job.estimate is not None
    assert Change.objects.filter(table="job", row=job.pk).exists()


def test_taking_the_wire_off_ends_the_job():
    made = Wired()
    made.look("marking")
    trees.take_wire_off(actor=made.planner, wire_id=made.wire, on=date(2027, 3, 4))
    job = Job.objects.get(task="WIRE_OFF")
    assert (job.state, job.ended_on) == ("done", date(2027, 3, 4))


def test_a_guy_that_marks_brings_no_wire_to_take_off():
    made = Wired()
    trees.look_at_guy(actor=made.planner, guy_id=made.guy, on=TODAY, seen="marking")
    assert made.jobs() == []


def test_a_guy_comes_off_and_not_before_it_went_on():
    made = Wired()
    with pytest.raises(Refused) as refused:
        gear.take_guy_off(actor=made.planner, guy_id=made.guy, on=date(2026, 9, 1))
    assert refused.value.reason.code == "wire_off_early"
    gear.take_guy_off(actor=made.planner, guy_id=made.guy, on=TODAY)
    assert Guy.objects.get().off == TODAY
    with pytest.raises(Refused) as refused:
        gear.take_guy_off(actor=made.planner, guy_id=made.guy, on=TODAY)
    assert refused.value.reason.code == "not_found"


def test_another_clubs_guy_is_no_guy():
    made = Wired()
    with pytest.raises(Refused) as refused:
        gear.take_guy_off(actor=coordinator(), guy_id=made.guy, on=TODAY)
    assert refused.value.kind == "not_found"


@pytest.mark.parametrize(
    ("fields", "code"),
    [({"metal": "tin"}, "metal_unknown"), ({"gauge_mm": 0.1}, "wire_size"), ({"grams": -1.0}, "stock_range")],
)
def test_a_rack_that_cannot_be_is_refused(fields: dict, code: str):
    wanted = {"metal": "copper", "gauge_mm": 2.0, "grams": 500.0} | fields
    with pytest.raises(Refused) as refused:
        gear.set_stock(actor=coordinator(), **wanted)
    assert refused.value.reason.code == code


def test_the_rack_holds_one_weight_of_a_kind_and_a_member_does_not_write_it():
    planner = coordinator()
    for grams in (500.0, 281.5):
        gear.set_stock(actor=planner, metal="copper", gauge_mm=2.0, grams=grams)
    assert WireStock.objects.get().version == 2
    [row] = stock(planner)
    # 2.0 mm copper weighs 28.15 g a metre.
    assert grams_a_metre("copper", 2.0) == pytest.approx(28.15, abs=0.01)
    assert row.metres == pytest.approx(10.0, abs=0.01)
    member = actor_of(MemberFactory(club_id=planner.club_id))
    with pytest.raises(Refused) as refused:
        gear.set_stock(actor=member, metal="copper", gauge_mm=2.0, grams=1.0)
    assert refused.value.reason.code == "coordinators_only"


def test_late_looks_come_first_then_by_day_and_the_apex_is_flagged():
    made = Wired()
    other = TreeFactory(site=made.site, height_mm=600.0)
    kind = {"gauge_mm": 2.0, "metal": "copper", "on": date(2026, 10, 1), "length_m": 1.0}
    for label, day in (("W2", date(2027, 5, 1)), ("W3", date(2027, 3, 2)), ("W4", date(2027, 3, 3))):
        trees.put_wire_on(actor=made.planner, tree_id=other.pk, label=label, look_on=day, **kind)
    rows = on_trees(made.planner, today=TODAY)
    assert [(row.label, row.late) for row in rows if row.label in ("W2", "W3", "W4")] == [
        ("W3", True),
        ("W4", False),
        ("W2", False),
    ]
    assert rows[0].label == "W3"
    assert {row.label: row.apex for row in rows} == {
        "W1": True, "G1": False, "W2": False, "W3": False, "W4": False,
    }  # fmt: skip
    assert rows[-1].label == "G1"  # no day: after every gale


def test_the_next_label_is_the_first_that_is_free():
    made = Wired()
    assert next_label(made.planner, made.tree.pk, guy=False) == "W2"
    assert next_label(made.planner, made.tree.pk, guy=True) == "G2"
    trees.take_wire_off(actor=made.planner, wire_id=made.wire, on=TODAY)
    assert next_label(made.planner, made.tree.pk, guy=False) == "W1"
