"""After a day: who came, and what was done of what was planned."""

from __future__ import annotations

import uuid
from types import SimpleNamespace

from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.day_after import Came, DayAfter, Other, PlannedJob
from collection.queries.labels import day, in_words, length, task_name
from collection.queries.speech import clock, listed
from collection.web.forms.day import CameForm
from collection.web.pages.my_day import record_url
from collection.web.pages.parts import Action, Empty, Tag, lead, page


def came_page(found: Came, form: CameForm) -> SimpleNamespace:
    """Everything ``day/came.html`` reads."""
    said = "Those who said yes are ticked. Take the tick away from anybody who did not come."
    if found.marked:
        said = "Who came is written down. You can still put it right."
    held = found.state == "held"
    return page(
        title=f"Who came on {day(found.date)}",
        lead=lead(said),
        url=reverse("day-came", args=[found.workday_id]),
        form=form,
        times=[(form[first], form[last]) for first, last in form.times],
        held=held,
        send="Keep who came" if held else "The day was held",
        only="" if held else "Only keep who came",
        back=SimpleNamespace(url=reverse("day", args=[found.workday_id]), words="Back to the day"),
        foot_left="Coming and going are seen by members of the club.",
        foot_right="",
    )


def after_page(
    found: DayAfter, actor: Actor, error: str = "", chosen: frozenset[str] = frozenset()
) -> SimpleNamespace:
    """Everything ``day/after.html`` reads."""
    left = [job for job in found.jobs if not job.done]
    ready = [job for job in left if job.here and not job.seat.part]
    may = actor.plans and found.marked and bool(ready)
    return page(
        title=f"What was done on {day(found.date)}",
        lead=lead(_opening(found, left)),
        came=f"{listed(found.came)} came." if found.came else "",
        mark=None
        if found.marked or not actor.plans
        else Action("Say who came", reverse("day-came", args=[found.workday_id]), main=True),
        error=error,
        url=reverse("day-record", args=[found.workday_id]) if may else "",
        key=uuid.uuid4().hex,
        send="Record the ticked jobs as planned",
        about="Untick every job that was not done. Minutes are kept as planned and marked so.",
        ready=[_row(job, found, ticked=_key(job) in chosen or not error) for job in (ready if may else [])],
        rest=[_row(job, found, ticked=False) for job in left if not may or job not in ready],
        done=[_row(job, found, ticked=False) for job in found.jobs if job.done],
        others=[_other(one) for one in found.others],
        empty=None
        if found.has_plan or found.others
        else Empty("No plan was sent out for this day. Record work on each tree's page."),
        back=SimpleNamespace(url=reverse("day", args=[found.workday_id]), words="Back to the day"),
        foot_left="A job that goes on another day needs a note for the next hands.",
        foot_right="",
    )


def _other(one: Other) -> SimpleNamespace:
    what = listed([task_name(task) for task in one.tasks])
    who = f" {listed(one.who)}." if one.who else ""
    return SimpleNamespace(
        tag=Tag(one.accession, reverse("tree", args=[one.tree_id])),
        sentence=f"{what}, {length(one.minutes)}.{who}",
    )


def _opening(found: DayAfter, left: list[PlannedJob]) -> str:
    if not found.jobs:
        done = len(found.others)
        more = f" {in_words(done)} {'sitting is' if done == 1 else 'sittings are'} on record." if done else ""
        return f"Nothing was planned.{more}"
    if not left:
        return "Every planned job is on record. Thank you."
    if len(left) == len(found.jobs):
        return "None of the planned jobs is on record yet."
    verb = "is" if len(left) == 1 else "are"
    return f"{in_words(len(left))} of {len(found.jobs)} planned jobs {verb} not on record yet."


def _key(job: PlannedJob) -> str:
    return f"{job.seat.job_id}~{job.seat.sitting}"


def _row(job: PlannedJob, found: DayAfter, *, ticked: bool) -> SimpleNamespace:
    seat = job.seat
    note = ""
    if not job.done and seat.part:
        note = "Goes on another day: record it with a note."
    elif not job.done and found.marked and not job.here:
        note = "Nobody planned for it came."
    return SimpleNamespace(
        id=f"job-{seat.job_id}-{seat.sitting}",
        value=_key(job),
        ticked=ticked,
        number=job.number,
        tag=Tag(seat.accession, reverse("tree", args=[seat.tree_id])),
        title=seat.title,
        who=listed([name for _, name, _ in (job.here or seat.people)]),
        when=f"{clock(seat.starts_min)} to {clock(seat.ends_min)}, {length(job.minutes)} each"
        if len(seat.people) > 1
        else f"{clock(seat.starts_min)} to {clock(seat.ends_min)}, {length(job.minutes)}",
        note=note,
        record=SimpleNamespace(url=record_url(found.workday_id, seat), words=f"Record {job.number}"),
    )
