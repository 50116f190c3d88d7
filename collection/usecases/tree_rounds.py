"""Rounds follow their trees: one that left is taken off, one that moved goes along to its new bench."""

from __future__ import annotations

from datetime import date

from collection.models import Job, Round, RoundTree, Tree
from collection.queries.access import Actor
from collection.usecases.edit import edit_many
from collection.usecases.estimates import refresh_jobs


def leave_rounds(actor: Actor, tree: Tree, on: date) -> None:
    """Take a tree off every round that is open on a day or later; a round without trees is taken back."""
    _clear(actor, _lines(tree, on), on)


def move_rounds(actor: Actor, tree: Tree, old_bench_id: int | None, today: date) -> None:
    """Put a tree that moved on the rounds of its new bench that are open today or later."""
    lines = _lines(tree, today)
    old_key = f"bench:{old_bench_id}" if old_bench_id else ""
    moving = [line for line in lines if line.round.bench_key == old_key]
    wanted = []
    for line in moving:
        row = _round_like(line.round, tree.bench_id)
        wanted.append(RoundTree(club_id=tree.club_id, round=row, tree=tree))
    RoundTree.objects.bulk_create(wanted, ignore_conflicts=True)
    _clear(actor, moving, today)
    touched = {line.round_id for line in wanted}
    refresh_jobs([*Job.objects.filter(round_id__in=touched).values_list("pk", flat=True)])


def _lines(tree: Tree, on: date) -> list[RoundTree]:
    rows = RoundTree.objects.filter(tree=tree, round__jobs__state=Job.State.OPEN, round__jobs__closes__gte=on)
    return list(rows.select_related("round").distinct())


def _clear(actor: Actor, lines: list[RoundTree], on: date) -> None:
    rounds = [line.round_id for line in lines]
    RoundTree.objects.filter(pk__in=[line.pk for line in lines]).delete()
    jobs = Job.objects.filter(round_id__in=rounds, state=Job.State.OPEN)
    empty = jobs.exclude(round_id__in=RoundTree.objects.filter(round_id__in=rounds).values("round_id"))
    ended = {"state": Job.State.WITHDRAWN, "reason": "No tree is left on this round.", "ended_on": on}
    edit_many([(job, ended) for job in empty], actor)
    refresh_jobs([*jobs.values_list("pk", flat=True)])


def _round_like(old: Round, bench_id: int | None) -> Round:
    """The same task on the same day on another bench; made when that bench has none yet."""
    key = f"bench:{bench_id}" if bench_id else ""
    row, made = Round.objects.get_or_create(
        club_id=old.club_id,
        bench_key=key,
        task=old.task,
        on=old.on,
        defaults={"bench_id": bench_id, "season_year": old.season_year},
    )
    if made:
        like = Job.objects.filter(round=old).order_by("id").first()
        if like is not None:
            Job.objects.create(
                club_id=old.club_id,
                round=row,
                target=f"round:{row.pk}",
                task=like.task,
                origin=like.origin,
                season_year=like.season_year,
                occurrence=like.occurrence,
                opens=like.opens,
                closes=like.closes,
                stress=like.stress,
            )
    return row
