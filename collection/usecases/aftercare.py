"""Jobs that work itself brings: look-overs after a bend or a repot, the second pass of decandling."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from collection.craft.reference import tasks as catalogue
from collection.models import Job, Sitting
from collection.queries.access import Actor
from collection.usecases.edit import change_of

# Days after a heavy bend or a repot on which the tree is looked over (common practice, no source).
LOOK_OVER_DAYS = (7, 30, 90)
# How long a look-over may wait once it is due (assumption).
LOOK_OVER_SLACK_DAYS = 7
# Second pass of decandling, days after the first (ten-day practice; one society says 12 to 14).
SECOND_PASS_DAYS = (10, 14)


def follow_on(*, actor: Actor, sitting: Sitting, tasks: Sequence[str]) -> None:
    """Make or move the jobs that the finished tasks of a sitting bring, in the caller's transaction."""
    on = sitting.ended.date()
    for task in tasks:
        if task in ("HEAVY_BEND", "REPOT"):
            _look_overs(actor, sitting, task, on)
        if task == "DECANDLE":
            _second_pass(actor, sitting, on)


def _look_overs(actor: Actor, sitting: Sitting, task: str, on: date) -> None:
    for number, days in enumerate(LOOK_OVER_DAYS, start=1):
        opens = on + timedelta(days=days)
        job, made = Job.objects.get_or_create(
            club_id=actor.club_id,
            target=f"tree:{sitting.tree_id}",
            task="LOOK_OVER",
            origin=f"after:{task}:{on.isoformat()}",
            season_year=on.year,
            occurrence=number,
            subject="",
            defaults={
                "tree_id": sitting.tree_id,
                "opens": opens,
                "closes": opens + timedelta(days=LOOK_OVER_SLACK_DAYS),
                "stress": catalogue()["LOOK_OVER"].stress,
            },
        )
        if made:
            change_of(job, actor, before={}, after={"task": job.task, "opens": opens}).save()


def _second_pass(actor: Actor, sitting: Sitting, on: date) -> None:
    first, last = (on + timedelta(days=days) for days in SECOND_PASS_DAYS)
    later = Job.objects.filter(
        tree_id=sitting.tree_id, task="DECANDLE", occurrence=2, state=Job.State.OPEN, edited=False
    )
    later = later.filter(season_year__in=[on.year - 1, on.year])
    for job in later:
        before = {"opens": job.opens, "closes": job.closes}
        job.opens, job.closes, job.edited = first, last, True
        job.version += 1
        job.save(update_fields=["opens", "closes", "edited", "version"])
        change_of(job, actor, before=before, after={"opens": first, "closes": last}).save()
