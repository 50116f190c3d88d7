"""A heavy bend as lines of text: why so many people, who leads, who helps in order, who cannot and why."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from collection.queries.access import Actor, tree_by_accession
from collection.queries.bend_values import BendSheet
from collection.queries.bends import bend_sheet, bends_on_tree, heavy_bend_next
from collection.queries.errors import Refused
from collection.queries.helpers import Candidate, Helpers
from collection.queries.labels import day, in_words
from collection.queries.speech import clock

CAUTION = (
    "This ranks people. It cannot tell whether the branch will crack. "
    "Follow local rules and licensed practice; stop at the first creak."
)


def next_bend(actor: Actor, today: date) -> Iterator[str]:
    """The club's next heavy bend; nothing where none is wanted."""
    bend_id = heavy_bend_next(actor, today=today)
    if bend_id is not None:
        yield from bend_lines(bend_sheet(actor, bend_id, today=today))


def bends_of_tree(actor: Actor, accession: str, today: date) -> Iterator[str]:
    """Every heavy bend wanted on a tree.

    Raises:
        Refused: ``not_found``, or ``no_bend_on_tree``.
    """
    tree = tree_by_accession(actor, accession)
    wanted = bends_on_tree(actor, tree.pk)
    if not wanted:
        raise Refused("no_bend_on_tree", kind="not_found", tree=tree.accession)
    for bend_id in wanted:
        yield from bend_lines(bend_sheet(actor, bend_id, today=today))


def bend_lines(sheet: BendSheet) -> Iterator[str]:
    """One bend, as its page tells it to a coordinator."""
    wish, helpers = sheet.wish, sheet.helpers
    where = f", branch {wish.branch}" if wish.branch else ""
    yield ""
    yield f"Heavy bend: {wish.accession} {wish.tree_title}{where}, {wish.diameter_mm:.0f} mm"
    yield f"  Window: {day(wish.opens)} to {day(wish.closes)}. {_signed(sheet)}"
    yield f"  How it stands: {sheet.state}"
    yield f"  Why {in_words(sheet.team.crew).lower()}:"
    for trigger in sheet.triggers:
        yield f"    {trigger.words}"
    yield f"    {wish.limit}"
    if helpers is not None:
        yield from _helpers(sheet, helpers)
    yield f"  {CAUTION}"


def _signed(sheet: BendSheet) -> str:
    if sheet.sanction.held and sheet.sanction.refused:
        return f"{sheet.sanction.refused[0]} said no: {sheet.sanction.refused[1]}."
    signed = sheet.sanction.signed
    return f"Signed off by {signed}." if signed else "Nobody has signed it off yet."


def _helpers(sheet: BendSheet, found: Helpers) -> Iterator[str]:
    for why in (*found.stops, *found.lead_why):
        yield f"  Stop. {why}"
    if found.lead is not None:
        role = "Lead" if sheet.team.lead_id is not None else "Lead proposed"
        yield f"  {role}: {found.lead.name}, {found.lead.number.text}"
        yield from _reasons(found.lead)
        yield f"  Helpers in order beside {found.lead.name} (points rest on assumptions):"
    for rank, candidate in enumerate(found.helpers, start=1):
        yield f"    {rank}  {candidate.name}, {candidate.number.text}: {candidate.when}"
        yield from _reasons(candidate)
    if found.lead is not None and not found.helpers:
        yield "    Nobody is free for this yet."
    if found.left_out:
        yield "  Left out:"
    for person in found.left_out:
        yield f"    {person.name}: {' '.join(person.why)}"
    if found.no_answer:
        yield f"    {found.no_answer} more have not said yes for a day in the window."
    for held in found.days_held:
        yield f"  Not on {held}"
    if found.team and found.slot is not None:
        yield f"  First to ask: {' with '.join(found.team)}. {found.when}{_hold(found)}."


def _hold(found: Helpers) -> str:
    held = found.slot.held if found.slot is not None else None
    if held is None or found.slot is None or not found.slot.dated:
        return ""
    return f", hold from {clock(held[0])} to {clock(held[1])}"


def _reasons(candidate: Candidate) -> Iterator[str]:
    for reason in (*candidate.reasons, *candidate.terms):
        yield f"         {reason}"
