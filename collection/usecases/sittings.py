"""Recording a sitting: who worked on which tree, how long, and where they stopped."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.db import transaction
from django.db.models import Q

from collection.craft.reference import tasks as catalogue
from collection.models import Change, Job, Member, Sitting, SittingMember, SittingTask, Tree
from collection.queries.access import Actor, club_of, workday_for
from collection.queries.clock import local
from collection.queries.errors import Refused, not_found
from collection.queries.gear import wire_on
from collection.usecases.aftercare import follow_on
from collection.usecases.edit import change_of, edit_many
from collection.usecases.gear import came_off
from collection.usecases.locks import lock

LONGEST_MIN = 16 * 60
# Clocks differ, and a sitting may be written down as it ends.
GRACE = timedelta(minutes=15)
WIRE_OFF = "WIRE_OFF"


@dataclass(frozen=True, slots=True)
class TaskDone:
    """A task in a sitting; ``amount`` in ``unit`` when somebody counted."""

    task: str
    job_id: int | None = None
    amount: float | None = None
    unit: str = ""
    finished: bool = True


@dataclass(frozen=True, slots=True)
class Worked:
    """A person and his own minutes, breaks left out."""

    member_id: int
    minutes: float
    role: str = "hand"


@dataclass(frozen=True, slots=True)
class Told:
    """A sitting as somebody tells it; ``corrects`` is the row whose place it takes."""

    tasks: Sequence[TaskDone]
    people: Sequence[Worked]
    started: datetime
    ended: datetime
    request_key: str
    left_open: bool = False
    note: str = ""
    harm: str = ""
    workday_id: int | None = None
    remembered: bool = False
    corrects: Sitting | None = None
    by_estimate: bool = False
    wires_off: Sequence[int] | None = None
    guys_off: Sequence[int] = ()
    now: datetime | None = None


def record(
    *,
    actor: Actor,
    trees: Sequence[int],
    tasks: Sequence[TaskDone],
    people: Sequence[Worked],
    started: datetime,
    ended: datetime,
    request_key: str,
    left_open: bool = False,
    note: str = "",
    harm: str = "",
    workday_id: int | None = None,
    remembered: bool = False,
    by_estimate: bool = False,
    wires_off: Sequence[int] | None = None,
    guys_off: Sequence[int] = (),
    now: datetime | None = None,
) -> list[int]:
    """Write one sitting per tree and end the jobs it finished; the same key again changes nothing.

    With several trees the minutes are shared out by their estimates and marked so; a task that names the
    job of a round is on every tree given, which must all be on the round. ``by_estimate`` marks
    minutes that nobody timed in the same way.

    Work that cut wire off names the wires and guys that came off, of those on the trees, or none of them.
    With ``now``, as every door gives it, a spell that ends more than a quarter of an hour later is refused.

    Returns:
        The sittings' ids, in the order of the trees.

    Raises:
        Refused: ``not_found``, ``sitting_empty``, ``sitting_times``, ``sitting_ahead``, ``minutes_range``,
            ``minutes_over_span``, ``note_needed``, ``task_unknown``, ``task_twice``, ``person_twice``,
            ``wires_not_said``, ``wire_off_untold`` or ``wire_off_early``.
    """
    told = Told(
        tasks, people, started, ended, request_key, left_open, note, harm, workday_id, remembered,
        by_estimate=by_estimate, wires_off=wires_off, guys_off=guys_off, now=now,
    )  # fmt: skip
    return record_told(actor, trees, told)


@transaction.atomic
def record_told(actor: Actor, trees: Sequence[int], told: Told) -> list[int]:
    """As ``record``, for a sitting that may take the place of another; few statements, however many trees."""
    if known := recorded(actor, told.request_key):
        return known
    _check(told)
    _check_rows(actor, trees, told.people, told.workday_id)
    jobs = _jobs(actor, trees, tasks := _as_left(told.tasks, left_open=told.left_open))
    estimated = _estimated(jobs)
    shares = _shares(trees, estimated)
    rows = Sitting.objects.bulk_create(
        _row(actor, told, tree_id, estimated.get(tree_id), shared=len(shares) > 1) for tree_id in shares
    )
    _write_people(rows, told.people, shares)
    _write_tasks(rows, tasks, jobs)
    on = local(told.ended, club_of(actor).zone).date()
    _end_jobs(actor, on, tasks, jobs)
    Change.objects.bulk_create(_line(actor, row) for row in rows)
    _take_wire_off(actor, trees, told)
    follow_on(actor=actor, sittings=rows, on=on, tasks=[task.task for task in tasks if task.finished])
    return [row.pk for row in rows]


def recorded(actor: Actor, request_key: str) -> list[int]:
    """Sittings that were written under a request key."""
    rows = Sitting.objects.filter(club_id=actor.club_id, request_key=request_key).order_by("id")
    return list(rows.values_list("pk", flat=True))


def _line(actor: Actor, row: Sitting) -> Change:
    told = {"tree": row.tree_id, "started": row.started, "ended": row.ended, "left_open": row.left_open}
    return change_of(row, actor, before={}, after=told)


def _take_wire_off(actor: Actor, trees: Sequence[int], told: Told) -> None:
    """What came off in this spell; whoever cut wire off says which. A sitting put right moves no wire."""
    if told.corrects is not None or told.remembered:
        return
    cut = any(task.task == WIRE_OFF for task in told.tasks)
    if not cut and (told.wires_off or told.guys_off):
        raise Refused("wire_off_untold", field="wires_off")
    if cut and told.wires_off is None and wire_on(actor.club_id, trees):
        raise Refused("wires_not_said", field="wires_off")
    if told.wires_off or told.guys_off:
        on = local(told.ended, club_of(actor).zone).date()
        came_off(actor=actor, trees=trees, wires=told.wires_off or (), guys=told.guys_off, on=on)


def _row(actor: Actor, told: Told, tree_id: int, estimated: float | None, *, shared: bool) -> Sitting:
    return Sitting(
        club_id=actor.club_id,
        tree_id=tree_id,
        workday_id=told.workday_id,
        started=told.started,
        ended=told.ended,
        left_open=told.left_open,
        note=told.note.strip(),
        harm=told.harm.strip(),
        remembered=told.remembered,
        shared=shared or told.by_estimate or _still_shared(told.corrects, tree_id),
        estimated_min=_frozen(told, tree_id, estimated),
        request_key=told.request_key,
        corrects=told.corrects,
        recorded_by_id=actor.member_id,
    )


def _still_shared(old: Sitting | None, tree_id: int) -> bool:
    return old is not None and old.shared and old.tree_id == tree_id


def _frozen(told: Told, tree_id: int, estimated: float | None) -> float | None:
    """What the old row was measured against still holds for the same work on the same tree."""
    old = told.corrects
    if old is None or old.tree_id != tree_id:
        return estimated
    same = set(old.tasks.values_list("task", flat=True)) == {task.task for task in told.tasks}
    return old.estimated_min if same else estimated


def _check(told: Told) -> None:
    if not told.tasks or (not told.people and not told.remembered):
        raise Refused("sitting_empty", field="people" if told.tasks else "tasks")
    if told.started.tzinfo is None or told.ended.tzinfo is None or told.ended < told.started:
        raise Refused("sitting_times", field="ended")
    if told.now is not None and told.ended > told.now + GRACE:
        raise Refused("sitting_ahead", field="ended")
    if told.left_open and not told.note.strip():
        raise Refused("note_needed", field="note")
    _check_tasks(told.tasks)
    _check_minutes(told)
    if len({p.member_id for p in told.people}) != len(told.people):
        raise Refused("person_twice", field="people")


def _check_minutes(told: Told) -> None:
    """Nobody worked longer than from start to end; half a minute is rounding."""
    span = (told.ended - told.started).total_seconds() / 60
    for person in told.people:
        if not 0 < person.minutes <= LONGEST_MIN:
            raise Refused("minutes_range", field="minutes", most=LONGEST_MIN)
        if person.minutes > span + 0.5:
            raise Refused("minutes_over_span", field="minutes", span=math.floor(span))


def _check_tasks(tasks: Sequence[TaskDone]) -> None:
    for task in tasks:
        if task.task not in catalogue():
            raise Refused("task_unknown", field="tasks", given=task.task)
        if task.amount is not None and task.amount < 0:
            raise Refused("amount_negative", field="tasks")
    if len({(task.task, task.unit) for task in tasks}) != len(tasks):
        raise Refused("task_twice", field="tasks")


def _as_left(tasks: Sequence[TaskDone], *, left_open: bool) -> list[TaskDone]:
    """A tree left open without saying which task is unfinished has none of them finished."""
    if left_open and all(task.finished for task in tasks):
        return [replace(task, finished=False) for task in tasks]
    return list(tasks)


def _check_rows(actor: Actor, trees: Sequence[int], people: Sequence[Worked], workday_id: int | None) -> None:
    """Everything named is the club's own."""
    if workday_id is not None:
        workday_for(actor, workday_id)
    for table, ids in ((Member, {person.member_id for person in people}), (Tree, set(trees))):
        if table._default_manager.filter(club_id=actor.club_id, pk__in=ids).count() != len(ids):
            raise not_found()
    if not trees:
        raise not_found()


