"""Single branches of a tree: drawing them, changing them, and taking them off."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import IntegrityError, transaction

from collection.models import Branch, Wire
from collection.models.tree import STAGES
from collection.queries.access import Actor, branch_for, tree_for
from collection.queries.errors import Refused, not_found
from collection.usecases.edit import created, edit, remove
from collection.usecases.estimates import refresh_tree

EDITABLE = frozenset(
    {
        "clock",
        "diameter_mm",
        "height_mm",
        "label",
        "length_mm",
        "parent_id",
        "place",
        "side_branches",
        "stage",
    }
)
LARGEST_MM = {"diameter_mm": 1_000, "length_mm": 20_000, "height_mm": 20_000}


def add_branch(*, actor: Actor, tree_id: int, label: str, **fields: Any) -> int:
    """Draw a branch: label, place, clock position, height, thickness and length in mm.

    Raises:
        Refused: ``not_found``, ``branch_label_missing``, ``branch_label_taken``, ``branch_field_unknown``,
            ``branch_clock``, ``size_range`` or ``branch_side``.
    """
    tree = tree_for(actor, tree_id)
    _check(tree.pk, {"label": label, **fields})
    try:
        with transaction.atomic():
            branch = Branch.objects.create(club_id=actor.club_id, tree=tree, label=label.strip(), **fields)
            created(branch, actor, "label", "tree")
            refresh_tree(tree)
    except IntegrityError:
        raise Refused("branch_label_taken", kind="conflict", field="label", label=label) from None
    return branch.pk


def change_branch(*, actor: Actor, branch_id: int, version: int, **changes: Any) -> None:
    """Change what is known of a branch; a stale version is refused and nothing is written.

    Raises:
        Refused: as ``add_branch``, and ``stale``.
    """
    branch = branch_for(actor, branch_id)
    _check(branch.tree_id, changes, branch.pk)
    if "label" in changes:
        changes["label"] = changes["label"].strip()
    try:
        with transaction.atomic():
            edit(branch, version, changes, actor)
            refresh_tree(branch.tree)
    except IntegrityError:
        raise Refused(
            "branch_label_taken", kind="conflict", field="label", label=changes.get("label", "")
        ) from None


def remove_branch(*, actor: Actor, branch_id: int, version: int) -> None:
    """Take a branch off the drawing, because it was cut or drawn by mistake; the trail keeps its figures.

    Raises:
        Refused: ``not_found``, ``branch_has_wire`` or ``stale``.
    """
    branch = branch_for(actor, branch_id)
    tree = branch.tree
    if Wire.objects.filter(branch=branch, off=None).exists():
        raise Refused("branch_has_wire", kind="conflict", label=branch.label)
    with transaction.atomic():
        remove(branch, version, actor, *sorted({*EDITABLE, "tree_id"}))
        refresh_tree(tree)


def _check(tree_id: int, fields: Mapping[str, Any], own_id: int | None = None) -> None:
    if unknown := set(fields) - EDITABLE:
        raise Refused("branch_field_unknown", field=sorted(unknown)[0], given=sorted(unknown)[0])
    if "label" in fields and not 1 <= len(fields["label"].strip()) <= 20:
        raise Refused("branch_label_missing", field="label")
    if fields.get("clock") is not None and not 1 <= fields["clock"] <= 12:
        raise Refused("branch_clock", field="clock")
    for name, largest in LARGEST_MM.items():
        size = fields.get(name)
        if size is not None and not 0 < size <= largest:
            raise Refused("size_range", field=name, given=size)
    if not 0 <= (fields.get("side_branches") or 0) <= 1_000:
        raise Refused("branch_side", field="side_branches")
    if fields.get("stage") and fields["stage"] not in dict(STAGES):
        raise Refused("stage_unknown", field="stage", given=str(fields["stage"]))
    parent = fields.get("parent_id")
    others = Branch.objects.filter(tree_id=tree_id).exclude(pk=own_id or 0)
    if parent is not None and not others.filter(pk=parent).exists():
        raise not_found()
