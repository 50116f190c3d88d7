"""Wire and guy wires on trees, and looks at them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from django.db.models import QuerySet

from collection.models import Guy, Look, Wire, WireStock
from collection.queries.access import Actor
from collection.queries.errors import not_found
from collection.queries.records.base import record, records
from collection.queries.slices import Slice, Wanted

Metal = Literal["copper", "aluminium"]


@dataclass(frozen=True, slots=True)
class WireRecord:
    """Wire wound on a branch or trunk."""

    id: int
    version: int
    tree_id: int
    branch_id: int | None
    label: str
    length_m: float
    gauge_mm: float
    metal: Metal
    fit: Literal["snug", "loose"]
    on: date
    off: date | None
    look_on: date | None


@dataclass(frozen=True, slots=True)
class GuyRecord:
    """A straight wire that pulls a branch to an anchor."""

    id: int
    version: int
    tree_id: int
    branch_id: int | None
    label: str
    anchor: str
    gauge_mm: float
    metal: Metal
    on: date
    off: date | None
    look_on: date | None


@dataclass(frozen=True, slots=True)
class LookRecord:
    """Somebody looked at a wire or a guy wire."""

    id: int
    wire_id: int | None
    guy_id: int | None
    on: date
    seen: Literal["loose", "snug", "marking"]
    by_id: int | None


@dataclass(frozen=True, slots=True)
class StockRecord:
    """Wire of a metal and thickness on the club's rack, in grams."""

    id: int
    version: int
    metal: Metal
    gauge_mm: float
    grams: float


@dataclass(frozen=True, slots=True)
class GearAsked:
    """Which wires: on a tree, still on, to be looked at by a day."""

    tree: int | None = None
    on_now: bool | None = None
    look_by: date | None = None


def wire_records(actor: Actor, wanted: Wanted, asked: GearAsked) -> Slice[WireRecord]:
    """Wire of the club by id."""
    return records(WireRecord, _asked(Wire.objects.filter(club_id=actor.club_id), asked), ("id",), wanted)


def guy_records(actor: Actor, wanted: Wanted, asked: GearAsked) -> Slice[GuyRecord]:
    """Guy wires of the club by id."""
    return records(GuyRecord, _asked(Guy.objects.filter(club_id=actor.club_id), asked), ("id",), wanted)


def _asked(rows: QuerySet[Wire] | QuerySet[Guy], asked: GearAsked) -> QuerySet[Wire] | QuerySet[Guy]:
    if asked.tree is not None:
        rows = rows.filter(tree_id=asked.tree)
    if asked.on_now is not None:
        rows = rows.filter(off__isnull=asked.on_now)
    if asked.look_by is not None:
        rows = rows.filter(look_on__lte=asked.look_by, off=None)
    return rows


def wire_record(actor: Actor, wire_id: int) -> WireRecord:
    """One wire.

    Raises:
        Refused: ``not_found``.
    """
    return record(WireRecord, _wire(actor, wire_id))


def _wire(actor: Actor, wire_id: int) -> Wire:
    row = Wire.objects.filter(club_id=actor.club_id, pk=wire_id).first()
    if row is None:
        raise not_found()
    return row


def guy_record(actor: Actor, guy_id: int) -> GuyRecord:
    """One guy wire.

    Raises:
        Refused: ``not_found``.
    """
    return record(GuyRecord, _guy(actor, guy_id))


def _guy(actor: Actor, guy_id: int) -> Guy:
    row = Guy.objects.filter(club_id=actor.club_id, pk=guy_id).first()
    if row is None:
        raise not_found()
    return row


def looks_at_wire(actor: Actor, wire_id: int, wanted: Wanted) -> Slice[LookRecord]:
    """Looks at a wire, newest first."""
    return records(LookRecord, Look.objects.filter(wire=_wire(actor, wire_id)), ("-on", "-id"), wanted)


def looks_at_guy(actor: Actor, guy_id: int, wanted: Wanted) -> Slice[LookRecord]:
    """Looks at a guy wire, newest first."""
    return records(LookRecord, Look.objects.filter(guy=_guy(actor, guy_id)), ("-on", "-id"), wanted)


def stock_records(actor: Actor, wanted: Wanted) -> Slice[StockRecord]:
    """Wire on the club's rack by id."""
    return records(StockRecord, WireStock.objects.filter(club_id=actor.club_id), ("id",), wanted)


def stock_record(actor: Actor, stock_id: int) -> StockRecord:
    """One kind of wire on the rack.

    Raises:
        Refused: ``not_found``.
    """
    row = WireStock.objects.filter(club_id=actor.club_id, pk=stock_id).first()
    if row is None:
        raise not_found()
    return record(StockRecord, row)
