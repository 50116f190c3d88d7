"""Rounds: one repeating task walked along a bench, ticked off for all its trees at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.db import transaction

from collection.models import Job, RoundTree, Sitting
from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.queries.rounds import round_for
from collection.usecases.edit import change_of
from collection.usecases.sittings import TaskDone, Worked, record


@transaction.atomic
def tick(
    *,
    actor: Actor,
    round_id: int,
    people: Sequence[Worked],
    started: datetime,
    ended: datetime,
    request_key: str,
    left_out: Iterable[int] = (),
) -> list[int]:
    """Write a round down as done: a sitting for each of its trees, minutes shared evenly and marked so.

    The round's job is done. Trees left out keep that mark on the round, and get no sitting. Sittings of a
    round are no last hands: they leave open trees open.

    Returns:
        The sittings' ids; the same key again changes nothing.

    Raises:
        Refused: ``not_found``, ``round_over``, ``round_empty``, or as ``record``.
    """
    row = round_for(actor, round_id)
    there = Sitting.objects.filter(club_id=actor.club_id, request_key=request_key).order_by("id")
    if known := list(there.values_list("pk", flat=True)):
        return known
    lines = {line.tree_id: line for line in RoundTree.objects.filter(round=row).order_by("tree_id")}
    out = set(left_out)
    if not out <= set(lines):
        raise Refused("not_found", kind="not_found")
    job = Job.objects.filter(round=row, state=Job.State.OPEN).first()
    if job is None:
        raise Refused("round_over", kind="conflict")
    trees = [tree for tree in lines if tree not in out]
    if not trees:
        raise Refused("round_empty", field="trees")
    ids = record(
        actor=actor,
        trees=trees,
        tasks=[TaskDone(row.task, job_id=job.pk)],
        people=people,
        started=started,
        ended=ended,
        request_key=request_key,
        by_estimate=True,
    )
    for tree in sorted(out):
        line = lines[tree]
        line.left_out = True
        line.save(update_fields=["left_out"])
        change_of(line, actor, before={"left_out": False}, after={"left_out": True}).save()
    return ids
