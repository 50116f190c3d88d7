"""The jobs of one tree: open, held and why, left out this year; and one job by itself."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from collection.craft.reasons import Reason
from collection.craft.rule_types import RuleSettings, TreeFacts
from collection.models import Care, Job, JobHold, Tree
from collection.queries.access import Actor, club_of, job_for, knows, must_know, tree_for
from collection.queries.away import away_on_days
from collection.queries.consent import waits_for
from collection.queries.day_problem import held_reasons
from collection.queries.errors import not_found
from collection.queries.facts import facts_of
from collection.queries.labels import task_name
from collection.queries.numbers import job_number
from collection.queries.opened import Opened
from collection.queries.programme import rules_of
from collection.queries.sentences import say
from collection.queries.trees import title_of


@dataclass(frozen=True, slots=True)
class Held:
    """Why a job waits; ``code`` tells what can be done about it."""

    text: str
    code: str = ""


@dataclass(frozen=True, slots=True)
class SheetJob:
    """An open job on a tree's sheet."""

    id: int
    task: str
    title: str
    opens: date
    closes: date
    moved: tuple[date, date] | None
    crew: int
    priority: int
    number: Opened | None
    held: tuple[Held, ...]
    people: tuple[str, ...]
    planned_on: date | None
    version: int
    bend_to_sign: tuple[int, int] | None = None
    bend_id: int | None = None


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A job that is not done this year."""

    id: int
    title: str
    reason: str
    who: str
    on: date | None
    version: int


@dataclass(frozen=True, slots=True)
class JobSheet:
    """One job on a page of its own.

    Attributes:
        job: The job while it is open, else None.
        left_out: The job when it is not done this year, else None.
        may_remember: Whoever looks may say that it was done before.
    """

    id: int
    version: int
    tree_id: int
    accession: str
    tree_title: str
    task: str
    title: str
    opens: date
    closes: date
    state: str
    reason: str
    priority: int
    job: SheetJob | None
    left_out: LeftOut | None
    may_remember: bool


def sheet_jobs(tree: Tree, facts: TreeFacts, rules: RuleSettings, today: date) -> tuple[SheetJob, ...]:
    """The open jobs of a tree, closing first, in a constant number of queries."""
    rows = Job.objects.filter(tree=tree, state=Job.State.OPEN).select_related("tree", "bend", "estimate")
    jobs = list(rows.order_by("closes", "opens", "id"))
    planned, why = _planned(tree), _Why(tree, jobs, facts, rules, today)
    found = []
    for job in jobs:
        people, day = planned.get(job.pk, ((), None))
        moved = (job.moved_opens, job.moved_closes) if job.moved_opens and job.moved_closes else None
        found.append(
            SheetJob(
                id=job.pk,
                task=job.task,
                title=job_title(job),
                opens=job.opens,
                closes=job.closes,
                moved=moved,
                crew=job.crew,
                priority=job.priority,
                number=job_number(job),
                held=why.of(job),
                people=people,
                planned_on=day,
                version=job.version,
                bend_to_sign=_to_sign(job),
                bend_id=job.bend_id,
            )
        )
    return tuple(found)


def _to_sign(job: Job) -> tuple[int, int] | None:
    """The bend that waits for a sign-off, and its version."""
    bend = job.bend
    return (bend.pk, bend.version) if bend is not None and bend.signed_by_id is None else None


def left_out(tree: Tree, today: date) -> tuple[LeftOut, ...]:
    """Jobs that somebody left out and whose window is not over yet."""
    rows = Job.objects.filter(tree=tree, state=Job.State.NOT_THIS_YEAR, closes__gte=today)
    return tuple(_left_out(job) for job in rows.select_related("by", "bend").order_by("closes", "id"))


def _left_out(job: Job) -> LeftOut:
    who = job.by.name if job.by else ""
    return LeftOut(job.pk, job_title(job), job.reason, who, job.ended_on, job.version)


def job_sheet(actor: Actor, job_id: int, *, today: date) -> JobSheet:
    """One job of a tree with everything that can be done to it.

    Raises:
        Refused: ``not_found``, also for a round.
    """
    job = job_for(actor, job_id)
    tree = job.tree
    if tree is None:
        raise not_found()
    rules = rules_of(club_of(actor))
    found = None
    if job.state == Job.State.OPEN:
        jobs = sheet_jobs(tree, facts_of([tree])[tree.pk], rules, today)
        found = next(one for one in jobs if one.id == job.pk)
    return JobSheet(
        id=job.pk,
        version=job.version,
        tree_id=tree.pk,
        accession=tree.accession,
        tree_title=title_of(tree),
        task=job.task,
        title=job_title(job),
        opens=job.opens,
        closes=job.closes,
        state=job.state,
        reason=job.reason,
        priority=job.priority,
        job=found,
        left_out=_left_out(job) if job.state == Job.State.NOT_THIS_YEAR else None,
        may_remember=knows(actor, tree),
    )


@dataclass(frozen=True, slots=True)
class KnownTree:
    """A tree whose past somebody may tell."""

    id: int
    accession: str
    title: str


def known_tree(actor: Actor, tree_id: int) -> KnownTree:
    """A tree, for its own people and for coordinators.

    Raises:
        Refused: ``not_found`` or ``carers_only``.
    """
    tree = tree_for(actor, tree_id)
    must_know(actor, tree)
    return KnownTree(tree.pk, tree.accession, title_of(tree))


def job_title(job: Job) -> str:
    """What a job is called on its tree's page."""
    if job.bend:
        return f"{task_name(job.task)}, {job.bend.diameter_mm:.0f} mm"
    second = ", second pass" if (job.task, job.occurrence) == ("DECANDLE", 2) else ""
    return task_name(job.task) + second


class _Why:
    """Why each job of a tree waits, from one reading of its owners, holds and journeys."""

    def __init__(
        self, tree: Tree, jobs: list[Job], facts: TreeFacts, rules: RuleSettings, today: date
    ) -> None:
        self.facts, self.rules, self.today = facts, rules, today
        owners = Care.objects.filter(tree=tree, role="owner", ask_first=True)
        self.owners = list(owners.select_related("member").order_by("id"))
        days = {max(today, job.opens) for job in jobs}
        self.away = {on: found.get(tree.pk) for on, found in away_on_days([tree.pk], days).items()}
        self.holds: dict[int, list[JobHold]] = defaultdict(list)
        for hold in JobHold.objects.filter(job__in=jobs, lifted_on=None):
            self.holds[hold.job_id].append(hold)

    def of(self, job: Job) -> tuple[Held, ...]:
        """The reasons on the first day it could be done, each once."""
        on = max(self.today, job.opens)
        reasons: list[Reason] = [*held_reasons(job, on, self.facts, self.rules), *waits_for(self.owners, on)]
        away = self.away[on]
        if away is not None:
            reasons.append(away.reason)
        found = [Held(say(reason), reason.code) for reason in reasons]
        found += [Held(hold.why or "Held by the coordinator.") for hold in self.holds[job.pk]]
        return tuple(dict.fromkeys(found))


def _planned(tree: Tree) -> dict[int, tuple[tuple[str, ...], date | None]]:
    """Who is down for which job on a plan that was sent out."""
    found: dict[int, tuple[list[str], date]] = {}
    rows = Job.objects.filter(tree=tree, assignments__confirmed=True).values_list(
        "pk", "assignments__member__name", "assignments__plan__workday__date"
    )
    for job, name, on in rows.order_by("assignments__role", "assignments__id"):
        found.setdefault(job, ([], on))[0].append(name)
    return {job: (tuple(dict.fromkeys(names)), on) for job, (names, on) in found.items()}
