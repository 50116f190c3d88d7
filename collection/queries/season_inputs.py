"""A club's trees as the season sees them, in a constant number of queries."""

from __future__ import annotations

from collections.abc import Collection

from collection.craft.due_types import SECOND_PASS, TreeInput
from collection.craft.rule_types import TreeFacts
from collection.models import Tree
from collection.queries.facts import NOT_SOUND, facts_of, trees_with_wire


def trees_of(club_id: int) -> list[Tree]:
    """Trees in the collection now: not archived, by accession number."""
    rows = Tree.objects.filter(club_id=club_id, archived_at=None)
    return list(rows.select_related("bench").order_by("accession"))


def tree_inputs(
    club_id: int, trees: list[Tree] | None = None, tasks: Collection[str] | None = None
) -> list[TreeInput]:
    """Every tree of the club, or the given ones, with its last work (or only some tasks), signs and wire."""
    trees = trees_of(club_id) if trees is None else trees
    facts, wired = facts_of(trees, tasks), trees_with_wire(club_id)
    return [tree_input(tree, facts[tree.pk], has_wire=tree.pk in wired) for tree in trees]


def tree_input(tree: Tree, facts: TreeFacts, *, has_wire: bool) -> TreeInput:
    """One tree as the season sees it, from what is known of it; its bench is read when it has one."""
    last = {}
    for done in sorted(facts.history, key=lambda d: d.on):
        name = SECOND_PASS if (done.task, done.occurrence) == ("DECANDLE", 2) else done.task
        last[name] = done.on
    return TreeInput(
        id=tree.pk,
        group=tree.group,
        stage=tree.stage,
        height_cm=tree.height_mm / 10 if tree.height_mm else None,
        bench=tree.bench_id,
        last_done=last,
        has_wire=has_wire,
        weak=tree.condition in NOT_SOUND,
        collected=tree.condition == "collected",
        created=tree.acquired_on,
        count=tree.batch or 1,
        signs=facts.signs,
        weeks_later=tree.bench.weeks_later if tree.bench else 0,
    )
