"""Workdays before they are held: made as a draft, changed, opened for offers, moved, called off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, time
from itertools import pairwise
from typing import Any

from django.db import IntegrityError, transaction

from collection.models import Assignment, Offer, Plan, Site, Workday
from collection.queries.access import Actor, club_of, member_for, must_plan, workday_for
from collection.queries.errors import Refused
from collection.usecases.attendance import hold, mark_came
from collection.usecases.day_notices import (
    facts_of_day,
    tell_cancelled,
    tell_moved,
    tell_open,
    with_a_stake,
)
from collection.usecases.edit import change_of, created, edit
from collection.usecases.locks import OVER, lock_day
from collection.usecases.offers import offer_hours, out_of_date

__all__ = [
    "cancel_workday",
    "change_workday",
    "create_workday",
    "hold",
    "mark_came",
    "move_workday",
    "offer_hours",
    "open_for_offers",
    "out_of_date",
]
LONGEST_BRIEFING_MIN = 120
YEARS = (1950, 2099)
MOST_PEOPLE = 500
# What ``change_workday`` takes; the date is changed by ``move_workday``.
FIELDS = (
    "site_id",
    "opens",
    "closes",
    "breaks",
    "briefing_min",
    "closing_min",
    "lead_id",
    "first_aider_id",
    "least_people",
    "most_people",
    "bring",
)
# A change of these is told to everybody with an answer or a place; the others only change the plan.
WHEN_AND_WHERE = ("date", "site_id", "opens", "closes")
Pause = tuple[time, time]


def create_workday(
    *,
    actor: Actor,
    site_id: int,
    on: date,
    opens: time,
    closes: time,
    breaks: Sequence[Pause] = (),
    lead_id: int | None = None,
    first_aider_id: int | None = None,
    bring: str = "",
    state: str = "open",
    briefing_min: int = 15,
    closing_min: int = 30,
    least_people: int = 2,
    most_people: int | None = None,
) -> int:
    """Put a workday on the club's list; times are wall times of the club's zone.

    Args:
        state: "draft" is seen by coordinators only, "open" takes answers at once. Nobody is told of
            either; ``open_for_offers`` tells everybody.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``day_times``, ``day_minutes``, ``day_people``,
            ``day_state``, ``day_year`` or ``day_taken``.
    """
    must_plan(actor)
    _check_year(on)
    if state not in (Workday.State.DRAFT, Workday.State.OPEN):
        raise Refused("day_state", field="state", given=state)
    wanted = {
        "site_id": site_id,
        "opens": opens,
        "closes": closes,
        "breaks": breaks,
        "lead_id": lead_id,
        "first_aider_id": first_aider_id,
        "bring": bring.strip(),
        "briefing_min": briefing_min,
        "closing_min": closing_min,
        "least_people": least_people,
        "most_people": most_people,
    }
    day = Workday(club_id=actor.club_id, date=on, zone=club_of(actor).zone, state=state)
    for name, value in _checked(actor, day, wanted).items():
        setattr(day, name, value)
    try:
        with transaction.atomic():
            day.save(force_insert=True)
            created(day, actor, "date", "opens", "closes", "site", "state")
    except IntegrityError:
        raise Refused("day_taken", kind="conflict", field="date", on=on) from None
    return day.pk


def change_workday(
    *, actor: Actor, workday_id: int, changes: Mapping[str, Any], version: int | None = None
) -> None:
    """Change what a day is like; ``changes`` are any of ``FIELDS``, breaks as pairs of times.

    The day's plan goes out of date. Other times or another place are told to everybody with an answer or
    a place, once the day is open; answers keep inside the new hours.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``day_over``, ``stale``, ``day_field``, and what
            ``create_workday`` refuses.
    """
    must_plan(actor)
    day = workday_for(actor, workday_id)
    for name in changes:
        if name not in FIELDS:
            raise Refused("day_field", given=name)
    _write(actor, day, version, _checked(actor, day, changes))


def move_workday(
    *,
    actor: Actor,
    workday_id: int,
    on: date,
    today: date,
    keep_answers: bool = False,
    version: int | None = None,
) -> None:
    """Hold the day on another date; everybody with an answer or a place is told.

    Answers were given for the old date. They are taken away, so that everybody is asked again, unless
    the coordinator keeps them. A plan that was sent out no longer counts.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``day_over``, ``day_in_past``, ``day_year``, ``stale``
            or ``day_taken``.
    """
    must_plan(actor)
    _check_year(on)
    day = workday_for(actor, workday_id)
    if on < today:
        raise Refused("day_in_past", field="date", on=on)
    if on != day.date:
        _write(actor, day, version, {"date": on}, keep_answers=keep_answers)


def open_for_offers(*, actor: Actor, workday_id: int, version: int | None = None) -> None:
    """Turn a draft into a day that takes answers; everybody who has not answered is told.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``day_over`` or ``stale``.
    """
    must_plan(actor)
    day = workday_for(actor, workday_id)
    _not_over(day)
    if day.state != Workday.State.DRAFT:
        return
    with transaction.atomic():
        edit(day, day.version if version is None else version, {"state": Workday.State.OPEN}, actor)
        tell_open(day)


def cancel_workday(*, actor: Actor, workday_id: int, why: str, version: int | None = None) -> None:
    """Call the day off: nobody is booked any more, everybody with an answer or a place is told why.

    The row stays, and the same place and date can be used again.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``reason_needed``, ``day_over`` or ``stale``.
    """
    must_plan(actor)
    day, why = workday_for(actor, workday_id), why.strip()
    if not why:
        raise Refused("reason_needed", field="why")
    with transaction.atomic():
        day = lock_day(day.pk)
        told, draft = with_a_stake(day), day.state == Workday.State.DRAFT
        changes = {"state": Workday.State.CANCELLED, "cancelled_why": why[:200]}
        edit(day, day.version if version is None else version, changes, actor)
        _free(day)
        if not draft:
            tell_cancelled(day, day.cancelled_why, told)


def _not_over(day: Workday) -> None:
    if day.state in OVER:
        raise Refused("day_over", kind="conflict", on=day.date)


def _free(day: Workday) -> None:
    """Nobody is booked for the day any more, and none of its plans fits it."""
    Assignment.objects.filter(plan__workday=day, confirmed=True).update(confirmed=False)
    plans = Plan.objects.filter(workday=day)
    plans.filter(sent_out=True).update(sent_out=False)
    plans.filter(state__in=[Plan.State.READY, Plan.State.WAITING]).update(state=Plan.State.OUT_OF_DATE)


def _write(
    actor: Actor,
    day: Workday,
    version: int | None,
    changes: Mapping[str, Any],
    *,
    keep_answers: bool = True,
) -> None:
    """One transaction: the row, its answers, its plan, and who is told."""
    try:
        with transaction.atomic():
            day = lock_day(day.pk)
            was, told = facts_of_day(day), with_a_stake(day)
            before = [getattr(day, name) for name in WHEN_AND_WHERE]
            hours, on = (day.opens, day.closes), day.date
            edit(day, day.version if version is None else version, dict(changes), actor)
            moved = before != [getattr(day, name) for name in WHEN_AND_WHERE]
            if on != day.date:
                _other_date(actor, day, keep_answers=keep_answers)
            _answers_follow(actor, day, hours)
            out_of_date(day.pk)
            if moved and day.state != Workday.State.DRAFT:
                day.site = Site.objects.get(pk=day.site_id)
                tell_moved(day, was, told, answer_again=on != day.date and not keep_answers)
    except IntegrityError:
        raise Refused("day_taken", kind="conflict", field="date", on=changes.get("date", day.date)) from None


def _other_date(actor: Actor, day: Workday, *, keep_answers: bool) -> None:
    """A plan that went out was for the old date, and so were the answers unless they are kept."""
    if day.state == Workday.State.SENT:
        edit(day, day.version, {"state": Workday.State.OPEN}, actor)
    _free(day)
    if not keep_answers:
        _forget_answers(actor, day)


def _forget_answers(actor: Actor, day: Workday) -> None:
    """Answers for the old date say nothing about the new one."""
    for offer in Offer.objects.filter(workday=day):
        before = {name: getattr(offer, name) for name in ("answer", "arrives", "leaves", "member_id")}
        change_of(offer, actor, before=before, after={}).save()
        offer.delete()


def _answers_follow(actor: Actor, day: Workday, hours: tuple[time, time]) -> None:
    """Keep the hours of each answer inside the day's; who was there all day still is."""
    if (day.opens, day.closes) == hours:
        return
    for offer in Offer.objects.filter(workday=day):
        arrives, leaves = offer.arrives or hours[0], offer.leaves or hours[1]
        arrives = day.opens if arrives == hours[0] else max(arrives, day.opens)
        leaves = day.closes if leaves == hours[1] else min(leaves, day.closes)
        changes: dict[str, Any] = {"arrives": arrives, "leaves": leaves}
        if arrives >= leaves:
            # Nothing is left of the hours offered: whether he comes must be asked again.
            changes = {"arrives": day.opens, "leaves": day.closes}
            changes |= {"answer": "perhaps"} if offer.answer == "yes" else {}
        edit(offer, offer.version, changes, actor)


