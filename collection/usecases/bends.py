"""A heavy bend: wanting one, the sign-off it needs, who leads it, a no and its release by another person."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from django.db import transaction

from collection.craft.bend_methods import asks_for
from collection.craft.bending import bend_figures
from collection.craft.figures import OutOfRange
from collection.craft.labour_types import CIRCUMSTANCES
from collection.craft.reference import tasks as catalogue
from collection.models import Bend, Branch, Job, Workday
from collection.planning.helper_rules import free_at, own_stops
from collection.queries.access import Actor, member_for, must_plan, tree_for
from collection.queries.bend_case import bend_for, job_of, live_places, wanted
from collection.queries.bend_figures import wish_of
from collection.queries.bends import may_judge
from collection.queries.day_problem import minutes_of
from collection.queries.errors import Refused, not_found
from collection.queries.sentences import say
from collection.usecases.edit import created, edit
from collection.usecases.estimates import refresh_jobs
from collection.usecases.locks import lock
from collection.usecases.places import keep_in_plan

THICKEST_MM, LONGEST_MM = 400, 5000


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
    circumstances: Iterable[str] = (),
    load_arm_mm: float | None = None,
    hand_arm_mm: float | None = None,
    people_on_lever: int | None = None,
    guy_deg: float | None = None,
) -> int:
    """Put a heavy bend on a tree's list, and return its job. It waits for a sign-off.

    ``circumstances`` are what asks for more people: a lever under load, a trunk, powered tools, steps. The
    lever's arms run from its pivot to the branch and to the hand; ``guy_deg`` is between guy and branch.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``size_range``, ``circumstance_unknown``,
            ``window_order`` or ``out_of_range`` (a size that the rules of the craft do not hold for).
    """
    must_plan(actor)
    tree = tree_for(actor, tree_id)
    sizes = {"length_mm": length_mm, "drop_mm": drop_mm, "radius_mm": radius_mm}
    _check_sizes(diameter_mm, sizes)
    means = {
        "circumstances": _said({*circumstances, *asks_for(method.strip())}),
        "load_arm_mm": load_arm_mm,
        "hand_arm_mm": hand_arm_mm,
        "people_on_lever": people_on_lever,
        "guy_deg": guy_deg,
    }
    if closes < opens:
        raise Refused("window_order", field="closes")
    if branch_id is not None and not Branch.objects.filter(tree=tree, pk=branch_id).exists():
        raise not_found()
    bend = Bend(club_id=actor.club_id, tree=tree, branch_id=branch_id, diameter_mm=diameter_mm, **sizes)
    bend.method, bend.severity = method.strip()[:40], diameter_mm / (2 * radius_mm) if radius_mm else None
    bend.inputs = {name: value for name, value in means.items() if value}
    _check_figures(bend)
    with transaction.atomic():
        bend.save(force_insert=True)
        job = _bend_job(actor, bend, opens, closes)
        created(bend, actor, "tree", "diameter_mm")
        created(job, actor, "task", "opens", "closes")
        refresh_jobs([job.pk])
    return job.pk


def _check_sizes(diameter_mm: float, others: Mapping[str, float | None]) -> None:
    if not 0 < diameter_mm <= THICKEST_MM:
        raise Refused("size_range", field="diameter_mm", given=diameter_mm)
    for name, value in others.items():
        if value is not None and not 0 < value <= LONGEST_MM:
            raise Refused("size_range", field=name, given=value)


def _check_figures(bend: Bend) -> None:
    """What no figure can be worked out from is refused, in the rule's own words."""
    try:
        bend_figures(wish_of(bend))
    except OutOfRange as refused:
        # A trunk thicker than the rules reach may be bent; its page says that there are no figures.
        if refused.reason.code != "bend_diameter":
            field = str(refused.reason.values.get("field", ""))
            raise Refused("out_of_range", field=field, said=say(refused.reason)) from None


def _said(circumstances: Iterable[str]) -> list[str]:
    said = sorted(set(circumstances))
    if unknown := set(said) - CIRCUMSTANCES:
        raise Refused("circumstance_unknown", field="circumstances", given=sorted(unknown)[0])
    return said


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


