"""Trees that are somewhere else for a while: lent, or at a show."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from collection.craft.reasons import Reason
from collection.models import TreeEvent


@dataclass(frozen=True, slots=True)
class Away:
    """Why a tree is not where it stands.

    Attributes:
        kind: "lent" or "show".
        until: Last day away as agreed; None when nobody said.
        where: To whom or where, "" when nobody said.
    """

    kind: str
    since: date
    until: date | None
    where: str

    @property
    def reason(self) -> Reason:
        """Why work on the tree has to wait."""
        return Reason.of("tree_away", kind=self.kind, where=self.where, until=self.until)


def away_on(tree_ids: Iterable[int], on: date) -> dict[int, Away]:
    """The trees that are away on a day; one query.

    A loan ends on the day it was agreed to end, or sooner when the tree came back.
    """
    return away_on_days(tree_ids, [on])[on]


def away_on_days(tree_ids: Iterable[int], days: Iterable[date]) -> dict[date, dict[int, Away]]:
    """The trees that are away on each of some days; one query for all of them."""
    rows = TreeEvent.objects.filter(tree_id__in=list(tree_ids), kind__in=["lent", "show", "back"])
    events = list(rows.order_by("on", "id"))
    return {on: _away(events, on) for on in days}


def _away(events: Iterable[TreeEvent], on: date) -> dict[int, Away]:
    found: dict[int, Away] = {}
    for event in events:
        if event.on > on:
            continue
        if event.kind == "back":
            found.pop(event.tree_id, None)
        elif event.until is None or event.until >= on:
            found[event.tree_id] = Away(event.kind, event.on, event.until, event.cause)
    return found


def not_back(tree_ids: Iterable[int], on: date) -> dict[int, Away]:
    """Trees on loan past the day agreed, which nobody has noted as back; one query."""
    rows = TreeEvent.objects.filter(tree_id__in=list(tree_ids), kind__in=["lent", "back", "show"])
    found: dict[int, Away] = {}
    for event in rows.filter(on__lte=on).order_by("on", "id"):
        found.pop(event.tree_id, None)
        if event.kind == "lent" and event.until and event.until < on:
            found[event.tree_id] = Away(event.kind, event.on, event.until, event.cause)
    return found
