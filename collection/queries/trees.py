"""Trees: the list, and who last worked each."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from collection.models import (
    Bend,
    Job,
    Sitting,
    Tree,
)
from collection.queries.access import Actor, job_for
from collection.queries.clock import local
from collection.queries.day_problem import open_tree_ids
from collection.queries.errors import not_found
from collection.queries.labels import dated, length, task_name

PAGE = 50


@dataclass(frozen=True, slots=True)
class Hands:
    """One spell of work as people tell it: when, who, what."""

    tree_id: int
    on: date
    who: tuple[str, ...]
    what: str
    minutes: float
    note: str
    left_open: bool
    remembered: bool = False


@dataclass(frozen=True, slots=True)
class TreeRow:
    """A tree in a list."""

    id: int
    accession: str
    name: str
    species: str
    bench: str
    stage: str
    last: Hands | None
    open_jobs: int
    is_open: bool


@dataclass(frozen=True, slots=True)
class TreeList:
    """A page of the register."""

    rows: tuple[TreeRow, ...]
    total: int
    start: int


def title_of(tree: Tree) -> str:
    """What a tree is called: its name, else its common name, else its species."""
    return tree.name or tree.common_name or tree.species or tree.accession


def tree_list(actor: Actor, *, query: str = "", start: int = 0) -> TreeList:
    """Trees in the collection by number, fifty at a time; constant number of queries."""
    rows = Tree.objects.filter(club_id=actor.club_id, archived_at=None).select_related("bench", "site")
    for word in query.split():
        rows = rows.filter(
            Q(accession__icontains=word)
            | Q(name__icontains=word)
            | Q(species__icontains=word)
            | Q(common_name__icontains=word)
            | Q(bench__name__icontains=word)
            | Q(site__name__icontains=word)
        )
    total = rows.count()
    page = list(rows.order_by("accession")[start : start + PAGE])
    ids = [tree.pk for tree in page]
    last, open_ones = last_hands(ids), open_tree_ids(actor.club_id)
    jobs: dict[int, int] = defaultdict(int)
    for tree in Job.objects.filter(tree_id__in=ids, state=Job.State.OPEN).values_list("tree_id", flat=True):
        jobs[tree or 0] += 1
    return TreeList(
        tuple(
            TreeRow(
                tree.pk,
                tree.accession,
                title_of(tree),
                tree.species,
                tree.bench.name if tree.bench else tree.site.name,
                tree.stage,
                last.get(tree.pk),
                jobs[tree.pk],
                tree.pk in open_ones,
            )
            for tree in page
        ),
        total,
        start,
    )


def hands_of(sitting: Sitting, zone: str) -> Hands:
    people = tuple(p.member.name for p in sitting.people.all())
    tasks = [task_name(t.task) for t in sitting.tasks.all()]
    return Hands(
        tree_id=sitting.tree_id,
        on=local(sitting.started, zone).date(),
        who=people,
        what=", ".join([tasks[0], *[t.lower() for t in tasks[1:]]]) if tasks else "Work",
        minutes=sum(p.minutes for p in sitting.people.all()),
        note=sitting.note,
        left_open=sitting.left_open,
        remembered=sitting.remembered,
    )


def sittings_on(tree_ids: Iterable[int]) -> list[Sitting]:
    rows = Sitting.objects.filter(tree_id__in=list(tree_ids), corrected_by=None)
    return list(
        rows.select_related("club").prefetch_related("people__member", "tasks").order_by("-ended", "-id")
    )


def last_hands(tree_ids: Iterable[int]) -> dict[int, Hands]:
    """Who last worked each tree; remembered work counts only where nothing else is known."""
    newest: dict[int, Sitting] = {}
    ids = list(tree_ids)
    latest: dict[int, int] = {}
    rows = Sitting.objects.filter(tree_id__in=ids, corrected_by=None).order_by("remembered", "-ended", "-id")
    for pk, tree in rows.values_list("pk", "tree_id"):
        latest.setdefault(tree, pk)
    chosen = Sitting.objects.filter(pk__in=latest.values()).select_related("club")
    for sitting in chosen.prefetch_related("people__member", "tasks"):
        newest[sitting.tree_id] = sitting
    return {tree: hands_of(sitting, sitting.club.zone) for tree, sitting in newest.items()}


def when_of(hands: Hands) -> str:
    """The day of the work; of remembered work only the year is sure."""
    return str(hands.on.year) if hands.remembered else dated(hands.on)


def hands_sentence(hands: Hands) -> str:
    """Last hands in a sentence's words: what, and how long."""
    spent = f", {length(hands.minutes)}" if hands.minutes else ""
    return f"{hands.what}{spent}" + (" (known from before)" if hands.remembered else "")


def job_tree(actor: Actor, job_id: int) -> int | None:
    """The tree a job is on, None for a round.

    Raises:
        Refused: ``not_found``.
    """
    return job_for(actor, job_id).tree_id


def bend_tree(actor: Actor, bend_id: int) -> int:
    """The tree a bend is on.

    Raises:
        Refused: ``not_found``.
    """
    bend = Bend.objects.filter(club_id=actor.club_id, pk=bend_id).first()
    if bend is None:
        raise not_found()
    return bend.tree_id