def _checked(actor: Actor, day: Workday, changes: Mapping[str, Any]) -> dict[str, Any]:
    """The changes as they are stored, or a refusal that names the field."""
    found = dict(changes)
    opens, closes = found.get("opens", day.opens), found.get("closes", day.closes)
    breaks = found.get("breaks")
    pauses = [(time.fromisoformat(a), time.fromisoformat(b)) for a, b in day.breaks or []]
    pauses = sorted(breaks) if breaks is not None else pauses
    if closes <= opens or any(not opens <= start < end <= closes for start, end in pauses):
        raise Refused("day_times", field="closes")
    if any(ends > starts for (_, ends), (starts, _) in pairwise(pauses)):
        raise Refused("day_breaks", field="breaks")
    if breaks is not None:
        found["breaks"] = [[f"{a:%H:%M}", f"{b:%H:%M}"] for a, b in pauses]
    if "site_id" in found and not Site.objects.filter(club_id=actor.club_id, pk=found["site_id"]).exists():
        raise Refused("not_found", kind="not_found")
    for name in ("lead_id", "first_aider_id"):
        if found.get(name) is not None:
            member_for(actor, found[name])
    for name in ("briefing_min", "closing_min"):
        if not 0 <= found.get(name, 0) <= LONGEST_BRIEFING_MIN:
            raise Refused("day_minutes", field=name, most=LONGEST_BRIEFING_MIN)
    _check_people(day, found)
    return found


def _check_year(on: date) -> None:
    """A slip of the finger in the year: no club holds a day a century away."""
    if not YEARS[0] <= on.year <= YEARS[1]:
        raise Refused("day_year", field="date", first=YEARS[0], last=YEARS[1])


def _check_people(day: Workday, found: Mapping[str, Any]) -> None:
    """Least and most people make sense together: ``day_people``."""
    least, most = found.get("least_people", day.least_people), found.get("most_people", day.most_people)
    if not 1 <= least <= MOST_PEOPLE or (most is not None and not least <= most <= MOST_PEOPLE):
        raise Refused("day_people", field="most_people" if most is not None else "least_people")
