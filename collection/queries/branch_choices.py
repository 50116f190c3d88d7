"""A tree's branches as a list to choose from."""

from __future__ import annotations

from dataclasses import dataclass

from collection.models import Branch
from collection.queries.access import Actor, tree_for
from collection.queries.trees import title_of


@dataclass(frozen=True, slots=True)
class BranchChoice:
    """A drawn branch."""

    id: int
    label: str
    place: str
    diameter_mm: float | None


@dataclass(frozen=True, slots=True)
class TreeChoice:
    """A tree with its drawn branches, lowest first."""

    id: int
    accession: str
    title: str
    branches: tuple[BranchChoice, ...]


def branches_of(actor: Actor, tree_id: int) -> TreeChoice:
    """A tree and its branches.

    Raises:
        Refused: ``not_found``.
    """
    tree = tree_for(actor, tree_id)
    rows = Branch.objects.filter(tree=tree).order_by("height_mm", "label")
    return TreeChoice(
        tree.pk,
        tree.accession,
        title_of(tree),
        tuple(BranchChoice(row.pk, row.label, row.place, row.diameter_mm) for row in rows),
    )


def words_of(branch: BranchChoice) -> str:
    """A branch in a list: "B2, left, 28 mm"."""
    thick = f"{branch.diameter_mm:.0f} mm" if branch.diameter_mm else ""
    return ", ".join(part for part in (branch.label, branch.place, thick) if part)