def _jobs(actor: Actor, trees: Sequence[int], tasks: Sequence[TaskDone]) -> dict[tuple[int, str], Job]:
    """The open job of each (tree, task): the one named, else the one whose window is nearest its close."""
    named = [t.job_id for t in tasks if t.job_id is not None]
    wanted = {t.task for t in tasks}
    # Two who record at once wait here, so that each job is ended by one of them.
    mine = Q(pk__in=named) | Q(tree_id__in=trees, task__in=wanted, state=Job.State.OPEN)
    lock(Job.objects.filter(mine, club_id=actor.club_id).only("pk"))
    rows = Job.objects.filter(club_id=actor.club_id).select_related("estimate", "round")
    # Only the minutes are needed; a sum's lines are long.
    rows = rows.defer("estimate__lines", "estimate__inputs", "estimate__notes", "estimate__crew_reasons")
    found = _named(rows.filter(pk__in=named).prefetch_related("round__lines"), len(set(named)), set(trees))
    if {(tree, task) for tree in trees for task in wanted} <= set(found):
        return found
    open_ones = rows.filter(tree_id__in=trees, task__in=wanted, state=Job.State.OPEN)
    for job in open_ones.order_by("closes", "occurrence", "id"):
        found.setdefault((job.tree_id or 0, job.task), job)
    return found


