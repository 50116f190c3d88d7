"""Everything on one tree's sheet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from collection.craft.due_types import Question
from collection.craft.quantities import ORDERS
from collection.craft.rule_types import Rest
from collection.craft.rules_stress import rest_until
from collection.models import (
    Branch,
    Care,
    Change,
    Count,
    Guy,
    Look,
    Tree,
    Wire,
)
from collection.queries.access import Actor, club_of, knows, tree_for
from collection.queries.away import Away, away_on, not_back
from collection.queries.clock import local
from collection.queries.facts import facts_of
from collection.queries.growth import TreeGrowth, growth_of
from collection.queries.labels import kind_name
from collection.queries.moving import Moving, moving_of
from collection.queries.programme import rules_of
from collection.queries.questions import questions_on
from collection.queries.tree_jobs import LeftOut, SheetJob, left_out, sheet_jobs
from collection.queries.trees import Hands, hands_of, sittings_on, title_of


@dataclass(frozen=True, slots=True)
class SheetWire:
    """A wire or a guy on a tree."""

    id: int
    label: str
    branch: str
    words: str
    metal: str
    gauge_mm: float
    metres: float | None
    on: date
    look_on: date | None
    last_look: str
    guy: bool = False
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class SheetBranch:
    """A branch as the drawing needs it."""

    label: str
    place: str
    clock: int | None
    height: float | None
    diameter_mm: float | None
    length_mm: float | None
    side_branches: int
    wire: SheetWire | None


@dataclass(frozen=True, slots=True)
class SheetCount:
    """Something counted."""

    what: str
    kind: str
    amount: float
    on: date
    guessed: bool


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything on a tree's page."""

    id: int
    accession: str
    version: int
    title: str
    species: str
    common_name: str
    group: str
    stage: str
    batch: int | None
    height_mm: float | None
    pot_litres: float | None
    mass_kg: float | None
    mass_weighed: bool
    where: str
    keepers: tuple[tuple[str, str], ...]
    condition: str
    acquired_on: date | None
    note: str
    open_hands: Hands | None
    jobs: tuple[SheetJob, ...]
    branches: tuple[SheetBranch, ...]
    wires: tuple[SheetWire, ...]
    counts: tuple[SheetCount, ...]
    hands: tuple[Hands, ...]
    rest: Rest | None
    left_out: tuple[LeftOut, ...]
    questions: tuple[Question, ...]
    may_answer: bool
    changed: tuple[str, date] | None
    gone: bool
    away: Away | None
    overdue: bool
    growth: TreeGrowth | None
    moving: Moving


def tree_sheet(actor: Actor, tree_id: int, *, today: date) -> Sheet:
    """One tree with its jobs, hours, wires, hands and history.

    Raises:
        Refused: ``not_found`` for a missing tree and for one of another club alike.
    """
    tree = tree_for(actor, tree_id)
    club = club_of(actor)
    facts, rules = facts_of([tree])[tree.pk], rules_of(club)
    hands = [hands_of(sitting, club.zone) for sitting in sittings_on([tree.pk])]
    worked = [h for h in hands if not h.remembered]
    wires = _wires(tree)
    away, late = (find([tree.pk], today).get(tree.pk) for find in (away_on, not_back))
    change = Change.objects.filter(club=club, table="tree", row=tree.pk).select_related("who").first()
    return Sheet(
        id=tree.pk,
        accession=tree.accession,
        version=tree.version,
        title=title_of(tree),
        species=tree.species,
        common_name=tree.common_name,
        group=tree.group,
        stage=tree.stage,
        batch=tree.batch,
        height_mm=tree.height_mm,
        pot_litres=tree.pot_litres,
        mass_kg=tree.mass_kg,
        mass_weighed=tree.mass_weighed,
        where=_where(tree),
        keepers=_keepers(tree),
        condition=tree.condition,
        acquired_on=tree.acquired_on,
        note=tree.note,
        open_hands=worked[0] if worked and worked[0].left_open else None,
        jobs=sheet_jobs(tree, facts, rules, today),
        branches=_branches(tree, wires),
        wires=wires,
        counts=_counts(tree),
        hands=tuple(hands),
        rest=rest_until(facts, today, settings=rules),
        left_out=left_out(tree, today),
        questions=tuple(questions_on(club, tree, facts, today)),
        may_answer=knows(actor, tree),
        changed=_changed(change, club.zone),
        gone=tree.archived_at is not None,
        away=away or late,
        overdue=away is None and late is not None,
        growth=growth_of(club, tree),
        moving=moving_of(tree),
    )