def sign_off(*, actor: Actor, bend_id: int, version: int, today: date) -> None:
    """Sign a heavy bend off; a bend that was refused must be released by another than the refuser.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``release_by_another`` or ``stale``.
    """
    must_plan(actor)
    bend = bend_for(actor, bend_id)
    changes: dict[str, object] = {"signed_by_id": actor.member_id, "signed_on": today}
    if bend.refused_by_id is not None and bend.released_by_id is None:
        if bend.refused_by_id == actor.member_id:
            raise Refused("release_by_another", kind="forbidden")
        changes["released_by_id"] = actor.member_id
    edit(bend, version, changes, actor)


def must_judge(actor: Actor, today: date) -> None:
    """Refuse everybody but coordinators and experts in bends: ``bend_judges_only``."""
    if not may_judge(actor, today):
        raise Refused("bend_judges_only", kind="forbidden")


def refuse(*, actor: Actor, bend_id: int, version: int, why: str, today: date) -> None:
    """Say no to a heavy bend, with a reason; it waits until another qualified person releases it.

    Its sign-off is taken back, and so is an earlier release.

    Raises:
        Refused: ``bend_judges_only``, ``not_found``, ``reason_needed``, ``bend_over`` or ``stale``.
    """
    must_judge(actor, today)
    bend = bend_for(actor, bend_id)
    if not why.strip():
        raise Refused("reason_needed", field="why")
    _must_be_open(bend)
    edit(
        bend,
        version,
        {
            "refused_by_id": actor.member_id,
            "refused_why": why.strip()[:200],
            "released_by_id": None,
            "signed_by_id": None,
            "signed_on": None,
        },
        actor,
    )


def release(*, actor: Actor, bend_id: int, version: int, today: date) -> None:
    """Release a bend that somebody else refused; it still needs a sign-off.

    Raises:
        Refused: ``bend_judges_only``, ``not_found``, ``bend_not_refused``, ``release_by_another`` or
            ``stale``.
    """
    must_judge(actor, today)
    bend = bend_for(actor, bend_id)
    if bend.refused_by_id is None or bend.released_by_id is not None:
        raise Refused("bend_not_refused", kind="conflict")
    if actor.member_id is None or bend.refused_by_id == actor.member_id:
        raise Refused("release_by_another", kind="forbidden")
    edit(bend, version, {"released_by_id": actor.member_id}, actor)


def set_lead(*, actor: Actor, bend_id: int, version: int, member_id: int | None, today: date) -> None:
    """Say who leads a heavy bend, or with None that nobody does yet.

    Somebody who was asked to help was asked beside a lead at a time, so a new lead must be free then.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``level_too_low``, a hard stop of the person,
            ``lead_helps_already``, ``lead_not_free_then``, ``bend_over`` or ``stale``.
    """
    must_plan(actor)
    bend = bend_for(actor, bend_id)
    _must_be_open(bend)
    if member_id is not None:
        _check_lead(actor, bend, member_id, today)
    with transaction.atomic():
        edit(bend, version, {"lead_id": member_id}, actor)
        places = live_places(job_of(bend).pk, today)
        lock(Workday.objects.filter(pk__in={place.workday_id for place in places}))
        for place in places:
            if place.winner_id is not None:
                keep_in_plan(actor=actor, place=place)


def _check_lead(actor: Actor, bend: Bend, member_id: int, today: date) -> None:
    member = member_for(actor, member_id)
    case = wanted(actor, bend.pk, today=today).case
    hand = next((hand for hand in case.hands if hand.id == member.pk), None)
    if hand is None:
        raise Refused("not_found", kind="not_found")
    if hand.level != "expert":
        raise Refused("level_too_low", field="lead", name=member.name, level="expert")
    for stop in own_stops(hand, case.bend):
        raise Refused("lead_not_free", kind="conflict", field="lead", name=member.name, stop=stop.code)
    for place in live_places(job_of(bend).pk, today):
        if place.winner_id == member.pk:
            raise Refused("lead_helps_already", kind="conflict", field="lead", name=member.name)
        asked = place.winner_id is not None or place.invitations.filter(answer="").exists()
        days = [day for day in case.days if day.id == place.workday_id]
        starts = minutes_of(place.starts or place.workday.opens)
        if asked and not any(free_at(case.bend, day, [hand], starts) for day in days):
            raise Refused("lead_not_free_then", kind="conflict", field="lead", name=member.name)


def _must_be_open(bend: Bend) -> None:
    if not bend.jobs.filter(state=Job.State.OPEN).exists():
        raise Refused("bend_over", kind="conflict")
