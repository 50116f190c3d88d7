"""The fields of a tree as a form shows them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from collection.models import Bench, Site
from collection.queries.access import Actor, must_plan, tree_for
from collection.queries.register import natural
from collection.queries.trees import title_of


@dataclass(frozen=True, slots=True)
class TreeFields:
    """What may be changed of a tree, and what it is called."""

    id: int
    accession: str
    title: str
    version: int
    name: str
    species: str
    common_name: str
    group: str
    stage: str
    style: str
    batch: int | None
    height_mm: float | None
    spread_mm: float | None
    trunk_mm: float | None
    pot: str
    pot_litres: float | None
    mass_kg: float | None
    mass_weighed: bool
    may_travel: bool
    brought_by_id: int | None
    condition: str
    no_hard_work_until: date | None
    no_hard_work_why: str
    leave_alone_until: date | None
    leave_alone_why: str
    acquired_on: date | None
    note: str


def tree_fields(actor: Actor, tree_id: int) -> TreeFields:
    """A tree's fields, for those who may change them.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_plan(actor)
    tree = tree_for(actor, tree_id)
    own = {name: getattr(tree, name) for name in TreeFields.__slots__ if name not in ("id", "title")}
    return TreeFields(id=tree.pk, title=title_of(tree), **own)


def places_for_trees(actor: Actor) -> list[tuple[str, str]]:
    """Where a tree can stand: ("3", "Club ground, no bench") and ("3:7", "Bench A2, Club ground")."""
    must_plan(actor)
    benches: dict[int, list[Bench]] = {}
    for bench in Bench.objects.filter(club_id=actor.club_id):
        benches.setdefault(bench.site_id, []).append(bench)
    found = []
    for site in Site.objects.filter(club_id=actor.club_id).order_by("kind", "name"):
        own = sorted(benches.get(site.pk, []), key=lambda bench: natural(bench.name))
        found += [(f"{site.pk}:{bench.pk}", f"{bench.name}, {site.name}") for bench in own]
        found.append((str(site.pk), f"{site.name}, no bench" if own else site.name))
    return found
