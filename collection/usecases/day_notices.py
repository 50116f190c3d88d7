"""Who is told what about a workday; every function writes in the caller's transaction."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.utils import timezone

from collection.models import Assignment, Invitation, Offer, Place, Workday
from collection.queries.access import PLANNERS
from collection.queries.people import active
from collection.usecases.notices import NoticeKind, take_back, tell, workday_subject


def facts_of_day(day: Workday) -> dict[str, Any]:
    """When and where a day is held, as plain values."""
    return {
        "date": day.date.isoformat(),
        "opens": f"{day.opens:%H:%M}",
        "closes": f"{day.closes:%H:%M}",
        "site": day.site.name,
    }


def ends_at(day: Workday) -> datetime:
    """The moment the day closes."""
    return datetime.combine(day.date, day.closes, ZoneInfo(day.zone))


def with_a_stake(day: Workday) -> set[int]:
    """Everybody with an answer for the day, or with a place on it: planned, invited or accepted."""
    answers = Offer.objects.filter(workday=day).values_list("member_id", flat=True)
    planned = Assignment.objects.filter(plan__workday=day, plan__sent_out=True)
    asked = Invitation.objects.filter(place__workday=day, answer__in=["", "accepted"])
    won = Place.objects.filter(workday=day, winner__isnull=False)
    return {
        *answers,
        *planned.values_list("member_id", flat=True),
        *asked.values_list("member_id", flat=True),
        *won.values_list("winner_id", flat=True),
    }


def tell_of_day(day: Workday, kind: NoticeKind, member_ids: Iterable[int], period: str, **values: Any) -> int:
    """Tell these members about the day, from now until it ends; of a day that is over nobody is told."""
    now, ends = timezone.now(), ends_at(day)
    if ends <= now:
        return 0
    return tell(
        kind=kind,
        club_id=day.club_id,
        member_ids=member_ids,
        subject=workday_subject(day.pk),
        period=period,
        due_at=now,
        expires_at=ends,
        values={**facts_of_day(day), **values},
    )


def tell_open(day: Workday) -> int:
    """Everybody who has not answered yet hears that the day is open for offers."""
    answered = set(Offer.objects.filter(workday=day).values_list("member_id", flat=True))
    wanted = {member.pk for member in active(day.club_id, day.date)} - answered
    return tell_of_day(
        day,
        NoticeKind.DAY_OPEN,
        wanted,
        day.date.isoformat(),
        least_people=day.least_people,
        bring=day.bring,
    )


def tell_moved(day: Workday, was: dict[str, Any], member_ids: Iterable[int], *, answer_again: bool) -> int:
    """Date, times or place changed: what nobody was sent yet about the old ones is taken back."""
    kinds = [NoticeKind.PLAN_OUT, NoticeKind.DAY_MOVED]
    take_back(club_id=day.club_id, subject=workday_subject(day.pk), kinds=kinds)
    period = f"{day.date.isoformat()} v{day.version}"
    return tell_of_day(day, NoticeKind.DAY_MOVED, member_ids, period, was=was, answer_again=answer_again)


def tell_cancelled(day: Workday, why: str, member_ids: Iterable[int]) -> int:
    """The day is off: everything else about it that nobody was sent yet is taken back."""
    take_back(club_id=day.club_id, subject=workday_subject(day.pk), kinds=list(NoticeKind))
    period = f"{day.date.isoformat()} v{day.version}"
    return tell_of_day(day, NoticeKind.DAY_CANCELLED, member_ids, period, why=why)


def tell_answer_changed(day: Workday, offer: Offer) -> int:
    """Coordinators hear that somebody's answer changed after the plan went out."""
    planners = [member.pk for member in active(day.club_id, day.date) if member.role in PLANNERS]
    return tell_of_day(
        day,
        NoticeKind.ANSWER_CHANGED,
        [member for member in planners if member != offer.by_id],
        f"offer {offer.pk} v{offer.version}",
        name=offer.member.name,
        answer=offer.answer,
        arrives=f"{offer.arrives:%H:%M}" if offer.arrives else "",
        leaves=f"{offer.leaves:%H:%M}" if offer.leaves else "",
    )
