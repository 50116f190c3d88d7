"""What the rules need to know of trees, read for many trees in a constant number of queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date

from collection.craft.quantities import ORDERS
from collection.craft.rule_types import Done, TreeFacts
from collection.craft.tasks import SHOW
from collection.models import Count, SittingTask, Tree, TreeEvent, TreeSign, Wire
from collection.queries.clock import local

# Whether wire is on an order of branches, 1 or 0, as it is counted.
WIRED = {order: f"{order}_wired" for order in ORDERS}
NOT_SOUND = frozenset({"weak", "sick", "imported", "collected"})


def history_of(tree_ids: Iterable[int], tasks: Collection[str] | None = None) -> dict[int, tuple[Done, ...]]:
    """Work finished on each tree, or only some tasks, oldest first; corrected sittings are left out."""
    rows = (
        SittingTask.objects.filter(sitting__tree_id__in=list(tree_ids), finished=True)
        .filter(sitting__corrected_by=None)
        .order_by("sitting__ended", "id")
        .values_list(
            "sitting__tree_id",
            "task",
            "sitting__ended",
            "sitting__club__zone",
            "job__subject",
            "job__occurrence",
        )
    )
    if tasks is not None:
        rows = rows.filter(task__in=tasks)
    found: dict[int, list[Done]] = defaultdict(list)
    for tree, task, ended, zone, subject, occurrence in rows:
        found[tree].append(Done(task, local(ended, zone).date(), subject or "", occurrence or 1))
    return {tree: tuple(done) for tree, done in found.items()}


def journeys_of(tree_ids: Iterable[int]) -> dict[int, tuple[Done, ...]]:
    """Each tree's days at shows, past and to come: hard work keeps its distance from a journey."""
    rows = TreeEvent.objects.filter(tree_id__in=list(tree_ids), kind="show").order_by("on", "id")
    found: dict[int, tuple[Done, ...]] = defaultdict(tuple)
    for tree, on in rows.values_list("tree_id", "on"):
        found[tree] += (Done(SHOW, on),)
    return found


def facts_of(trees: Iterable[Tree], tasks: Collection[str] | None = None) -> dict[int, TreeFacts]:
    """Facts of each tree by its id, in three queries; ``tasks`` leaves other work out of the history."""
    rows = list(trees)
    ids = [tree.pk for tree in rows]
    history, journeys = history_of(ids, tasks), journeys_of(ids)
    signs: dict[int, dict[str, date]] = defaultdict(dict)
    for tree, sign, seen in (
        TreeSign.objects.filter(tree_id__in=ids).order_by("seen_on").values_list("tree_id", "sign", "seen_on")
    ):
        signs[tree][sign] = seen
    return {
        tree.pk: TreeFacts(
            group=tree.group,
            stage=tree.stage,
            weak=tree.condition in NOT_SOUND,
            collected=tree.condition == "collected",
            height_cm=tree.height_mm / 10 if tree.height_mm else None,
            history=(*history.get(tree.pk, ()), *journeys.get(tree.pk, ())),
            signs=dict(signs[tree.pk]),
        )
        for tree in rows
    }


def last_done(history: Iterable[Done]) -> dict[str, date]:
    """The newest day of each task."""
    return {done.task: done.on for done in sorted(history, key=lambda done: done.on)}


def trees_with_wire(club_id: int) -> frozenset[int]:
    """Trees with wire on: written down wire by wire, or counted as wired and not since counted as free."""
    wires = Wire.objects.filter(club_id=club_id, off=None).values_list("tree_id", flat=True)
    newest: dict[tuple[int, str], float] = {}
    rows = Count.objects.filter(club_id=club_id, kind__in=WIRED.values()).order_by("on", "id")
    for tree, kind, amount in rows.values_list("tree_id", "kind", "amount"):
        newest[tree, kind] = amount
    return frozenset(wires) | {tree for (tree, _), amount in newest.items() if amount}