def _named(jobs: Iterable[Job], number: int, trees: set[int]) -> dict[tuple[int, str], Job]:
    """The jobs that were named: one is on its tree, a round's on every tree of the round."""
    found: dict[tuple[int, str], Job] = {}
    known = list(jobs)
    for job in known:
        there = _trees_of(job)
        wanted = trees if job.round else there
        if not wanted or not wanted <= there & trees:
            raise Refused("not_found", kind="not_found")
        found |= {(tree, job.task): job for tree in wanted}
    if len(known) != number:
        raise Refused("not_found", kind="not_found")
    return found


def _trees_of(job: Job) -> set[int]:
    return {line.tree_id for line in job.round.lines.all()} if job.round else {job.tree_id or 0}


def _estimated(jobs: Mapping[tuple[int, str], Job]) -> dict[int, float]:
    """Minutes of the jobs on each tree; a round's are shared evenly by its trees."""
    sizes = {job.pk: max(len(_trees_of(job)), 1) for job in jobs.values()}
    found: dict[int, float] = {}
    for (tree, _), job in jobs.items():
        if job.estimate:
            found[tree] = found.get(tree, 0.0) + job.estimate.mean_min / sizes[job.pk]
    return found


def _shares(trees: Sequence[int], known: Mapping[int, float]) -> dict[int, float]:
    """Each tree's share of the minutes, by its estimate; without one, an average tree's."""
    said = [known[tree] for tree in trees if known.get(tree)]
    usual = sum(said) / len(said) if said else 1.0
    weights = {tree: known.get(tree) or usual for tree in trees}
    whole = sum(weights.values())
    return {tree: weight / whole for tree, weight in weights.items()}


def _write_people(rows: Sequence[Sitting], people: Sequence[Worked], shares: Mapping[int, float]) -> None:
    SittingMember.objects.bulk_create(
        SittingMember(
            club_id=row.club_id,
            sitting=row,
            member_id=person.member_id,
            minutes=person.minutes * shares[row.tree_id],
            role=person.role,
        )
        for row in rows
        for person in people
    )


def _write_tasks(
    rows: Sequence[Sitting], tasks: Sequence[TaskDone], jobs: Mapping[tuple[int, str], Job]
) -> None:
    SittingTask.objects.bulk_create(
        SittingTask(
            club_id=row.club_id,
            sitting=row,
            job=jobs.get((row.tree_id, task.task)),
            task=task.task,
            amount=task.amount,
            unit=task.unit,
            finished=task.finished,
        )
        for row in rows
        for task in tasks
    )


def _end_jobs(actor: Actor, on: date, tasks: Sequence[TaskDone], jobs: Mapping[tuple[int, str], Job]) -> None:
    """End the jobs that the sittings finished, each once."""
    finished = {task.task for task in tasks if task.finished}
    ended = {
        job.pk: job for (_, task), job in jobs.items() if task in finished and job.state == Job.State.OPEN
    }
    edit_many([(job, {"state": Job.State.DONE, "ended_on": on}) for job in ended.values()], actor)
