"""Counting a tree: branches by order, how thick they are, whether wire is on them, and everything else."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.db import transaction

from collection.craft.quantities import KINDS
from collection.models import Count
from collection.queries.access import Actor, tree_for
from collection.queries.errors import Refused
from collection.queries.facts import WIRED
from collection.queries.quantities import THICKNESS
from collection.usecases.estimates import refresh_tree

# Everything an estimate can use, a bare total of branches, and what is noted beside the counts.
COUNT_KINDS = (
    frozenset(kind for kinds in KINDS.values() for kind in kinds)
    | {"branches_total"}
    | set(THICKNESS.values())
    | set(WIRED.values())
)
MOST = 100_000
THICKEST_MM = 500


def record_counts(
    *, actor: Actor, tree_id: int, on: date, counts: Mapping[str, float], guessed: bool = False
) -> None:
    """Write down counts of a tree and work its open jobs' estimates out again.

    Raises:
        Refused: ``not_found``, ``count_kind_unknown``, ``count_range``, ``count_thickness`` or
            ``count_wired``.
    """
    tree = tree_for(actor, tree_id)
    for kind, amount in counts.items():
        _check(kind, amount)
    with transaction.atomic():
        Count.objects.bulk_create(
            Count(
                club_id=actor.club_id,
                tree=tree,
                on=on,
                kind=kind,
                amount=amount,
                guessed=guessed,
                by_id=actor.member_id,
            )
            for kind, amount in counts.items()
        )
        refresh_tree(tree)


def _check(kind: str, amount: float) -> None:
    if kind not in COUNT_KINDS:
        raise Refused("count_kind_unknown", field=kind, given=kind)
    if kind in WIRED.values() and amount not in (0, 1):
        raise Refused("count_wired", field=kind)
    if kind in THICKNESS.values() and not 0 < amount <= THICKEST_MM:
        raise Refused("count_thickness", field=kind)
    if not 0 <= amount <= MOST:
        raise Refused("count_range", field=kind, given=amount)
