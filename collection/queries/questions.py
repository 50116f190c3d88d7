"""What nobody knows of a tree: when the work of every few years was last done."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, timedelta

from collection.craft.due import due
from collection.craft.due_types import Question
from collection.models import Club, Tree
from collection.queries.programme import climate_of, programme_of
from collection.queries.season_inputs import tree_inputs, trees_of

# A window of each such row lies within this stretch of days.
AHEAD = timedelta(days=366)


def questions_of(club: Club, today: date, tree_ids: Iterable[int] | None = None) -> dict[int, list[Question]]:
    """The open questions of the club's trees, or of the given ones: one for each tree and task."""
    rows = [row for row in programme_of(club.pk) if row.every.kind == "years"]
    trees = trees_of(club.pk)
    if tree_ids is not None:
        wanted = set(tree_ids)
        trees = [tree for tree in trees if tree.pk in wanted]
    # A larger pot stands in for a repot, so it is read as well.
    inputs = tree_inputs(club.pk, trees, {row.task for row in rows} | {"UP_POT"})
    found: dict[int, list[Question]] = defaultdict(list)
    asked: set[tuple[int, str]] = set()
    for question in due(inputs, rows, climate_of(club), today=today, until=today + AHEAD).questions:
        if (question.tree, question.task) not in asked:
            asked.add((question.tree, question.task))
            found[question.tree].append(question)
    return dict(found)


def questions_on(club: Club, tree: Tree, today: date) -> list[Question]:
    """The open questions of one tree."""
    return questions_of(club, today, [tree.pk]).get(tree.pk, []) if tree.archived_at is None else []
