"""Wire that marks comes due to be taken off; guys come off; wire on the rack is weighed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from django.db import IntegrityError, transaction

from collection.craft.reference import tasks as catalogue
from collection.models import Guy, Job, Wire, WireStock
from collection.queries.access import Actor, must_plan
from collection.queries.errors import Refused, not_found
from collection.usecases.edit import change_of, created, edit, edit_many
from collection.usecases.estimates import refresh_jobs

METALS = ("copper", "aluminium")
# Wire that marks is cut off at once (common practice); the job closes after a week (assumption).
MARKING_DAYS = timedelta(days=7)
URGENT = 5
MOST_GRAMS = 100_000


def wire_marks(*, actor: Actor, wire: Wire, on: date) -> int:
    """Make the job that takes a marking wire off, in the caller's transaction; made once a wire.

    Returns:
        The job.
    """
    job, made = Job.objects.get_or_create(
        club_id=actor.club_id,
        target=f"tree:{wire.tree_id}",
        task="WIRE_OFF",
        origin=f"marks:wire:{wire.pk}",
        season_year=wire.on.year,
        occurrence=1,
        subject=f"wire:{wire.label}"[:30],
        defaults={
            "tree_id": wire.tree_id,
            "opens": on,
            "closes": on + MARKING_DAYS,
            "priority": URGENT,
            "stress": catalogue()["WIRE_OFF"].stress,
            "by_id": actor.member_id,
            "edited": True,
        },
    )
    if made:
        change_of(job, actor, before={}, after={"task": job.task, "opens": on}).save()
        refresh_jobs([job.pk], today=on)
    return job.pk


def wire_is_off(*, actor: Actor, wire: Wire, on: date) -> None:
    """End the job that wanted a wire off, in the caller's transaction."""
    jobs = Job.objects.filter(
        club_id=actor.club_id, origin=f"marks:wire:{wire.pk}", state=Job.State.OPEN, task="WIRE_OFF"
    )
    for job in jobs:
        edit(job, job.version, {"state": Job.State.DONE, "ended_on": on}, actor)


def take_guy_off(*, actor: Actor, guy_id: int, on: date) -> None:
    """Write down that a guy wire came off.

    Raises:
        Refused: ``not_found`` or ``wire_off_early``.
    """
    guy = Guy.objects.filter(club_id=actor.club_id, pk=guy_id, off=None).first()
    if guy is None:
        raise not_found()
    if on < guy.on:
        raise Refused("wire_off_early", field="on", on=guy.on)
    edit(guy, guy.version, {"off": on}, actor)


def came_off(
    *, actor: Actor, trees: Sequence[int], wires: Sequence[int], guys: Sequence[int], on: date
) -> None:
    """Take wires and guys of these trees off in the caller's transaction, and end the jobs that wanted it.

    Raises:
        Refused: ``not_found`` or ``wire_off_early``.
    """
    there = {"club_id": actor.club_id, "tree_id__in": trees, "off": None}
    wired = list(Wire.objects.filter(**there, pk__in=wires)) if wires else []
    guyed = list(Guy.objects.filter(**there, pk__in=guys)) if guys else []
    if len(wired) != len(set(wires)) or len(guyed) != len(set(guys)):
        raise not_found()
    both: list[Wire | Guy] = [*wired, *guyed]
    for row in both:
        if on < row.on:
            raise Refused("wire_off_early", field="on", on=row.on)
    edit_many([(row, {"off": on}) for row in wired], actor)
    edit_many([(row, {"off": on}) for row in guyed], actor)
    for wire in wired:
        wire_is_off(actor=actor, wire=wire, on=on)


def set_stock(*, actor: Actor, metal: str, gauge_mm: float, grams: float) -> int:
    """Write down how much wire of a kind is on the rack, in grams; returns the row.

    It is what somebody weighed: the later weighing holds, and the trail of changes keeps both.

    Raises:
        Refused: ``coordinators_only``, ``metal_unknown``, ``wire_size`` or ``stock_range``.
    """
    must_plan(actor)
    if metal not in METALS:
        raise Refused("metal_unknown", field="metal", given=metal)
    if not 0.3 <= gauge_mm <= 12:
        raise Refused("wire_size", field="gauge_mm", given=gauge_mm)
    if not 0 <= grams <= MOST_GRAMS:
        raise Refused("stock_range", field="grams", given=grams)
    key = {"club_id": actor.club_id, "metal": metal, "gauge_mm": gauge_mm}
    try:
        with transaction.atomic():
            stock = WireStock.objects.filter(**key).first()
            if stock is None:
                stock = WireStock.objects.create(**key, grams=grams)
                created(stock, actor, "metal", "gauge_mm", "grams")
            else:
                edit(stock, stock.version, {"grams": grams}, actor)
    except IntegrityError:
        raise Refused("stale", kind="stale", version=1) from None
    return stock.pk
