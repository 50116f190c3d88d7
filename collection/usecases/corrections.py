"""Putting a recorded sitting right: a new row that names the old one; what followed from it follows along."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from django.db import transaction

from collection.models import Job, Sitting, SittingTask
from collection.queries.access import Actor, sitting_for, tree_for
from collection.queries.clock import local
from collection.queries.errors import Refused
from collection.usecases.aftercare import LOOK_OVER_DAYS, SECOND_PASS_DAYS
from collection.usecases.edit import edit
from collection.usecases.season import bring_up_to_date
from collection.usecases.sittings import TaskDone, Told, Worked, record_told


@transaction.atomic
def correct(
    *,
    actor: Actor,
    sitting_id: int,
    tree_id: int,
    tasks: Sequence[TaskDone],
    people: Sequence[Worked],
    started: datetime,
    ended: datetime,
    request_key: str,
    today: date,
    left_open: bool = False,
    note: str = "",
    now: datetime | None = None,
) -> int:
    """Write a sitting that takes the place of another; last hands, minutes and jobs follow it.

    Jobs that only the old one had ended are open again before the new one ends its own, and look-overs
    that nobody has begun go with the work they came from. It may be moved to another tree.

    Returns:
        The new sitting's id; the same key again changes nothing.

    Raises:
        Refused: ``not_found``, ``not_your_sitting``, ``corrected_already``, or as ``record``.
    """
    old = sitting_for(actor, sitting_id)
    tree = tree_for(actor, tree_id)
    must_correct(actor, old)
    there = Sitting.objects.filter(corrects=old).first()
    if there is not None:
        if there.request_key == request_key:
            return there.pk
        raise Refused("corrected_already", kind="conflict")
    _undo(actor, old)
    told = Told(
        _still_of_round(old, tree.pk, tasks),
        people,
        started,
        ended,
        request_key,
        left_open,
        note,
        harm=old.harm,
        workday_id=old.workday_id,
        remembered=old.remembered,
        corrects=old,
        now=now,
    )
    [new_id] = record_told(actor, [tree.pk], told)
    new = Sitting.objects.get(pk=new_id)
    _drop_follow_ons(actor, old, new)
    for one in {old.tree_id: old.tree, tree.pk: tree}.values():
        bring_up_to_date(actor, one, today)
    return new_id


def _still_of_round(old: Sitting, tree_id: int, tasks: Sequence[TaskDone]) -> list[TaskDone]:
    """A sitting of a round stays one: its task names the round's job again."""
    rounds = dict(old.tasks.filter(job__round__isnull=False).values_list("task", "job_id"))
    if old.tree_id != tree_id:
        return list(tasks)
    return [replace(t, job_id=rounds[t.task]) if t.task in rounds and t.job_id is None else t for t in tasks]


def may_correct(actor: Actor, sitting: Sitting) -> bool:
    """Whether somebody wrote the sitting down, or worked in it."""
    if actor.member_id is None:
        return False
    own = sitting.recorded_by_id == actor.member_id
    return own or sitting.people.filter(member_id=actor.member_id).exists()


def must_correct(actor: Actor, sitting: Sitting) -> None:
    """Who wrote a sitting down, who worked in it, and coordinators may put it right.

    Raises:
        Refused: ``not_your_sitting``.
    """
    if not (actor.plans or may_correct(actor, sitting)):
        raise Refused("not_your_sitting", kind="forbidden")


def _undo(actor: Actor, old: Sitting) -> None:
    """Open the jobs again that this sitting alone had ended."""
    for line in old.tasks.filter(finished=True, job__isnull=False).select_related("job"):
        job = line.job
        assert job is not None
        others = SittingTask.objects.filter(job=job, finished=True, sitting__corrected_by=None)
        if job.state == Job.State.DONE and not others.exclude(sitting=old).exists():
            edit(job, job.version, {"state": Job.State.OPEN, "ended_on": None, "reason": ""}, actor)
        if job.task == "DECANDLE":
            _free_second_pass(actor, old)


def _free_second_pass(actor: Actor, old: Sitting) -> None:
    """The second pass goes back under the programme where this sitting had set its days."""
    first, last = (_day_of(old) + timedelta(days=days) for days in SECOND_PASS_DAYS)
    later = Job.objects.filter(
        tree_id=old.tree_id, task="DECANDLE", occurrence=2, state=Job.State.OPEN, opens=first, closes=last
    )
    for job in later:
        edit(job, job.version, {"edited": False}, actor)


def _drop_follow_ons(actor: Actor, old: Sitting, new: Sitting) -> None:
    """Take look-overs back that came from work which, as we now know, was not done then."""
    kept = _brought(new) if new.tree_id == old.tree_id else set()
    gone = _brought(old) - kept
    rows = Job.objects.filter(
        tree_id=old.tree_id, task="LOOK_OVER", origin__in=gone, state=Job.State.OPEN, edited=False
    )
    for job in rows.filter(occurrence__lte=len(LOOK_OVER_DAYS), sitting_tasks=None):
        changes = {
            "state": Job.State.WITHDRAWN,
            "reason": "The record of the work was put right.",
            "ended_on": _day_of(new),
        }
        edit(job, job.version, changes, actor)


def _brought(sitting: Sitting) -> set[str]:
    """The origins of the look-overs that a sitting brings."""
    on = _day_of(sitting).isoformat()
    done = sitting.tasks.filter(finished=True, task__in=["HEAVY_BEND", "REPOT"])
    return {f"after:{task}:{on}" for task in done.values_list("task", flat=True)}


def _day_of(sitting: Sitting) -> date:
    """The day a sitting ended, by the club's own clock."""
    return local(sitting.ended, sitting.club.zone).date()
