"""Jobs by hand: the choice when a window has moved, a job somebody adds, one that is not for this year."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import transaction

from collection.craft.reference import tasks as catalogue
from collection.models import Job
from collection.queries.access import Actor, job_for, must_plan, tree_for
from collection.queries.errors import Refused
from collection.usecases.edit import created, edit
from collection.usecases.estimates import refresh_jobs


def choose_window(*, actor: Actor, job_id: int, version: int, take_new: bool) -> None:
    """Take the window the programme now gives, or keep the job's own.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``stale``.
    """
    must_plan(actor)
    job = job_for(actor, job_id)
    changes: dict[str, Any] = {"moved_opens": None, "moved_closes": None}
    if take_new and job.moved_opens and job.moved_closes:
        changes |= {"opens": job.moved_opens, "closes": job.moved_closes}
    else:
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