def _keepers(tree: Tree) -> tuple[tuple[str, str], ...]:
    rows = Care.objects.filter(tree=tree).select_related("member").order_by("role", "id")
    return tuple((care.role, care.member.name) for care in rows)


def _changed(change: Change | None, zone: str) -> tuple[str, date] | None:
    return (change.who.name if change.who else "the club", local(change.at, zone).date()) if change else None


def _where(tree: Tree) -> str:
    if tree.bench:
        return f"{tree.bench.name}, {tree.site.name}"
    return tree.site.name


def _wires(tree: Tree) -> tuple[SheetWire, ...]:
    looks: dict[tuple[str, int], str] = {}
    rows = Look.objects.filter(Q(wire__tree=tree) | Q(guy__tree=tree)).order_by("on", "id")
    for look in rows:
        key = ("wire", look.wire_id) if look.wire_id else ("guy", look.guy_id or 0)
        looks[key] = f"{look.seen}, {look.on.day} {look.on:%b %Y}"
    found = [
        SheetWire(
            wire.pk,
            wire.label,
            wire.branch.label if wire.branch else "",
            f"{wire.gauge_mm:g} mm {wire.metal}, {wire.fit}",
            wire.metal,
            wire.gauge_mm,
            wire.length_m,
            wire.on,
            wire.look_on,
            looks.get(("wire", wire.pk), ""),
        )
        for wire in Wire.objects.filter(tree=tree, off=None).select_related("branch").order_by("label", "id")
    ]
    found += [
        SheetWire(
            guy.pk,
            guy.label,
            guy.branch.label if guy.branch else "",
            f"{guy.gauge_mm:g} mm {guy.metal} guy wire",
            guy.metal,
            guy.gauge_mm,
            None,
            guy.on,
            guy.look_on,
            looks.get(("guy", guy.pk), ""),
            guy=True,
            anchor=guy.anchor,
        )
        for guy in Guy.objects.filter(tree=tree, off=None).select_related("branch").order_by("label", "id")
    ]
    return tuple(found)


def _branches(tree: Tree, wires: Iterable[SheetWire]) -> tuple[SheetBranch, ...]:
    on_branch = {wire.branch: wire for wire in wires if wire.branch and not wire.guy}
    return tuple(
        SheetBranch(
            branch.label,
            branch.place,
            branch.clock,
            min(1.0, branch.height_mm / tree.height_mm) if branch.height_mm and tree.height_mm else None,
            branch.diameter_mm,
            branch.length_mm,
            branch.side_branches,
            on_branch.get(branch.label),
        )
        for branch in Branch.objects.filter(tree=tree).order_by("height_mm", "label")
    )


def _rank(kind: str) -> tuple[int, str]:
    """Main, side and fine branches first, each with its thickness and wire; then the rest."""
    base = next((order for order in ORDERS if kind.startswith(order)), "")
    return (ORDERS.index(base) if base else len(ORDERS), kind)


def _counts(tree: Tree) -> tuple[SheetCount, ...]:
    newest: dict[str, Count] = {}
    for count in Count.objects.filter(tree=tree).order_by("on", "id"):
        newest[count.kind] = count
    return tuple(
        SheetCount(
            kind_name(kind, 2).split(" ", 1)[1].capitalize(), kind, count.amount, count.on, count.guessed
        )
        for kind, count in sorted(newest.items(), key=lambda pair: _rank(pair[0]))
    )
