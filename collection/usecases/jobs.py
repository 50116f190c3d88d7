"""Jobs by hand: the choice when a window has moved, a job somebody adds, one that is not for this year,
work done before the club kept records."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction

from collection.craft.due import EARLY_DAYS
from collection.craft.reference import tasks as catalogue
from collection.models import Job, Sitting, SittingTask, Tree
from collection.queries.access import Actor, job_for, must_know, must_plan, tree_for
from collection.queries.errors import Refused, not_found
from collection.usecases.edit import created, edit
from collection.usecases.estimates import refresh_jobs
from collection.usecases.season import bring_up_to_date

# Nobody remembers a repotting of longer ago than this (assumption, against slips of the pen).
LONGEST_AGO_YEARS = 60


def choose_window(
    *, actor: Actor, job_id: int, version: int, take_new: bool, window: tuple[date, date] | None = None
) -> None:
    """Take the window the programme now gives, or keep the job's own.

    ``window`` is the one the person read and means, for the case that somebody else chose meanwhile.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``window_order`` or ``stale``.
    """
    must_plan(actor)
    job = job_for(actor, job_id)
    if window and window[1] < window[0]:
        raise Refused("window_order", field="closes")
    changes: dict[str, Any] = {"moved_opens": None, "moved_closes": None}
    moved = (job.moved_opens, job.moved_closes) if job.moved_opens else None
    opens, closes = window or (moved if take_new and moved else (job.opens, job.closes))
    changes |= {"opens": opens, "closes": closes}
    if not take_new:
        changes["edited"] = True
    edit(job, version, changes, actor)


def add_job(
    *, actor: Actor, tree_id: int, task: str, opens: date, closes: date, priority: int = 3, subject: str = ""
) -> int:
    """Put a job on a tree by hand; it is never moved or taken back by the programme.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``task_unknown``, ``window_order``, ``priority_range``
            or ``job_there_already``.
    """
    must_plan(actor)
    tree = tree_for(actor, tree_id)
    if task not in catalogue():
        raise Refused("task_unknown", field="task", given=task)
    if closes < opens:
        raise Refused("window_order", field="closes")
    if not 1 <= priority <= 5:
        raise Refused("priority_range", field="priority", given=priority)
    key = {
        "club_id": actor.club_id,
        "target": f"tree:{tree.pk}",
        "task": task,
        "origin": "hand",
        "season_year": opens.year,
        "subject": subject,
    }
    with transaction.atomic():
        there = Job.objects.filter(**key).order_by("-occurrence").first()
        if there is not None and there.state == Job.State.OPEN:
            raise Refused("job_there_already", kind="conflict", task=task)
        job = Job.objects.create(
            **key,
            tree=tree,
            occurrence=(there.occurrence if there else 0) + 1,
            opens=opens,
            closes=closes,
            priority=priority,
            stress=catalogue()[task].stress,
            crew=catalogue()[task].people,
            by_id=actor.member_id,
            edited=True,
        )
        created(job, actor, "task", "opens", "closes", "tree")
        refresh_jobs([job.pk])
    return job.pk


def not_this_year(*, actor: Actor, job_id: int, version: int, reason: str, today: date) -> None:
    """Leave a job out for this season, with a reason.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``reason_needed`` or ``stale``.
    """
    must_plan(actor)
    job = job_for(actor, job_id)
    if not reason.strip():
        raise Refused("reason_needed", field="reason")
    changes = {
        "state": Job.State.NOT_THIS_YEAR,
        "reason": reason.strip()[:200],
        "by_id": actor.member_id,
        "ended_on": today,
        "edited": True,
    }
    edit(job, version, changes, actor)


def this_year_after_all(*, actor: Actor, job_id: int, version: int) -> None:
    """Undo "not this year": the job is open again.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``job_not_left_out`` or ``stale``.
    """
    must_plan(actor)
    job = job_for(actor, job_id)
    if job.state != Job.State.NOT_THIS_YEAR:
        raise Refused("job_not_left_out", kind="conflict")
    with transaction.atomic():
        edit(job, version, {"state": Job.State.OPEN, "reason": "", "ended_on": None}, actor)
        refresh_jobs([job.pk])


def set_priority(*, actor: Actor, job_id: int, version: int, priority: int) -> None:
    """How pressing a job is, from 1 (can wait) to 5 (very).

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``priority_range`` or ``stale``.
    """
    must_plan(actor)
    if not 1 <= priority <= 5:
        raise Refused("priority_range", field="priority", given=priority)
    edit(job_for(actor, job_id), version, {"priority": priority}, actor)


def done_before(
    *,
    actor: Actor,
    tree_id: int,
    task: str,
    on: date,
    why: str,
    today: date,
    job_id: int | None = None,
    version: int | None = None,
) -> int:
    """Work that was done before the club kept records: a day (or the first of a year) and how it is known.

    It counts as the last time for the programme. A job it is said of ends: done when the day lies in
    its window, else taken back. Saying the same twice changes nothing.

    Returns:
        The remembered sitting's id.

    Raises:
        Refused: ``not_found``, ``carers_only``, ``task_unknown``, ``reason_needed``, ``day_ahead``,
            ``day_long_ago`` or ``stale``.
    """
    tree = tree_for(actor, tree_id)
    must_know(actor, tree)
    if task not in catalogue():
        raise Refused("task_unknown", field="task", given=task)
    if not why.strip():
        raise Refused("reason_needed", field="why")
    if on > today:
        raise Refused("day_ahead", field="on")
    if on.year < today.year - LONGEST_AGO_YEARS:
        raise Refused("day_long_ago", field="on", first=today.year - LONGEST_AGO_YEARS)
    job = job_for(actor, job_id) if job_id is not None else None
    if job is not None and (job.tree_id, job.task) != (tree.pk, task):
        raise not_found()
    with transaction.atomic():
        sitting = _remember(actor, tree, task, on, why)
        if job is not None:
            _end(actor, job, job.version if version is None else version, on, why, today)
        bring_up_to_date(actor, tree, today)
    return sitting


def _remember(actor: Actor, tree: Tree, task: str, on: date, why: str) -> int:
    noon = datetime.combine(on, time(12), tzinfo=ZoneInfo(tree.club.zone))
    sitting, made = Sitting.objects.get_or_create(
        club_id=actor.club_id,
        tree=tree,
        request_key=f"before-{task}-{on.isoformat()}",
        defaults={
            "started": noon,
            "ended": noon,
            "remembered": True,
            "note": why.strip(),
            "recorded_by_id": actor.member_id,
        },
    )
    if made:
        SittingTask.objects.create(club_id=actor.club_id, sitting=sitting, task=task)
        created(sitting, actor, "tree", "started", "remembered")
    return sitting.pk


def _end(actor: Actor, job: Job, version: int, on: date, why: str, today: date) -> None:
    inside = job.opens - timedelta(days=EARLY_DAYS) <= on <= job.closes
    changes = {
        "state": Job.State.DONE if inside else Job.State.WITHDRAWN,
        "reason": f"Done before we kept records: {why.strip()}"[:200],
        "ended_on": on if inside else today,
        "by_id": actor.member_id,
        "edited": True,
    }
    edit(job, version, changes, actor)
