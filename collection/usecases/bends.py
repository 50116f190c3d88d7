"""A heavy bend: wanting one, and the sign-off it needs."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from collection.craft.reference import tasks as catalogue
from collection.models import Bend, Branch, Job
from collection.queries.access import Actor, must_plan, tree_for
from collection.queries.errors import Refused, not_found
from collection.usecases.edit import created, edit
from collection.usecases.estimates import refresh_jobs


def want_bend(
    *,
    actor: Actor,
    tree_id: int,
    diameter_mm: float,
    opens: date,
    closes: date,
    branch_id: int | None = None,
    length_mm: float | None = None,
    drop_mm: float | None = None,
    radius_mm: float | None = None,
    method: str = "",
) -> int:
    """Put a heavy bend on a tree's list, and return its job. It waits for a sign-off.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``size_range`` or ``window_order``.
    """
    must_plan(actor)
    tree = tree_for(actor, tree_id)
    if not 0 < diameter_mm <= 400:
        raise Refused("size_range", field="diameter_mm", given=diameter_mm)
    if closes < opens:
        raise Refused("window_order", field="closes")
    if branch_id is not None and not Branch.objects.filter(tree=tree, pk=branch_id).exists():
        raise not_found()
    severity = diameter_mm / (2 * radius_mm) if radius_mm else None
    with transaction.atomic():
        bend = Bend.objects.create(
            club_id=actor.club_id,
            tree=tree,
            branch_id=branch_id,
            diameter_mm=diameter_mm,
            length_mm=length_mm,
            drop_mm=drop_mm,
            radius_mm=radius_mm,
            method=method,
            severity=severity,
        )
        job = _bend_job(actor, bend, opens, closes)
        created(bend, actor, "tree", "diameter_mm")
        created(job, actor, "task", "opens", "closes")
        refresh_jobs([job.pk])
    return job.pk


def _bend_job(actor: Actor, bend: Bend, opens: date, closes: date) -> Job:
    return Job.objects.create(
        club_id=actor.club_id,
        tree_id=bend.tree_id,
        target=f"tree:{bend.tree_id}",
        task="HEAVY_BEND",
        origin="hand",
        season_year=opens.year,
        subject=f"bend:{bend.pk}",
        bend=bend,
        opens=opens,
        closes=closes,
        stress=catalogue()["HEAVY_BEND"].stress,
        crew=2,
        by_id=actor.member_id,
        edited=True,
    )


def sign_off(*, actor: Actor, bend_id: int, today: date) -> None:
    """Sign a heavy bend off; a bend that was refused must be released by another than the refuser.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``release_by_another``.
    """
    must_plan(actor)
    bend = Bend.objects.filter(club_id=actor.club_id, pk=bend_id).first()
    if bend is None:
        raise not_found()
    changes: dict[str, object] = {"signed_by_id": actor.member_id, "signed_on": today}
    if bend.refused_by_id is not None:
        if bend.refused_by_id == actor.member_id:
            raise Refused("release_by_another", kind="forbidden")
        changes["released_by_id"] = actor.member_id
    edit(bend, bend.version, changes, actor)
