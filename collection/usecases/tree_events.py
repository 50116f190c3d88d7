"""What happens to a tree as a possession: it goes, dies, is lent, shown, moved, and comes back.

Events are written once and never changed. What follows from one (jobs taken back, rounds without the
tree) is written in the same transaction.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from collection.models import Assignment, Bench, Job, Site, Tree, TreeEvent
from collection.queries.access import Actor, must_plan, tree_for
from collection.queries.away import away_on, not_back
from collection.queries.errors import Refused, not_found
from collection.usecases.edit import created, edit, edit_many, stale
from collection.usecases.offers import out_of_date
from collection.usecases.season import bring_up_to_date
from collection.usecases.tree_rounds import leave_rounds, move_rounds

WAYS_OUT = {"given": "Given away", "sold": "Sold", "owner": "Back to its owner", "other": "Left"}
LEFT, DIED = "The tree left the collection.", "The tree died."
LONGEST_AWAY = timedelta(days=3 * 366)


@transaction.atomic
def take_out(
    *, actor: Actor, tree_id: int, version: int, how: str, on: date, today: date, note: str = ""
) -> int:
    """The tree leaves the collection; its open jobs are taken back and it stays in the register's past.

    Args:
        how: One of ``WAYS_OUT``: given, sold, owner or other.
        note: To whom, or why.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``way_out``, ``day_ahead``, ``tree_gone`` or ``stale``.
    """
    tree = _here(actor, tree_id)
    if how not in WAYS_OUT:
        raise Refused("way_out", field="how")
    _not_ahead(on, today)
    cause = WAYS_OUT[how] + (f": {note.strip()}" if note.strip() else "")
    return _leave(actor, tree, version, "out", on, today, cause, LEFT)


@transaction.atomic
def record_death(*, actor: Actor, tree_id: int, version: int, cause: str, on: date, today: date) -> int:
    """The tree died, of a cause as far as anybody knows; its open jobs are taken back.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``cause_needed``, ``day_ahead``, ``tree_gone`` or
            ``stale``.
    """
    tree = _here(actor, tree_id)
    if not cause.strip():
        raise Refused("cause_needed", field="cause")
    _not_ahead(on, today)
    return _leave(actor, tree, version, "died", on, today, cause, DIED)


@transaction.atomic
def lend(*, actor: Actor, tree_id: int, to: str, on: date, until: date | None = None) -> int:
    """The tree is lent: it keeps its jobs, and none is planned while it is away.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``lent_to``, ``away_days``, ``tree_gone`` or
            ``away_already``.
    """
    tree = _here(actor, tree_id)
    if not to.strip():
        raise Refused("lent_to", field="to")
    return _go_away(actor, tree, "lent", on, until, to)


@transaction.atomic
def send_to_show(*, actor: Actor, tree_id: int, where: str, on: date, until: date) -> int:
    """The tree is at a show from one day to another; hard work keeps its distance from the journey.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``show_where``, ``away_days``, ``tree_gone`` or
            ``away_already``.
    """
    tree = _here(actor, tree_id)
    if not where.strip():
        raise Refused("show_where", field="where")
    return _go_away(actor, tree, "show", on, until, where)


@transaction.atomic
def move_tree(
    *,
    actor: Actor,
    tree_id: int,
    version: int,
    site_id: int,
    bench_id: int | None,
    on: date,
    today: date,
    why: str = "",
) -> int:
    """The tree stands somewhere else from now on; its rounds go along.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``bench_elsewhere``, ``day_ahead``, ``moved_nowhere``,
            ``tree_gone`` or ``stale``.
    """
    tree = _here(actor, tree_id)
    _not_ahead(on, today)
    site = Site.objects.filter(club_id=actor.club_id, pk=site_id).first()
    bench = Bench.objects.filter(club_id=actor.club_id, pk=bench_id).first() if bench_id else None
    if site is None or (bench_id and bench is None):
        raise not_found()
    if bench is not None and bench.site_id != site.pk:
        raise Refused("bench_elsewhere", field="bench_id")
    if (tree.site_id, tree.bench_id) == (site.pk, bench_id):
        raise Refused("moved_nowhere", field="bench_id")
    before, old_bench = _place(tree.site, tree.bench), tree.bench_id
    edit(tree, version, {"site_id": site.pk, "bench_id": bench_id}, actor)
    said = f"{before} to {_place(site, bench)}" + (f", {why.strip()}" if why.strip() else "")
    event = _event(actor, tree, "moved", on, None, said)
    _plans_out_of_date(tree, today)
    move_rounds(actor, tree, old_bench, today)
    return event


@transaction.atomic
def bring_back(
    *, actor: Actor, tree_id: int, on: date, today: date, version: int | None = None, note: str = ""
) -> int:
    """The tree is back from a loan or a show before its day, or back in the collection after it had left.

    Jobs that were taken back because it left are open again where their window still is.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``not_away``, ``day_ahead`` or ``stale``.
    """
    must_plan(actor)
    tree = tree_for(actor, tree_id)
    _not_ahead(on, today)
    if tree.archived_at is None:
        if not (away_on([tree.pk], on) or not_back([tree.pk], on)):
            raise Refused("not_away", kind="conflict")
        if version not in (None, tree.version):
            raise stale(tree, version, {})
        return _event(actor, tree, "back", on, None, note)
    edit(tree, tree.version if version is None else version, {"archived_at": None}, actor)
    event = _event(actor, tree, "back", on, None, note)
    again = Job.objects.filter(
        tree=tree, state=Job.State.WITHDRAWN, reason__in=[LEFT, DIED], closes__gte=today
    )
    for job in again:
        edit(job, job.version, {"state": Job.State.OPEN, "reason": "", "ended_on": None}, actor)
    bring_up_to_date(actor, tree, today)
    return event


def _here(actor: Actor, tree_id: int) -> Tree:
    """The tree, when a coordinator asks and it is in the collection."""
    must_plan(actor)
    tree = tree_for(actor, tree_id)
    if tree.archived_at is not None:
        raise Refused("tree_gone", kind="conflict")
    return tree


def _not_ahead(on: date, today: date) -> None:
    if on > today:
        raise Refused("day_ahead", field="on")


def _event(actor: Actor, tree: Tree, kind: str, on: date, until: date | None, cause: str) -> int:
    event = TreeEvent.objects.create(
        club_id=actor.club_id,
        tree=tree,
        kind=kind,
        on=on,
        until=until,
        cause=cause.strip()[:200],
        by_id=actor.member_id,
    )
    created(event, actor, "tree", "kind", "on", "until", "cause")
    return event.pk


def _leave(
    actor: Actor, tree: Tree, version: int, kind: str, on: date, today: date, cause: str, reason: str
) -> int:
    edit(tree, version, {"archived_at": timezone.now()}, actor)
    event = _event(actor, tree, kind, on, None, cause)
    ended: dict[str, Any] = {"state": Job.State.WITHDRAWN, "reason": reason, "ended_on": on}
    edit_many([(job, ended) for job in Job.objects.filter(tree=tree, state=Job.State.OPEN)], actor)
    _plans_out_of_date(tree, on)
    leave_rounds(actor, tree, on)
    return event


def _go_away(actor: Actor, tree: Tree, kind: str, on: date, until: date | None, where: str) -> int:
    if until is not None and not on <= until <= on + LONGEST_AWAY:
        raise Refused("away_days", field="until")
    if away_on([tree.pk], on):
        raise Refused("away_already", kind="conflict", field="on")
    _plans_out_of_date(tree, on, until)
    return _event(actor, tree, kind, on, until, where)


def _plans_out_of_date(tree: Tree, since: date, until: date | None = None) -> None:
    """Plans that count on the tree for a day on which it is not where they thought."""
    seats = Assignment.objects.filter(job__tree=tree, plan__workday__date__gte=since)
    if until is not None:
        seats = seats.filter(plan__workday__date__lte=until)
    for day_id in sorted(set(seats.values_list("plan__workday_id", flat=True))):
        out_of_date(day_id)


def _place(site: Site, bench: Bench | None) -> str:
    return bench.name if bench else site.name
