"""What was counted on a tree before, kind by kind, for counting it again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from collection.models import Branch, Count
from collection.queries.access import Actor, branch_for, tree_for
from collection.queries.trees import title_of


@dataclass(frozen=True, slots=True)
class Earlier:
    """A count of an earlier day."""

    amount: float
    on: date
    guessed: bool


@dataclass(frozen=True, slots=True)
class CountSheet:
    """A tree with what was counted on it: last year's figure where there is one, else the newest."""

    tree_id: int
    accession: str
    title: str
    earlier: Mapping[str, Earlier]


@dataclass(frozen=True, slots=True)
class BranchRow:
    """A branch as it is drawn, in mm; ``clock`` from 1 to 12, the front is 6."""

    id: int
    version: int
    label: str
    place: str
    clock: int | None
    height_mm: float | None
    diameter_mm: float | None
    length_mm: float | None
    side_branches: int


@dataclass(frozen=True, slots=True)
class BranchSheet:
    """A tree with its branches, lowest first."""

    tree_id: int
    accession: str
    title: str
    height_mm: float | None
    rows: tuple[BranchRow, ...]


def count_sheet(actor: Actor, tree_id: int, *, today: date) -> CountSheet:
    """What to put beside each field when a tree is counted.

    Raises:
        Refused: ``not_found``.
    """
    tree = tree_for(actor, tree_id)
    newest: dict[str, Earlier] = {}
    before: dict[str, Earlier] = {}
    for count in Count.objects.filter(tree=tree).order_by("on", "id"):
        found = Earlier(count.amount, count.on, count.guessed)
        newest[count.kind] = found
        if count.on.year == today.year - 1:
            before[count.kind] = found
    return CountSheet(tree.pk, tree.accession, title_of(tree), newest | before)


def branch_sheet(actor: Actor, tree_id: int) -> BranchSheet:
    """The branches of a tree, lowest first.

    Raises:
        Refused: ``not_found``.
    """
    tree = tree_for(actor, tree_id)
    rows = Branch.objects.filter(tree=tree).order_by("height_mm", "label")
    return BranchSheet(tree.pk, tree.accession, title_of(tree), tree.height_mm, tuple(map(_row, rows)))


def branch_row(actor: Actor, branch_id: int) -> tuple[BranchSheet, BranchRow]:
    """One branch, with its tree and the others.

    Raises:
        Refused: ``not_found``.
    """
    branch = branch_for(actor, branch_id)
    return branch_sheet(actor, branch.tree_id), _row(branch)


def _row(branch: Branch) -> BranchRow:
    return BranchRow(
        branch.pk,
        branch.version,
        branch.label,
        branch.place,
        branch.clock,
        branch.height_mm,
        branch.diameter_mm,
        branch.length_mm,
        branch.side_branches,
    )
