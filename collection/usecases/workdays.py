"""Workdays: making one, offering hours, who came."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, time

from django.db import IntegrityError, transaction

from collection.models import Attendance, Member, Offer, Plan, Site, Workday
from collection.queries.access import Actor, club_of, member_for, must_plan, workday_for
from collection.queries.errors import Refused
from collection.usecases.edit import created, edit

ANSWERS = ("yes", "perhaps", "no")


def create_workday(
    *,
    actor: Actor,
    site_id: int,
    on: date,
    opens: time,
    closes: time,
    breaks: Sequence[tuple[time, time]] = (),
    lead_id: int | None = None,
    first_aider_id: int | None = None,
    bring: str = "",
    state: str = "open",
) -> int:
    """Put a workday on the club's list; times are wall times of the club's zone.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``day_times`` or ``day_taken``.
    """
    must_plan(actor)
    if closes <= opens or any(not opens <= start < end <= closes for start, end in breaks):
        raise Refused("day_times", field="closes")
    if not Site.objects.filter(club_id=actor.club_id, pk=site_id).exists():
        raise Refused("not_found", kind="not_found")
    for person in (lead_id, first_aider_id):
        if person is not None:
            member_for(actor, person)
    try:
        with transaction.atomic():
            day = Workday.objects.create(
                club_id=actor.club_id,
                site_id=site_id,
                date=on,
                opens=opens,
                closes=closes,
                zone=club_of(actor).zone,
                breaks=[[f"{a:%H:%M}", f"{b:%H:%M}"] for a, b in breaks],
                lead_id=lead_id,
                first_aider_id=first_aider_id,
                bring=bring,
                state=state,
            )
            created(day, actor, "date", "opens", "closes", "site")
    except IntegrityError:
        raise Refused("day_taken", kind="conflict", field="date", on=on) from None
    return day.pk


def offer_hours(
    *,
    actor: Actor,
    workday_id: int,
    member_id: int,
    answer: str,
    arrives: time | None = None,
    leaves: time | None = None,
) -> None:
    """Write down a member's answer for a day; he answers for himself, a coordinator for anybody.

    A changed answer puts the day's plan out of date.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``answer_unknown``, ``offer_times`` or ``day_over``.
    """
    if actor.member_id != member_id:
        must_plan(actor)
    day, member = workday_for(actor, workday_id), member_for(actor, member_id)
    if answer not in ANSWERS:
        raise Refused("answer_unknown", field="answer", given=answer)
    if day.state in ("held", "cancelled"):
        raise Refused("day_over", kind="conflict", on=day.date)
    comes, goes = arrives or day.opens, leaves or day.closes
    if answer == "yes" and not day.opens <= comes < goes <= day.closes:
        raise Refused(
            "offer_times", field="arrives", opens=f"{day.opens:%H:%M}", closes=f"{day.closes:%H:%M}"
        )
    changes = {"answer": answer, "arrives": comes, "leaves": goes, "by_id": actor.member_id}
    with transaction.atomic():
        offer = Offer.objects.filter(member=member, workday=day).first()
        if offer is None:
            offer = Offer.objects.create(club_id=actor.club_id, member=member, workday=day, **changes)
            created(offer, actor, "answer", "arrives", "leaves", "member")
        else:
            edit(offer, offer.version, changes, actor)
        out_of_date(day.pk)


def out_of_date(workday_id: int) -> None:
    """A finished plan no longer fits the day's facts."""
    Plan.objects.filter(workday_id=workday_id, state=Plan.State.READY).update(state=Plan.State.OUT_OF_DATE)


def mark_came(*, actor: Actor, workday_id: int, member_ids: Iterable[int]) -> None:
    """Say who came; everybody else who had said yes did not."""
    must_plan(actor)
    day = workday_for(actor, workday_id)
    came = set(member_ids)
    known = set(Member.objects.filter(club_id=actor.club_id, pk__in=came).values_list("pk", flat=True))
    if known != came:
        raise Refused("not_found", kind="not_found")
    expected = set(Offer.objects.filter(workday=day, answer="yes").values_list("member_id", flat=True))
    with transaction.atomic():
        for member_id in sorted(came | expected):
            Attendance.objects.update_or_create(
                club_id=actor.club_id,
                workday=day,
                member_id=member_id,
                defaults={"came": member_id in came},
            )


def hold(*, actor: Actor, workday_id: int) -> None:
    """The day took place."""
    must_plan(actor)
    day = workday_for(actor, workday_id)
    edit(day, day.version, {"state": Workday.State.HELD}, actor)
