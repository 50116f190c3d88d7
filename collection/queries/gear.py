"""Wire and guys on the club's trees by the day on which to look, and wire on the rack."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from collection.craft.bite import bites
from collection.craft.wire_metal import grams_per_metre
from collection.craft.wire_metal import metal as metal_named
from collection.models import Guy, Look, Wire, WireStock
from collection.queries.access import Actor, club_of
from collection.queries.errors import not_found
from collection.queries.opened import Opened
from collection.queries.trees import title_of
from collection.queries.wire_clock import first_look, position_of


@dataclass(frozen=True, slots=True)
class OnTree:
    """A wire or a guy on a tree, and when to look at it."""

    id: int
    guy: bool
    label: str
    tree_id: int
    accession: str
    tree_title: str
    where: str
    branch: str
    words: str
    metres: float | None
    on: date
    look_on: date | None
    late: bool
    apex: bool
    last_look: str
    every_days: int


@dataclass(frozen=True, slots=True)
class Stock:
    """Wire of one kind on the rack; metres follow from its weight."""

    id: int
    metal: str
    gauge_mm: float
    grams: float
    metres: float


def on_trees(actor: Actor, *, today: date) -> tuple[OnTree, ...]:
    """Every wire and guy that is on: late looks first, then by day, bench and tree; constant queries."""
    club = Q(club_id=actor.club_id, off=None, tree__archived_at=None)
    wires = list(Wire.objects.filter(club).select_related("tree__bench", "tree__site", "branch"))
    guys = list(Guy.objects.filter(club).select_related("tree__bench", "tree__site", "branch"))
    seen = _last_looks(actor.club_id)
    both: list[Wire | Guy] = [*wires, *guys]
    rows = [_row(row, seen, today) for row in both]
    return tuple(sorted(rows, key=_order))


def _order(row: OnTree) -> tuple[object, ...]:
    return (not row.late, row.look_on or date.max, row.where, row.accession, row.label)


def _last_looks(club_id: int) -> dict[tuple[bool, int], str]:
    found: dict[tuple[bool, int], str] = {}
    for look in Look.objects.filter(club_id=club_id).order_by("on", "id"):
        key = (look.guy_id is not None, look.guy_id or look.wire_id or 0)
        found[key] = f"{look.seen}, {look.on.day} {look.on:%b %Y}"
    return found


def _row(row: Wire | Guy, seen: dict[tuple[bool, int], str], today: date) -> OnTree:
    tree, guy = row.tree, isinstance(row, Guy)
    metres = row.length_m if isinstance(row, Wire) else None
    fit = f", {row.fit}" if isinstance(row, Wire) else " guy wire"
    return OnTree(
        row.pk,
        guy,
        row.label,
        tree.pk,
        tree.accession,
        title_of(tree),
        tree.bench.name if tree.bench else tree.site.name,
        row.branch.label if row.branch else "",
        f"{row.gauge_mm:g} mm {row.metal}{fit}",
        metres,
        row.on,
        row.look_on,
        row.look_on is not None and row.look_on < today,
        position_of(tree, row.branch) == "apex",
        seen.get((guy, row.pk), ""),
        bites()[tree.group].repeat_days,
    )


def wire_on(club_id: int, tree_ids: Iterable[int]) -> list[int]:
    """The wires that are on these trees, guys left out."""
    rows = Wire.objects.filter(club_id=club_id, tree_id__in=list(tree_ids), off=None)
    return list(rows.order_by("label", "id").values_list("pk", flat=True))


def to_take_off(actor: Actor, tree_id: int) -> tuple[tuple[bool, int, str], ...]:
    """What is on a tree and may come off: (guy, id, words), wires first."""
    found: list[tuple[bool, int, str]] = []
    for guy, table in ((False, Wire), (True, Guy)):
        rows = table._default_manager.filter(club_id=actor.club_id, tree_id=tree_id, off=None)
        for row in rows.select_related("branch").order_by("label", "id"):
            where = f", branch {row.branch.label}" if row.branch else ""
            kind = "Guy wire" if guy else "Wire"
            found.append((guy, row.pk, f"{kind} {row.label}: {row.gauge_mm:g} mm {row.metal}{where}"))
    return tuple(found)


def one_on_tree(actor: Actor, pk: int, *, guy: bool, today: date) -> OnTree:
    """One wire or guy that is still on.

    Raises:
        Refused: ``not_found``.
    """
    rows = (Guy if guy else Wire)._default_manager.filter(club_id=actor.club_id, pk=pk, off=None)
    row = rows.select_related("tree__bench", "tree__site", "branch").first()
    if row is None:
        raise not_found()
    return _row(row, _last_looks(actor.club_id), today)


def look_sum(actor: Actor, wire_id: int, *, today: date) -> Opened:
    """How the day of a wire's first look was found.

    Raises:
        Refused: ``not_found``.
    """
    rows = Wire.objects.filter(club_id=actor.club_id, pk=wire_id, off=None)
    wire = rows.select_related("tree", "branch").first()
    if wire is None:
        raise not_found()
    return first_look(wire, club_of(actor), today)


def stock(actor: Actor) -> tuple[Stock, ...]:
    """Wire on the rack, by metal and thickness."""
    rows = WireStock.objects.filter(club_id=actor.club_id).order_by("metal", "gauge_mm")
    return tuple(
        Stock(row.pk, row.metal, row.gauge_mm, row.grams, row.grams / grams_a_metre(row.metal, row.gauge_mm))
        for row in rows
    )


def grams_a_metre(metal: str, gauge_mm: float) -> float:
    """Grams of a metre of round wire, from handbook densities; alloy and coating move it by about 3 %."""
    return grams_per_metre(gauge_mm, metal_named(metal))


def next_label(actor: Actor, tree_id: int, *, guy: bool) -> str:
    """The first label not in use on a tree: W1, W2 ... or G1, G2 ..."""
    rows = (Guy if guy else Wire)._default_manager.filter(club_id=actor.club_id, tree_id=tree_id, off=None)
    taken = set(rows.values_list("label", flat=True))
    letter = "G" if guy else "W"
    return next(f"{letter}{n}" for n in range(1, len(taken) + 2) if f"{letter}{n}" not in taken)
