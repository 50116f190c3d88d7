"""Sending a day's plan out: places are confirmed, nobody is in two at once, and people are told."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import IntegrityError, transaction
from django.db.models import Q

from collection.models import Assignment, Offer, Plan, Workday
from collection.queries.access import Actor, must_plan, plan_for
from collection.queries.clock import local
from collection.queries.errors import Refused
from collection.usecases.day_notices import tell_of_day
from collection.usecases.edit import edit, note
from collection.usecases.locks import lock, lock_day, lock_people
from collection.usecases.notices import NoticeKind, take_back, workday_subject

# What a person's list of the day is made of: when one of these differs, he is told again.
Own = tuple[int, object, object, str]


def send_out(*, actor: Actor, plan_id: int) -> None:
    """Send the plan out: its assignments are confirmed, and nobody is in two at once anywhere.

    Everybody who comes is told; when a plan was out before, only those whose own list changed.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``plan_not_ready``, ``day_over``,
            ``busy_elsewhere`` naming who and where, ``busy_in_another_club`` or ``already_busy``.
    """
    must_plan(actor)
    plan = plan_for(actor, plan_id)
    try:
        with transaction.atomic():
            day = lock_day(plan.workday_id)
            # Asked of the row itself: an answer that came in meanwhile puts the plan out of date.
            if not lock(Plan.objects.filter(pk=plan.pk, state=Plan.State.READY)):
                raise Refused("plan_not_ready", kind="conflict")
            older = list(Plan.objects.filter(workday=day, sent_out=True).exclude(pk=plan.pk))
            booked = Assignment.objects.filter(plan__workday=day).filter(Q(plan=plan) | Q(confirmed=True))
            lock_people(booked.values_list("person_key", flat=True))
            before = {member: rows for old in older for member, rows in _lists(old).items()}
            Assignment.objects.filter(plan__in=older).update(confirmed=False)
            for old in older:  # one at most
                Plan.objects.filter(pk=old.pk).update(sent_out=False)
                note(old, actor, before={"sent_out": True}, after={"sent_out": False})
            _check_free(plan)
            Assignment.objects.filter(plan=plan).update(confirmed=True)
            Plan.objects.filter(pk=plan.pk).update(sent_out=True)
            note(plan, actor, before={"sent_out": False}, after={"sent_out": True})
            edit(day, day.version, {"state": Workday.State.SENT}, actor)
            _tell(day, plan, before, newer=bool(older))
    except IntegrityError:
        raise Refused("already_busy", kind="conflict") from None


def _lists(plan: Plan) -> dict[int, set[Own]]:
    """What each person does in a plan."""
    found: dict[int, set[Own]] = {}
    for row in plan.assignments.all():
        found.setdefault(row.member_id, set()).add((row.job_id, row.starts, row.ends, row.role))
    return found


def _check_free(plan: Plan) -> None:
    """Refuse a plan whose people are confirmed elsewhere at the same time, with who and where."""
    mine = list(plan.assignments.select_related("member").order_by("starts", "id"))
    if not mine:
        return
    others = Assignment.objects.filter(
        confirmed=True,
        person_key__in={row.person_key for row in mine},
        starts__lt=max(row.ends for row in mine),
        ends__gt=min(row.starts for row in mine),
    ).exclude(plan=plan)
    others = others.select_related("plan__workday__site").order_by("starts", "id")
    for other in others:
        names = _meeting(mine, [row for row in others if row.plan_id == other.plan_id])
        if not names:
            continue
        if other.club_id != plan.club_id:
            # Another club's place and hours are its own business.
            raise Refused("busy_in_another_club", kind="conflict", people=names)
        day = other.plan.workday
        clash = [row for row in others if row.plan_id == other.plan_id and row.member.name in names]
        raise Refused(
            "busy_elsewhere",
            kind="conflict",
            people=names,
            site=day.site.name,
            begins=f"{local(min(row.starts for row in clash), day.zone):%H:%M}",
            ends=f"{local(max(row.ends for row in clash), day.zone):%H:%M}",
        )


def _meeting(mine: Iterable[Assignment], theirs: Iterable[Assignment]) -> tuple[str, ...]:
    """Names of the people who would be in two places at once."""
    busy = list(theirs)
    found = [
        row.member.name
        for row in mine
        for other in busy
        if row.person_key == other.person_key and row.starts < other.ends and other.starts < row.ends
    ]
    return tuple(sorted(set(found)))


def _tell(day: Workday, plan: Plan, before: dict[int, set[Own]], *, newer: bool) -> None:
    after = _lists(plan)
    comes = set(Offer.objects.filter(workday=day, answer="yes").values_list("member_id", flat=True))
    comes -= set(plan.wishes.get("away", []))
    wanted = comes | set(after)
    if newer:
        wanted = {member for member in wanted | set(before) if before.get(member) != after.get(member)}
    take_back(club_id=day.club_id, subject=workday_subject(day.pk), kinds=[NoticeKind.PLAN_OUT])
    firsts = {row.member_id: row.starts for row in plan.assignments.order_by("-starts")}
    for member in sorted(wanted):
        first = firsts.get(member)
        tell_of_day(
            day,
            NoticeKind.PLAN_OUT,
            [member],
            f"plan {plan.number}",
            plan=plan.number,
            jobs=len(after.get(member, ())),
            first=f"{local(first, day.zone):%H:%M}" if first else "",
            newer=newer,
        )
