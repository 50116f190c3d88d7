"""The register as a list: what somebody looks for, in which order, and a page of it.

Which trees match is read in a few queries over the whole club; what a row says only for its page.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Exists, Min, OuterRef, Q, QuerySet, Subquery

from collection.craft.reference import groups
from collection.craft.rules_stress import rest_until
from collection.models import Assignment, Bench, Care, Job, Site, Sitting, Tree
from collection.queries.access import Actor, club_of
from collection.queries.away import away_on
from collection.queries.day_problem import open_tree_ids
from collection.queries.facts import facts_of
from collection.queries.labels import group_name
from collection.queries.programme import rules_of
from collection.queries.questions import questions_of
from collection.queries.real_work import real_work
from collection.queries.trees import Hands, last_hands, title_of

PAGE = 50
CLOSING = timedelta(weeks=4)
UNTOUCHED = timedelta(days=365)
STATES = ("open", "resting", "closing", "untouched", "ask", "away", "gone")
SORTED_BY = (
    "accession",
    "name",
    "common_name",
    "species",
    "bench__name",
    "site__name",
    "worked",
    "window",
)
SORTS = ("tag", "name", "bench", "worked", "window")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What somebody looks for in the register.

    Attributes:
        query: Words of the accession, the names, the kind of tree or where it stands.
        group: A species group's code, or "".
        stage: R, B, F, S, or "".
        where: "site:3", "bench:7", or "".
        carer: A member who owns or cares for the tree, or None.
        state: One of ``STATES``, or "".
        sort: One of ``SORTS``.
        start: How many trees come before the page.
    """

    query: str = ""
    group: str = ""
    stage: str = ""
    where: str = ""
    carer: int | None = None
    state: str = ""
    sort: str = "tag"
    start: int = 0

    @property
    def narrowed(self) -> bool:
        """Whether anything but the order was asked for."""
        return any((self.query, self.group, self.stage, self.where, self.carer, self.state))


@dataclass(frozen=True, slots=True)
class Next:
    """What comes next on a tree: an open job, or a question about it."""

    task: str
    opens: date
    closes: date
    planned_on: date | None = None
    question: bool = False


@dataclass(frozen=True, slots=True)
class TreeRow:
    """A tree in a list; ``away`` says where it is when it is not there."""

    id: int
    accession: str
    name: str
    species: str
    where: str
    stage: str
    last: Hands | None
    next: Next | None
    is_open: bool
    away: str
    gone: bool


@dataclass(frozen=True, slots=True)
class TreeList:
    """A page of the register, and how many trees match."""

    rows: tuple[TreeRow, ...]
    total: int
    start: int


@dataclass(frozen=True, slots=True)
class Choices:
    """What the register can be narrowed by: (value, words) each."""

    groups: tuple[tuple[str, str], ...]
    places: tuple[tuple[str, str], ...]
    carers: tuple[tuple[int, str], ...]


