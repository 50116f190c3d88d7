"""Wire wanted by a tree and by a day's jobs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from collection.queries.access import Actor
from collection.queries.wire_needed import ToBuy, day_wire, wire_needed


@dataclass(frozen=True, slots=True)
class PieceRecord:
    """A piece of wire to cut, so many times; ``each_m`` holds the offcut, ``grams`` are of all of them."""

    where: str
    drawn: bool
    times: int
    gauge_mm: float
    side_by_side: int
    each_m: float
    grams: float
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToBuyRecord:
    """One metal and thickness: wanted, on the rack, short."""

    metal: str
    gauge_mm: float
    needed_m: float
    needed_g: float
    stock_g: float
    short_g: float
    short_m: float


@dataclass(frozen=True, slots=True)
class WireNeededRecord:
    """The wire for a tree in one metal; ``left_out`` and ``assumed`` are sentences."""

    tree_id: int
    metal: str
    metres: float
    grams: float
    pieces: tuple[PieceRecord, ...]
    left_out: tuple[str, ...]
    assumed: tuple[str, ...]
    to_buy: tuple[ToBuyRecord, ...]


@dataclass(frozen=True, slots=True)
class DayTreeRecord:
    """A tree that is wired on a day; ``left_out`` branches have no wire worked out."""

    tree_id: int
    tasks: tuple[str, ...]
    metal: str
    metres: float
    grams: float
    left_out: int


@dataclass(frozen=True, slots=True)
class DayWireRecord:
    """The wire for a day's jobs; ``planned`` is false before there is a plan to read."""

    workday_id: int
    date: date
    planned: bool
    trees: tuple[DayTreeRecord, ...]
    to_buy: tuple[ToBuyRecord, ...]


def wire_needed_record(actor: Actor, tree_id: int, *, metal: str = "") -> WireNeededRecord:
    """The wire for one tree.

    Raises:
        Refused: ``not_found`` or ``metal_unknown``.
    """
    found = wire_needed(actor, tree_id, metal=metal)
    return WireNeededRecord(
        tree_id,
        found.metal,
        found.metres,
        found.grams,
        tuple(
            PieceRecord(
                piece.where,
                piece.drawn,
                piece.times,
                piece.gauge_mm,
                piece.wires,
                piece.metres.value,
                piece.grams,
                piece.notes,
            )
            for piece in found.pieces
        ),
        found.left_out,
        found.assumed,
        _to_buy(found.to_buy),
    )


def day_wire_record(actor: Actor, workday_id: int) -> DayWireRecord:
    """The wire for the jobs of a day.

    Raises:
        Refused: ``not_found``.
    """
    found = day_wire(actor, workday_id)
    trees = tuple(
        DayTreeRecord(tree.tree_id, tree.tasks, tree.metal, tree.metres, tree.grams, tree.left_out)
        for tree in found.trees
    )
    return DayWireRecord(workday_id, found.date, found.planned, trees, _to_buy(found.to_buy))


def _to_buy(lines: tuple[ToBuy, ...]) -> tuple[ToBuyRecord, ...]:
    return tuple(
        ToBuyRecord(
            line.metal,
            line.gauge_mm,
            line.needed_m,
            line.needed_g.value,
            line.stock_g,
            line.short_g.value,
            line.short_m,
        )
        for line in lines
    )
