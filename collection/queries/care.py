"""The people of a tree, and the trees of a person, with the owner's consent."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from collection.models import Care, Member, Tree
from collection.queries.access import Actor, club_of, member_for, tree_for
from collection.queries.consent import season_ends
from collection.queries.errors import Refused
from collection.queries.people import names
from collection.queries.programme import rules_of
from collection.queries.register import natural
from collection.queries.trees import title_of


@dataclass(frozen=True, slots=True)
class CareLine:
    """One person of one tree.

    Attributes:
        waits: Work waits for his word today.
        speaks: Whoever looks may give and take back this consent.
        own: Whoever looks is this person.
    """

    id: int
    version: int
    role: str
    member_id: int
    name: str
    consent_until: date | None
    ask_first: bool
    waits: bool
    speaks: bool
    own: bool


@dataclass(frozen=True, slots=True)
class TreePeople:
    """The people of a tree.

    Attributes:
        until: The day a consent for the season runs to.
        others: Members who may be added, for those who may add one.
    """

    tree_id: int
    accession: str
    title: str
    lines: tuple[CareLine, ...]
    until: date
    others: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class OwnTree:
    """A tree in a person's list."""

    tree_id: int
    accession: str
    title: str
    where: str
    line: CareLine


@dataclass(frozen=True, slots=True)
class OwnTrees:
    """The trees somebody owns, and those he cares for."""

    member_id: int
    name: str
    own: bool
    owned: tuple[OwnTree, ...]
    cared_for: tuple[OwnTree, ...]
    until: date

    @property
    def waiting(self) -> int:
        """How many of his own trees wait for his word."""
        return sum(row.line.waits for row in self.owned)


def people_of(actor: Actor, tree_id: int, *, today: date) -> TreePeople:
    """Who owns and cares for a tree.

    Raises:
        Refused: ``not_found``.
    """
    tree = tree_for(actor, tree_id)
    rows = Care.objects.filter(tree=tree).select_related("member").order_by("-role", "member__name", "id")
    return TreePeople(
        tree_id=tree.pk,
        accession=tree.accession,
        title=title_of(tree),
        lines=tuple(_line(actor, row, today) for row in rows),
        until=season_ends(rules_of(club_of(actor)), today),
        others=tuple(names(actor, today)) if actor.plans else (),
    )


def trees_of_member(actor: Actor, member_id: int, *, today: date) -> OwnTrees:
    """A person's trees, for himself and for coordinators, in a constant number of queries.

    Raises:
        Refused: ``not_found`` or ``own_trees_only``.
    """
    member = member_for(actor, member_id)
    if actor.member_id != member.pk and not actor.plans:
        raise Refused("own_trees_only", kind="forbidden")
    rows = Care.objects.filter(member=member, tree__archived_at=None)
    rows = rows.select_related("tree__bench", "tree__site", "member")
    found = sorted(rows, key=lambda row: natural(row.tree.accession))
    return OwnTrees(
        member_id=member.pk,
        name=member.name,
        own=actor.member_id == member.pk,
        owned=_listed(actor, (row for row in found if row.role == "owner"), today),
        cared_for=_listed(actor, (row for row in found if row.role == "carer"), today),
        until=season_ends(rules_of(club_of(actor)), today),
    )


def _listed(actor: Actor, rows: Iterable[Care], today: date) -> tuple[OwnTree, ...]:
    return tuple(
        OwnTree(
            row.tree_id,
            row.tree.accession,
            title_of(row.tree),
            _where(row.tree),
            _line(actor, row, today),
        )
        for row in rows
    )


def _where(tree: Tree) -> str:
    return f"{tree.bench.name}, {tree.site.name}" if tree.bench else tree.site.name


def _line(actor: Actor, row: Care, today: date) -> CareLine:
    member: Member = row.member
    agreed = row.consent_until is not None and row.consent_until >= today
    own = actor.member_id == member.pk
    return CareLine(
        id=row.pk,
        version=row.version,
        role=row.role,
        member_id=member.pk,
        name=member.name,
        consent_until=row.consent_until,
        ask_first=row.ask_first,
        waits=row.role == "owner" and row.ask_first and not agreed,
        speaks=row.role == "owner" and (own or actor.plans),
        own=own,
    )


def care_tree(actor: Actor, care_id: int) -> tuple[int, int]:
    """The tree and the member of a line of care.

    Raises:
        Refused: ``not_found``.
    """
    row = Care.objects.filter(club_id=actor.club_id, pk=care_id).first()
    if row is None:
        raise Refused("not_found", kind="not_found")
    return row.tree_id, row.member_id
