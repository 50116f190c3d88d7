"""Recording many planned jobs at once: "all done, except ..."."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from collection.models import Workday
from collection.queries.access import Actor, must_plan, workday_for
from collection.queries.day_after import PlannedJob, day_after
from collection.queries.errors import Refused
from collection.queries.gear import wire_on
from collection.usecases.plans import instant
from collection.usecases.sittings import WIRE_OFF, TaskDone, Worked, record

Chosen = tuple[int, int]


def record_as_planned(
    *, actor: Actor, workday_id: int, chosen: Sequence[Chosen], request_key: str, today: date
) -> int:
    """Record planned jobs as done, at planned minutes marked as shared by estimate, by those who came.

    Each job is kept by itself, so that a job refused by the record does not take the others with it.
    What is on record already is left alone. Where the plan was to take wire off, all that is on came off.

    Args:
        chosen: (job, sitting) of the plan that was sent out.
        request_key: The same key again changes nothing.

    Returns:
        How many jobs were recorded now.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``day_cancelled``, ``day_not_yet``, ``nothing_chosen``,
            ``came_first``, ``part_needs_note`` or ``nobody_of_job_came``; nothing is recorded then.
    """
    must_plan(actor)
    day = workday_for(actor, workday_id)
    after = day_after(actor, workday_id, today=today)
    known = {(job.seat.job_id, job.seat.sitting): job for job in after.jobs}
    if not chosen:
        raise Refused("nothing_chosen", field="jobs")
    if any(key not in known for key in chosen):
        raise Refused("not_found", kind="not_found")
    if not after.marked:
        raise Refused("came_first", kind="conflict")
    jobs = [known[key] for key in dict.fromkeys(chosen) if not known[key].done]
    for job in jobs:
        _check(job)
    for job in jobs:
        _record(actor, day, job, request_key)
    return len(jobs)


def _check(job: PlannedJob) -> None:
    words = {"accession": job.seat.accession, "title": job.seat.title.lower()}
    if job.seat.part:
        raise Refused("part_needs_note", field="jobs", **words)
    if not job.here:
        raise Refused("nobody_of_job_came", field="jobs", **words)


def _record(actor: Actor, day: Workday, job: PlannedJob, request_key: str) -> None:
    seat = job.seat
    record(
        actor=actor,
        trees=[seat.tree_id],
        tasks=[TaskDone(seat.task, job_id=seat.job_id)],
        people=[Worked(person, job.minutes, role) for person, _, role in job.here],
        started=instant(day, seat.starts_min),
        ended=instant(day, seat.ends_min),
        request_key=f"{request_key[:40]}-{seat.job_id}-{seat.sitting}",
        workday_id=day.pk,
        by_estimate=True,
        wires_off=wire_on(actor.club_id, [seat.tree_id]) if seat.task == WIRE_OFF else None,
    )
