"""Branches drawn on a tree."""

from __future__ import annotations

from typing import Any

from api.fields import Body, Choice, Id, Number, Text, Whole, optional
from api.operations import Asked, Noun, edits, makes, reads
from api.shapes import shown
from api.words import STAGES
from collection.queries.records import trees as records
from collection.queries.slices import Slice
from collection.usecases import branches

SIZE = {"required": False, "allow_null": True, "min_value": 0.001, "max_value": 99_999}
UNKNOWN = {"required": False, "allow_null": True}


class BranchFields(Body):
    """A branch; ``clock`` is its place seen from above, 12 at the back."""

    label = Text(max_length=20)
    parent_id = Id(**UNKNOWN)
    place = Text(required=False, allow_blank=True, max_length=60)
    clock = Whole(**UNKNOWN, min_value=1, max_value=12)
    height_mm = Number(**SIZE)
    diameter_mm = Number(**SIZE)
    length_mm = Number(**SIZE)
    side_branches = Whole(required=False, min_value=0, max_value=1_000)
    stage = Choice(choices=STAGES, required=False)


BranchChanges = optional(BranchFields, "BranchChanges")


class Branches(Noun):
    noun = "branches"

    @reads(shown(records.BranchRecord), paged=True)
    def get(self, asked: Asked, tree_id: int) -> Slice[Any]:
        """Branches of a tree by label."""
        return records.tree_branches(asked.actor, tree_id, asked.wanted)

    @makes(shown(records.BranchRecord), body=BranchFields, at="api-branch")
    def post(self, asked: Asked, tree_id: int) -> records.BranchRecord:
        """Draw a branch."""
        branch = branches.add_branch(actor=asked.actor, tree_id=tree_id, **asked.body)
        return records.branch_record(asked.actor, branch)


class Branch(Noun):
    noun = "branches"

    @reads(shown(records.BranchRecord))
    def get(self, asked: Asked, branch_id: int) -> records.BranchRecord:
        """One branch."""
        return records.branch_record(asked.actor, branch_id)

    @edits(shown(records.BranchRecord), body=BranchChanges)
    def patch(self, asked: Asked, branch_id: int) -> records.BranchRecord:
        """Change what is known of a branch."""
        branches.change_branch(actor=asked.actor, branch_id=branch_id, version=asked.version, **asked.body)
        return records.branch_record(asked.actor, branch_id)

    @edits(None)
    def delete(self, asked: Asked, branch_id: int) -> None:
        """Take a branch off the drawing."""
        branches.remove_branch(actor=asked.actor, branch_id=branch_id, version=asked.version)
