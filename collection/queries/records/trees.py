"""Trees and what is known of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from collection.models import Branch, Care, Count, Tree, TreeEvent, TreeSign
from collection.queries.access import Actor, branch_for, tree_for
from collection.queries.errors import not_found
from collection.queries.records.base import record, records
from collection.queries.register import Wanted as Narrowed
from collection.queries.register import matching
from collection.queries.slices import Slice, Wanted
from collection.queries.trees import title_of

Stage = Literal["R", "B", "F", "S"]


@dataclass(frozen=True, slots=True)
class TreeLine:
    """A tree in a list."""

    id: int
    version: int
    accession: str
    title: str
    species: str
    group: str
    stage: Stage
    site_id: int
    bench_id: int | None
    condition: Literal["sound", "weak", "sick", "collected", "imported"]
    in_collection: bool


@dataclass(frozen=True, slots=True)
class TreeRecord:
    """A tree with everything that is written down of the tree itself; lengths in mm, mass in kg."""

    id: int
    version: int
    accession: str
    title: str
    name: str
    species: str
    common_name: str
    group: str
    stage: Stage
    style: str
    batch: int | None
    height_mm: float | None
    spread_mm: float | None
    trunk_mm: float | None
    pot: str
    pot_litres: float | None
    mass_kg: float | None
    mass_weighed: bool
    site_id: int
    bench_id: int | None
    may_travel: bool
    brought_by_id: int | None
    condition: Literal["sound", "weak", "sick", "collected", "imported"]
    no_hard_work_until: date | None
    no_hard_work_why: str
    leave_alone_until: date | None
    leave_alone_why: str
    acquired_on: date | None
    note: str
    in_collection: bool


@dataclass(frozen=True, slots=True)
class TreeHappening:
    """Something that happened to a tree as a possession."""

    id: int
    kind: Literal["in", "out", "died", "lent", "back", "moved", "show"]
    on: date
    until: date | None
    cause: str
    by_id: int | None


@dataclass(frozen=True, slots=True)
class CountRecord:
    """Something counted on a tree."""

    id: int
    on: date
    kind: str
    amount: float
    guessed: bool
    by_id: int | None


@dataclass(frozen=True, slots=True)
class SignRecord:
    """A sign seen on a tree."""

    id: int
    sign: str
    seen_on: date
    by_id: int | None


@dataclass(frozen=True, slots=True)
class BranchRecord:
    """A branch; ``clock`` is its place seen from above, 12 at the back."""

    id: int
    version: int
    tree_id: int
    label: str
    parent_id: int | None
    place: str
    clock: int | None
    height_mm: float | None
    diameter_mm: float | None
    length_mm: float | None
    side_branches: int
    stage: Literal["", "R", "B", "F", "S"]


@dataclass(frozen=True, slots=True)
class CareRecord:
    """Who owns or cares for a tree, and until when the owner agrees to the season's work."""

    id: int
    version: int
    tree_id: int
    member_id: int
    role: Literal["owner", "carer"]
    consent_until: date | None
    ask_first: bool


def tree_lines(actor: Actor, wanted: Wanted, narrowed: Narrowed, *, today: date) -> Slice[TreeLine]:
    """Trees that match, by accession number."""
    return records(TreeLine, matching(actor, narrowed, today), ("accession", "id"), wanted, _worked_out)


def tree_record(actor: Actor, tree_id: int) -> TreeRecord:
    """One tree.

    Raises:
        Refused: ``not_found``.
    """
    tree = tree_for(actor, tree_id)
    return record(TreeRecord, tree, **_worked_out(tree))


def _worked_out(tree: Tree) -> dict[str, object]:
    return {"title": title_of(tree), "in_collection": tree.archived_at is None}


def tree_happenings(actor: Actor, tree_id: int, wanted: Wanted) -> Slice[TreeHappening]:
    """What happened to a tree, newest first."""
    rows = TreeEvent.objects.filter(tree=tree_for(actor, tree_id))
    return records(TreeHappening, rows, ("-on", "-id"), wanted)


def tree_counts(actor: Actor, tree_id: int, wanted: Wanted) -> Slice[CountRecord]:
    """Everything counted on a tree, newest first."""
    return records(CountRecord, Count.objects.filter(tree=tree_for(actor, tree_id)), ("-on", "-id"), wanted)


def tree_signs(actor: Actor, tree_id: int, wanted: Wanted) -> Slice[SignRecord]:
    """Signs seen on a tree, newest first."""
    rows = TreeSign.objects.filter(tree=tree_for(actor, tree_id))
    return records(SignRecord, rows, ("-seen_on", "-id"), wanted)


def tree_branches(actor: Actor, tree_id: int, wanted: Wanted) -> Slice[BranchRecord]:
    """Branches of a tree, by label."""
    return records(
        BranchRecord, Branch.objects.filter(tree=tree_for(actor, tree_id)), ("label", "id"), wanted
    )


def branch_record(actor: Actor, branch_id: int) -> BranchRecord:
    """One branch."""
    return record(BranchRecord, branch_for(actor, branch_id))


def tree_care(actor: Actor, tree_id: int, wanted: Wanted) -> Slice[CareRecord]:
    """Who owns and cares for a tree."""
    return records(CareRecord, Care.objects.filter(tree=tree_for(actor, tree_id)), ("role", "id"), wanted)


def care_record(actor: Actor, care_id: int) -> CareRecord:
    """One line of care.

    Raises:
        Refused: ``not_found``.
    """
    row = Care.objects.filter(club_id=actor.club_id, pk=care_id).first()
    if row is None:
        raise not_found()
    return record(CareRecord, row)
