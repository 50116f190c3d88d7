"""Wire and guy wires on trees, and looks at them."""

from __future__ import annotations

from typing import Any

from api.fields import Body, Choice, Day, Id, Number, Text, YesNo
from api.operations import Asked, Noun, makes, reads, sets
from api.shapes import shown
from api.words import FITS, METALS, SEEN
from collection.queries.records import gear as records
from collection.queries.records import wire_clock as clock_records
from collection.queries.records import wire_needed as needed_records
from collection.queries.slices import Slice
from collection.usecases import gear, trees

UNKNOWN = {"required": False, "allow_null": True}


class GearQuery(Body):
    """Which wires."""

    tree = Id(required=False)
    on_now = YesNo(required=False, help_text="Only wire that is on, or only wire that came off.")
    look_by = Day(required=False, help_text="Only wire to be looked at by this day.")


class NewWire(Body):
    """Wire put on a tree; without a look date the wire clock gives one."""

    tree_id = Id()
    branch_id = Id(**UNKNOWN)
    label = Text(max_length=20)
    length_m = Number(min_value=0.01, max_value=200)
    gauge_mm = Number(min_value=0.3, max_value=12)
    metal = Choice(choices=METALS)
    fit = Choice(choices=FITS, required=False)
    on = Day()
    look_on = Day(**UNKNOWN)


