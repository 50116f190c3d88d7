"""What the rules need to know of trees, read for many trees in a constant number of queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from collection.craft.rule_types import Done, TreeFacts
from collection.models import SittingTask, Tree, TreeSign, Wire

NOT_SOUND = frozenset({"weak", "sick", "imported", "collected"})


def history_of(tree_ids: Iterable[int]) -> dict[int, tuple[Done, ...]]:
    """Work finished on each tree, oldest first; corrected sittings are left out."""
    rows = (
        SittingTask.objects.filter(sitting__tree_id__in=list(tree_ids), finished=True)
        .filter(sitting__corrected_by=None)
        .order_by("sitting__ended", "id")
        .values_list("sitting__tree_id", "task", "sitting__ended", "job__subject", "job__occurrence")
    )
    found: dict[int, list[Done]] = defaultdict(list)
    for tree, task, ended, subject, occurrence in rows:
        found[tree].append(Done(task, ended.date(), subject or "", occurrence or 1))
    return {tree: tuple(done) for tree, done in found.items()}


def facts_of(trees: Iterable[Tree]) -> dict[int, TreeFacts]:
    """Facts of each tree by its id, in two queries whatever the number."""
    rows = list(trees)
    ids = [tree.pk for tree in rows]
    history = history_of(ids)
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
            history=history.get(tree.pk, ()),
            signs=dict(signs[tree.pk]),
        )
        for tree in rows
    }


def last_done(history: Iterable[Done]) -> dict[str, date]:
    """The newest day of each task."""
    return {done.task: done.on for done in sorted(history, key=lambda done: done.on)}


def trees_with_wire(club_id: int) -> frozenset[int]:
    """Trees with wire on."""
    return frozenset(Wire.objects.filter(club_id=club_id, off=None).values_list("tree_id", flat=True))
