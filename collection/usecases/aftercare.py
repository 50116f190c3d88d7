"""Jobs that work itself brings: look-overs after a bend or a repot, the second pass of decandling."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from collection.craft.reference import tasks as catalogue
from collection.models import Change, Job, Sitting
from collection.queries.access import Actor
from collection.usecases.edit import change_of, edit_many

# Days after a heavy bend or a repot on which the tree is looked over (common practice, no source).
LOOK_OVER_DAYS = (7, 30, 90)
# How long a look-over may wait once it is due (assumption).
LOOK_OVER_SLACK_DAYS = 7
# Second pass of decandling, days after the first (ten-day practice; one society says 12 to 14).
SECOND_PASS_DAYS = (10, 14)


def follow_on(*, actor: Actor, sittings: Sequence[Sitting], on: date, tasks: Sequence[str]) -> None:
    """Make or move the jobs that the finished tasks of sittings bring, in the caller's transaction.

    The sittings are of one spell of work: they ended on one day, ``on`` by the club's clock, and finished
    the same tasks.
    """
    trees = [sitting.tree_id for sitting in sittings]
    for task in dict.fromkeys(tasks):
        if task in ("HEAVY_BEND", "REPOT"):
            _look_overs(actor, trees, task, on)
        if task == "DECANDLE":
            _second_pass(actor, trees, on)


def _look_overs(actor: Actor, trees: Sequence[int], task: str, on: date) -> None:
    """Make the look-overs that are not there yet; one that somebody else makes meanwhile is his."""
    origin = f"after:{task}:{on.isoformat()}"
    rows = Job.objects.filter(
        club_id=actor.club_id,
        tree_id__in=trees,
        task="LOOK_OVER",
        origin=origin,
        season_year=on.year,
        subject="",
    )
    there = set(rows.values_list("tree_id", "occurrence"))
    wanted = [
        _look_over(actor, tree, origin, on, number)
        for tree in trees
        for number in range(1, len(LOOK_OVER_DAYS) + 1)
        if (tree, number) not in there
    ]
    Job.objects.bulk_create(wanted, ignore_conflicts=True)
    made = [job for job in rows if (job.tree_id, job.occurrence) not in there] if wanted else []
    Change.objects.bulk_create(
        change_of(job, actor, before={}, after={"task": job.task, "opens": job.opens}) for job in made
    )


def _look_over(actor: Actor, tree: int, origin: str, on: date, number: int) -> Job:
    opens = on + timedelta(days=LOOK_OVER_DAYS[number - 1])
    return Job(
        club_id=actor.club_id,
        tree_id=tree,
        target=f"tree:{tree}",
        task="LOOK_OVER",
        origin=origin,
        season_year=on.year,
        occurrence=number,
        opens=opens,
        closes=opens + timedelta(days=LOOK_OVER_SLACK_DAYS),
        stress=catalogue()["LOOK_OVER"].stress,
    )


def _second_pass(actor: Actor, trees: Sequence[int], on: date) -> None:
    first, last = (on + timedelta(days=days) for days in SECOND_PASS_DAYS)
    later = Job.objects.filter(
        tree_id__in=trees, task="DECANDLE", occurrence=2, state=Job.State.OPEN, edited=False
    )
    moved = {"opens": first, "closes": last, "edited": True}
    edit_many([(job, moved) for job in later.filter(season_year__in=[on.year - 1, on.year])], actor)
