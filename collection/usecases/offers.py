"""Answers for a workday: who comes, and from when to when."""

from __future__ import annotations

from datetime import time

from django.db import transaction

from collection.models import Offer, Plan, Workday
from collection.queries.access import Actor, member_for, must_plan, workday_for
from collection.queries.errors import Refused
from collection.usecases.day_notices import tell_answer_changed
from collection.usecases.edit import created, edit
from collection.usecases.locks import lock_day

ANSWERS = ("yes", "perhaps", "no")


def offer_hours(
    *,
    actor: Actor,
    workday_id: int,
    member_id: int,
    answer: str,
    arrives: time | None = None,
    leaves: time | None = None,
    version: int | None = None,
) -> None:
    """Write down a member's answer for a day; he answers for himself, a coordinator for anybody.

    A changed answer puts the day's plan out of date. Once the plan is out, coordinators are told.
    ``version`` is that of the answer as whoever writes had read it, 0 for none; None does not ask.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``answer_unknown``, ``offer_times``, ``day_over``,
            ``stale`` or ``day_has_no_room``.
    """
    if actor.member_id != member_id:
        must_plan(actor)
    day, member = workday_for(actor, workday_id), member_for(actor, member_id)
    if answer not in ANSWERS:
        raise Refused("answer_unknown", field="answer", given=answer)
    comes, goes = arrives or day.opens, leaves or day.closes
    if answer == "no":
        comes, goes = day.opens, day.closes
    if not day.opens <= comes < goes <= day.closes:
        raise Refused(
            "offer_times", field="arrives", opens=f"{day.opens:%H:%M}", closes=f"{day.closes:%H:%M}"
        )
    changes = {"answer": answer, "arrives": comes, "leaves": goes, "by_id": actor.member_id}
    with transaction.atomic():
        # Two who answer at once wait for each other, so that the last place is given once.
        day = lock_day(day.pk)
        if answer == "yes":
            _check_room(day, member.pk)
        offer = Offer.objects.filter(member=member, workday=day).select_related("member").first()
        said = (offer.answer, offer.arrives, offer.leaves) if offer else None
        if offer is None:
            offer = Offer.objects.create(club_id=actor.club_id, member=member, workday=day, **changes)
            created(offer, actor, "answer", "arrives", "leaves", "member")
        else:
            # Who says no keeps his hours, in case he comes after all.
            kept = ("answer", "by_id") if answer == "no" else tuple(changes)
            seen = offer.version if version is None else version
            edit(offer, seen, {name: changes[name] for name in kept}, actor)
        if said != (answer, comes, goes) and "yes" in (answer, said[0] if said else ""):
            # Only who comes, and when, matters to a plan.
            out_of_date(day.pk)
            if day.state == Workday.State.SENT:
                tell_answer_changed(day, offer)


def _check_room(day: Workday, member_id: int) -> None:
    """Refuse a yes above the most people the day can take: ``day_has_no_room``."""
    if day.most_people is None:
        return
    others = Offer.objects.filter(workday=day, answer="yes").exclude(member_id=member_id)
    if others.count() >= day.most_people:
        raise Refused("day_has_no_room", kind="conflict", field="answer", most=day.most_people)


def out_of_date(workday_id: int) -> None:
    """A finished plan no longer fits the day's facts."""
    Plan.objects.filter(workday_id=workday_id, state=Plan.State.READY).update(state=Plan.State.OUT_OF_DATE)
