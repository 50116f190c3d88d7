"""What nobody knows of a tree: when the work of every few years was last done."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, timedelta

from collection.craft.due import due
from collection.craft.due_types import Question, TreeInput
from collection.craft.rule_types import TreeFacts
from collection.craft.season import ProgrammeRow
from collection.models import Club, Tree
from collection.queries.programme import climate_of, programme_of
from collection.queries.season_inputs import tree_input, tree_inputs, trees_of

# A window of each such row lies within this stretch of days.
AHEAD = timedelta(days=366)


def questions_of(club: Club, today: date, tree_ids: Iterable[int] | None = None) -> dict[int, list[Question]]:
    """The open questions of the club's trees, or of the given ones: one for each tree and task."""
    trees = trees_of(club.pk)
    if tree_ids is not None:
        wanted = set(tree_ids)
        trees = [tree for tree in trees if tree.pk in wanted]
    rows = _rows(club)
    # A larger pot stands in for a repot, so it is read as well.
    return _asked(club, rows, tree_inputs(club.pk, trees, {row.task for row in rows} | {"UP_POT"}), today)


def questions_on(club: Club, tree: Tree, facts: TreeFacts, today: date) -> list[Question]:
    """The open questions of one tree of which the facts are known."""
    if tree.archived_at is not None:
        return []
    # Wire asks for looks only, and those are no questions.
    inputs = [tree_input(tree, facts, has_wire=False)]
    return _asked(club, _rows(club), inputs, today).get(tree.pk, [])


def _rows(club: Club) -> list[ProgrammeRow]:
    return [row for row in programme_of(club.pk) if row.every.kind == "years"]


def _asked(
    club: Club, rows: list[ProgrammeRow], inputs: list[TreeInput], today: date
) -> dict[int, list[Question]]:
    found: dict[int, list[Question]] = defaultdict(list)
    asked: set[tuple[int, str]] = set()
    for question in due(inputs, rows, climate_of(club), today=today, until=today + AHEAD).questions:
        if (question.tree, question.task) not in asked:
            asked.add((question.tree, question.task))
            found[question.tree].append(question)
    return dict(found)
