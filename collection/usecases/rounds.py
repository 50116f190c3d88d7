"""Rounds: one repeating task walked along a bench, ticked off for all its trees at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.db import transaction

from collection.models import Job, RoundTree
from collection.queries.access import Actor
from collection.queries.errors import Refused, not_found
from collection.queries.rounds import round_for
from collection.usecases.edit import change_of
from collection.usecases.sittings import TaskDone, Worked, record, recorded


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
    now: datetime | None = None,
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
    if known := recorded(actor, request_key):
        return known
    lines = RoundTree.objects.filter(round=row).order_by("tree_id")
    there, out = list(lines.values_list("tree_id", flat=True)), set(left_out)
    if not out <= set(there):
        raise not_found()
    job = Job.objects.filter(round=row, state=Job.State.OPEN).values_list("pk", flat=True).first()
    if job is None:
        raise Refused("round_over", kind="conflict")
    trees = [tree for tree in there if tree not in out]
    if not trees:
        raise Refused("round_empty", field="trees")
    ids = record(
        actor=actor,
        trees=trees,
        tasks=[TaskDone(row.task, job_id=job)],
        people=people,
        started=started,
        ended=ended,
        request_key=request_key,
        by_estimate=True,
        now=now,
    )
    for line in lines.filter(tree_id__in=out) if out else ():
        line.left_out = True
        line.save(update_fields=["left_out"])
        change_of(line, actor, before={"left_out": False}, after={"left_out": True}).save()
    return ids
