"""Wire for a tree, branch by branch, and for the jobs of a day, with what the rack is short of."""

from __future__ import annotations

from collections.abc import Iterable
from types import SimpleNamespace

from django.urls import reverse

from collection.craft.wire_metal import METALS
from collection.queries.labels import counted, day, task_name
from collection.queries.speech import listed
from collection.queries.wire_needed import METAL_SOURCE, DayWire, Piece, ToBuy, WireNeeded
from collection.web.pages.parts import Action, Cautions, Tag, lead, number_of, page

CAUTIONS = Cautions(wire=True)
WITH_OFFCUT = "Metres and grams hold a tenth for offcuts. Alloy and coating move the weight by about 3 %."


def needed_page(found: WireNeeded) -> SimpleNamespace:
    """Everything ``wire/needed.html`` reads."""
    here = reverse("wire-needed", args=[found.tree_id])
    others = [metal for metal in METALS if metal != found.metal]
    return page(
        title="Wire for this tree",
        tag=Tag(found.accession, reverse("tree", args=[found.tree_id])),
        name=found.title,
        lead=lead(_said(found)),
        actions=[
            *(Action(f"In {metal} instead", f"{here}?metal={metal}", plain=True) for metal in others),
            Action("Draw its branches", reverse("tree-branches", args=[found.tree_id]), plain=True),
            Action("Count its branches", reverse("tree-counts", args=[found.tree_id]), plain=True),
        ],
        drawn=[_piece(piece) for piece in found.pieces if piece.drawn],
        counted=[_piece(piece) for piece in found.pieces if not piece.drawn],
        left_out=found.left_out,
        notes=[*found.assumed, *_notes(found.pieces)],
        buy=_buy(found.to_buy),
        cautions=CAUTIONS,
        foot_left=METAL_SOURCE,
        foot_right="",
    )


def day_page(found: DayWire) -> SimpleNamespace:
    """Everything ``wire/day.html`` reads."""
    back = Action("Back to the day", reverse("day", args=[found.workday_id]), plain=True)
    return page(
        title=f"Wire for {day(found.date)}",
        lead=lead(_day_said(found)),
        actions=[back, Action("Wire on the rack", reverse("wire-stock"), plain=True)],
        trees=[
            SimpleNamespace(
                tag=Tag(tree.accession, reverse("tree", args=[tree.tree_id])),
                work=listed([task_name(task) for task in tree.tasks]),
                metal=tree.metal,
                metres=f"{tree.metres:.1f} m",
                grams=f"{tree.grams:,.0f} g",
                left_out=f"{counted(tree.left_out, 'branch', 'branches')} left out" if tree.left_out else "",
                url=reverse("wire-needed", args=[tree.tree_id]),
            )
            for tree in found.trees
        ],
        buy=_buy(found.to_buy),
        cautions=CAUTIONS if found.trees else None,
        foot_left=METAL_SOURCE,
        foot_right=WITH_OFFCUT,
    )


def _said(found: WireNeeded) -> str:
    if not found.pieces:
        return "Nothing is known of its branches yet. Count them or draw them, and the wire is worked out."
    return f"About {found.metres:.1f} m of {found.metal}, {found.grams:,.0f} g, for branches without wire."


def _day_said(found: DayWire) -> str:
    if not found.planned:
        return "There is no plan for this day yet. Plan it, and the wire for its jobs is listed here."
    if not found.trees:
        return "Nothing is wired on this day."
    short = sum(line.short_m > 0 for line in found.to_buy)
    if not short:
        return "The rack has enough for every tree that is wired."
    return f"The rack is short of {counted(short, 'kind', 'kinds')} of wire. Buy what the last column says."


def _piece(piece: Piece) -> SimpleNamespace:
    return SimpleNamespace(
        where=piece.where[0].upper() + piece.where[1:],
        times=f"{piece.times} x" if piece.times > 1 else "",
        wire=f"{piece.gauge_mm:g} mm" + (", two side by side" if piece.wires == 2 else ""),
        metres=number_of(piece.metres),
        grams=f"{piece.grams:,.0f} g",
        notes=piece.notes,
    )


def _notes(pieces: Iterable[Piece]) -> list[str]:
    return [WITH_OFFCUT] if any(pieces) else []


def _buy(lines: tuple[ToBuy, ...]) -> list[SimpleNamespace]:
    """Rows of ``wire/_buy.html``."""
    return [
        SimpleNamespace(
            wire=f"{line.gauge_mm:g} mm {line.metal}",
            metres=f"{line.needed_m:.1f} m",
            grams=number_of(line.needed_g),
            rack=f"{line.stock_g:,.0f} g",
            short=number_of(line.short_g) if line.short_m > 0 else None,
            short_m=f"{line.short_m:.1f} m" if line.short_m > 0 else "",
        )
        for line in lines
    ]