def register(actor: Actor, wanted: Wanted, *, today: date) -> TreeList:
    """A page of the trees that match, in the order asked for; a constant number of queries."""
    rows = matching(actor, wanted, today)
    worked = real_work(Sitting.objects.filter(tree=OuterRef("pk"), corrected_by=None, remembered=False))
    due = Job.objects.filter(tree=OuterRef("pk"), state=Job.State.OPEN, closes__gte=today)
    keyed = rows.annotate(
        worked=Subquery(worked.order_by("-ended").values("ended")[:1]),
        window=Subquery(due.values("tree").annotate(first=Min("closes")).values("first")),
    )
    ordered = sorted(keyed.values("pk", *SORTED_BY), key=lambda row: _key(row, wanted.sort))
    start = max(0, min(wanted.start, (len(ordered) - 1) // PAGE * PAGE)) // PAGE * PAGE
    ids = [row["pk"] for row in ordered[start : start + PAGE]]
    return TreeList(_rows(actor, ids, wanted, today), len(ordered), start)


def choices(actor: Actor) -> Choices:
    """What the club's register can be narrowed by, in four queries."""
    trees = Tree.objects.filter(club_id=actor.club_id)
    codes = trees.order_by("group").values_list("group", flat=True).distinct()
    sites = Site.objects.filter(club_id=actor.club_id).order_by("name")
    places = [(f"site:{site.pk}", site.name) for site in sites]
    benches = Bench.objects.filter(club_id=actor.club_id).values_list("pk", "name")
    places += [(f"bench:{pk}", name) for pk, name in sorted(benches, key=lambda row: natural(row[1]))]
    people = Care.objects.filter(club_id=actor.club_id).order_by("member__name")
    return Choices(
        tuple((code, group_name(code)) for code in codes if code in groups()),
        tuple(places),
        tuple(people.values_list("member_id", "member__name").distinct()),
    )


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """A key that sorts "Bench 2" before "Bench 10"."""
    parts = re.findall(r"\d+|\D+", text.casefold())
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts)


def _key(row: Mapping[str, Any], sort: str) -> tuple[Any, ...]:
    tag = natural(row["accession"])
    if sort == "name":
        return (natural(row["name"] or row["common_name"] or row["species"] or row["accession"]), tag)
    if sort == "bench":
        return (natural(row["bench__name"] or row["site__name"]), tag)
    if sort == "worked":
        worked: datetime | None = row["worked"]
        return (worked is not None, worked.timestamp() if worked else 0, tag)
    if sort == "window":
        return (row["window"] is None, row["window"] or date.max, tag)
    return (tag,)


def matching(actor: Actor, wanted: Wanted, today: date) -> QuerySet[Tree]:
    """The trees of the club that somebody looks for, in no order."""
    gone = wanted.state == "gone"
    rows = Tree.objects.filter(club_id=actor.club_id, archived_at__isnull=not gone)
    for word in wanted.query.split():
        rows = rows.filter(_says(word))
    if wanted.group:
        rows = rows.filter(group=wanted.group)
    if wanted.stage:
        rows = rows.filter(stage=wanted.stage)
    kind, _, pk = wanted.where.partition(":")
    if pk.isdecimal():
        rows = rows.filter(**{"site_id" if kind == "site" else "bench_id": int(pk)})
    if wanted.carer is not None:
        rows = rows.filter(Exists(Care.objects.filter(tree=OuterRef("pk"), member_id=wanted.carer)))
    return _in_state(actor, rows, wanted.state, today)


def _says(word: str) -> Q:
    """Whether a tree's tag, names, kind or place holds a word."""
    said = Q()
    for name in ("accession", "name", "species", "common_name", "style", "bench__name", "site__name"):
        said |= Q(**{f"{name}__icontains": word})
    low = word.casefold()
    kinds = [code for code, group in groups().items() if low in f"{group.name} {group.species}".casefold()]
    return said | Q(group__in=kinds)


def _in_state(actor: Actor, rows: QuerySet[Tree], state: str, today: date) -> QuerySet[Tree]:
    if state == "open":
        return rows.filter(pk__in=open_tree_ids(actor.club_id))
    if state == "closing":
        closing = Job.objects.filter(tree=OuterRef("pk"), state=Job.State.OPEN)
        return rows.filter(Exists(closing.filter(closes__gte=today, closes__lte=today + CLOSING)))
    if state == "untouched":
        since = today - UNTOUCHED
        worked = real_work(Sitting.objects.filter(tree=OuterRef("pk"), corrected_by=None, remembered=False))
        return rows.exclude(Exists(worked.filter(ended__date__gte=since)))
    if state == "resting":
        rules = rules_of(club_of(actor))
        facts = facts_of(rows)
        resting = [pk for pk, fact in facts.items() if _rests(rest_until(fact, today, settings=rules), today)]
        return rows.filter(pk__in=resting)
    if state == "ask":
        return rows.filter(pk__in=set(questions_of(club_of(actor), today)))
    if state == "away":
        return rows.filter(pk__in=set(away_on(rows.values_list("pk", flat=True), today)))
    return rows


def _rests(rest: Any, today: date) -> bool:
    return rest is not None and rest.until > today


def _rows(actor: Actor, ids: list[int], wanted: Wanted, today: date) -> tuple[TreeRow, ...]:
    trees = Tree.objects.select_related("bench", "site").in_bulk(ids)
    last, open_ones, away = last_hands(ids), open_tree_ids(actor.club_id), away_on(ids, today)
    following = _next_jobs(ids, today)
    if wanted.state == "ask":
        asked = questions_of(club_of(actor), today, ids)
        following = {
            pk: Next(q.task, q.window.opens, q.window.closes, question=True) for pk, [q, *_] in asked.items()
        }
    return tuple(
        TreeRow(
            id=pk,
            accession=trees[pk].accession,
            name=title_of(trees[pk]),
            species=trees[pk].species,
            where=_where(trees[pk]),
            stage=trees[pk].stage,
            last=last.get(pk),
            next=following.get(pk),
            is_open=pk in open_ones,
            away=away[pk].kind if pk in away else "",
            gone=trees[pk].archived_at is not None,
        )
        for pk in ids
    )


def _where(tree: Tree) -> str:
    return tree.bench.name if tree.bench else tree.site.name


def _next_jobs(ids: Iterable[int], today: date) -> dict[int, Next]:
    """On each tree the open job that closes first; while none is in season, the one that opens first."""
    rows = Job.objects.filter(tree_id__in=ids, state=Job.State.OPEN)
    jobs = list(rows.only("tree_id", "task", "opens", "closes"))
    planned = dict(
        Assignment.objects.filter(job__in=jobs, confirmed=True, plan__workday__date__gte=today)
        .order_by("-plan__workday__date")
        .values_list("job_id", "plan__workday__date")
    )
    found: dict[int, tuple[tuple[bool, date], Next]] = {}
    for job in jobs:
        later = job.opens > today
        rank = (later, job.opens if later else job.closes)
        kept = found.get(job.tree_id or 0)
        if kept is None or rank < kept[0]:
            found[job.tree_id or 0] = (rank, Next(job.task, job.opens, job.closes, planned.get(job.pk)))
    return {tree: following for tree, (_, following) in found.items()}