class Wires(Noun):
    noun = "wires"

    @reads(shown(records.WireRecord), query=GearQuery, paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Wire on the club's trees."""
        return records.wire_records(asked.actor, asked.wanted, records.GearAsked(**asked.query))

    @makes(shown(records.WireRecord), body=NewWire, at="api-wire")
    def post(self, asked: Asked) -> records.WireRecord:
        """Write down wire put on a tree."""
        wire = trees.put_wire_on(actor=asked.actor, **asked.body)
        return records.wire_record(asked.actor, wire)


class Wire(Noun):
    noun = "wires"

    @reads(shown(records.WireRecord))
    def get(self, asked: Asked, wire_id: int) -> records.WireRecord:
        """One wire."""
        return records.wire_record(asked.actor, wire_id)


class Off(Body):
    """The day it came off."""

    on = Day()


class WireOff(Noun):
    noun = "wires"

    @makes(shown(records.WireRecord), body=Off)
    def post(self, asked: Asked, wire_id: int) -> records.WireRecord:
        """Wire came off."""
        trees.take_wire_off(actor=asked.actor, wire_id=wire_id, **asked.body)
        return records.wire_record(asked.actor, wire_id)


class NewLook(Body):
    """What was seen of a wire, and when to look next; without that the wire clock says."""

    on = Day()
    seen = Choice(choices=SEEN)
    look_next = Day(**UNKNOWN)


class WireLooks(Noun):
    noun = "wires"

    @reads(shown(records.LookRecord), paged=True)
    def get(self, asked: Asked, wire_id: int) -> Slice[Any]:
        """Looks at a wire, newest first."""
        return records.looks_at_wire(asked.actor, wire_id, asked.wanted)

    @makes(shown(records.WireRecord), body=NewLook)
    def post(self, asked: Asked, wire_id: int) -> records.WireRecord:
        """Write down a look at a wire."""
        trees.look(actor=asked.actor, wire_id=wire_id, **asked.body)
        return records.wire_record(asked.actor, wire_id)


class NewGuy(Body):
    """A guy wire put on a tree."""

    tree_id = Id()
    branch_id = Id(**UNKNOWN)
    label = Text(max_length=20)
    anchor = Text(required=False, allow_blank=True, max_length=60)
    gauge_mm = Number(min_value=0.3, max_value=12)
    metal = Choice(choices=METALS)
    on = Day()
    look_on = Day(**UNKNOWN)


class Guys(Noun):
    noun = "guys"

    @reads(shown(records.GuyRecord), query=GearQuery, paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Guy wires on the club's trees."""
        return records.guy_records(asked.actor, asked.wanted, records.GearAsked(**asked.query))

    @makes(shown(records.GuyRecord), body=NewGuy, at="api-guy")
    def post(self, asked: Asked) -> records.GuyRecord:
        """Write down a guy wire."""
        guy = trees.add_guy(actor=asked.actor, **asked.body)
        return records.guy_record(asked.actor, guy)


class Guy(Noun):
    noun = "guys"

    @reads(shown(records.GuyRecord))
    def get(self, asked: Asked, guy_id: int) -> records.GuyRecord:
        """One guy wire."""
        return records.guy_record(asked.actor, guy_id)


class GuyOff(Noun):
    noun = "guys"

    @makes(shown(records.GuyRecord), body=Off)
    def post(self, asked: Asked, guy_id: int) -> records.GuyRecord:
        """A guy wire came off."""
        gear.take_guy_off(actor=asked.actor, guy_id=guy_id, **asked.body)
        return records.guy_record(asked.actor, guy_id)


class GuyLooks(Noun):
    noun = "guys"

    @reads(shown(records.LookRecord), paged=True)
    def get(self, asked: Asked, guy_id: int) -> Slice[Any]:
        """Looks at a guy wire, newest first."""
        return records.looks_at_guy(asked.actor, guy_id, asked.wanted)

    @makes(shown(records.GuyRecord), body=NewLook)
    def post(self, asked: Asked, guy_id: int) -> records.GuyRecord:
        """Write down a look at a guy wire; the next one follows after a fortnight unless a day is given."""
        trees.look_at_guy(actor=asked.actor, guy_id=guy_id, **asked.body)
        return records.guy_record(asked.actor, guy_id)


class MetalQuery(Body):
    """Which metal; without one, what suits the tree's species group."""

    metal = Choice(choices=METALS, required=False)


class WireNeeded(Noun):
    noun = "trees"

    @reads(shown(needed_records.WireNeededRecord), query=MetalQuery)
    def get(self, asked: Asked, tree_id: int) -> needed_records.WireNeededRecord:
        """The wire for every branch of a tree that carries none yet, piece by piece, against the rack."""
        return needed_records.wire_needed_record(asked.actor, tree_id, **asked.query)


class DayWire(Noun):
    noun = "workdays"

    @reads(shown(needed_records.DayWireRecord))
    def get(self, asked: Asked, workday_id: int) -> needed_records.DayWireRecord:
        """The wire for the wiring jobs of a day's plan against the rack."""
        return needed_records.day_wire_record(asked.actor, workday_id)


class WireClocks(Noun):
    noun = "wires"

    @reads(shown(clock_records.ClocksRecord))
    def get(self, asked: Asked) -> clock_records.ClocksRecord:
        """When wire bites, by species group, fitted to the club's own looks."""
        return clock_records.clock_records(asked.actor)


class WireClock(Noun):
    noun = "wires"

    @reads(shown(clock_records.WireClockRecord))
    def get(self, asked: Asked, wire_id: int) -> clock_records.WireClockRecord:
        """How the day of a wire's first look was found; 404 once it is off."""
        return clock_records.wire_clock_record(asked.actor, wire_id, today=asked.today)


class OnRack(Body):
    """How much wire of a kind is on the rack."""

    metal = Choice(choices=METALS)
    gauge_mm = Number(min_value=0.3, max_value=12)
    grams = Number(min_value=0, max_value=1_000_000)


class WireStock(Noun):
    noun = "wire-stock"

    @reads(shown(records.StockRecord), paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Wire on the club's rack."""
        return records.stock_records(asked.actor, asked.wanted)

    @sets(shown(records.StockRecord), body=OnRack)
    def put(self, asked: Asked) -> records.StockRecord:
        """Write down how much wire of a metal and thickness is on the rack."""
        stock = gear.set_stock(actor=asked.actor, **asked.body)
        return records.stock_record(asked.actor, stock)
