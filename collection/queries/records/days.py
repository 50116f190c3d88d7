"""Workdays, who comes, and the plans of a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any, Literal

from django.db.models import Count, Q, QuerySet

from collection.models import Attendance, Offer, Plan, Workday
from collection.queries.access import Actor, member_for, must_plan, plan_for, workday_for
from collection.queries.day_plan import DayPlan, Seat, Unplaced
from collection.queries.day_problem import minutes_of
from collection.queries.records.base import record, records
from collection.queries.slices import Slice, Wanted
from collection.queries.sun import sun_of
from collection.queries.workdays import day_of

DayState = Literal["draft", "open", "sent", "held", "cancelled"]
PlanState = Literal["waiting", "working", "ready", "out_of_date", "failed"]


@dataclass(frozen=True, slots=True)
class Pause:
    """A break; wall times."""

    begins: time
    ends: time


@dataclass(frozen=True, slots=True)
class WorkdayRecord:
    """A date on which the club works together; wall times of its own zone.

    ``sun_guessed`` is true where the club has not said its longitude.
    """

    id: int
    version: int
    site_id: int
    date: date
    opens: time
    closes: time
    zone: str
    breaks: tuple[Pause, ...]
    briefing_min: int
    closing_min: int
    lead_id: int | None
    first_aider_id: int | None
    least_people: int
    most_people: int | None
    bring: str
    state: DayState
    cancelled_why: str
    sunrise: time | None
    sunset: time | None
    daylight_min: float
    sun_guessed: bool
    sun_warnings: tuple[str, ...]
    people: int
    plan_id: int | None


@dataclass(frozen=True, slots=True)
class OfferRecord:
    """A member's answer for a day; ``version`` 0 and answer "" where nothing was said yet."""

    version: int
    workday_id: int
    member_id: int
    answer: Literal["", "yes", "perhaps", "no"]
    arrives: time | None
    leaves: time | None
    by_id: int | None


@dataclass(frozen=True, slots=True)
class AttendanceRecord:
    """Whether somebody came, and his hours where they were noted."""

    member_id: int
    came: bool
    arrived: time | None
    left: time | None


@dataclass(frozen=True, slots=True)
class PlanLine:
    """A plan in a list."""

    id: int
    workday_id: int
    number: int
    state: PlanState
    sent_out: bool
    asked_at: datetime
    ready_at: datetime | None


@dataclass(frozen=True, slots=True)
class SeatPerson:
    """Who does a planned job."""

    member_id: int
    name: str
    role: Literal["lead", "hand", "learner"]


@dataclass(frozen=True, slots=True)
class SeatStep:
    """A step of a planned job; minutes since midnight of the day."""

    kind: Literal["setup", "work", "held", "clean", "break"]
    from_min: int
    to_min: int


@dataclass(frozen=True, slots=True)
class SeatRecord:
    """A job of a plan: who, on which tree, from when to when."""

    job_id: int
    sitting: int
    tree_id: int
    task: str
    people: tuple[SeatPerson, ...]
    starts_min: int
    ends_min: int
    steps: tuple[SeatStep, ...]
    part: bool
    pinned: bool


@dataclass(frozen=True, slots=True)
class UnplacedRecord:
    """A job that did not fit, with every reason as a code and as a sentence."""

    job_id: int
    tree_id: int
    codes: tuple[str, ...]
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlanRecord:
    """A plan of a day."""

    id: int
    workday_id: int
    number: int
    state: PlanState
    sent_out: bool
    best: bool
    seats: tuple[SeatRecord, ...]
    unplaced: tuple[UnplacedRecord, ...]
    left_out: tuple[int, ...]


def workday_records(actor: Actor, wanted: Wanted, *, state: str = "") -> Slice[WorkdayRecord]:
    """Workdays by date; drafts for coordinators only."""
    rows = _days(actor)
    if not actor.plans:
        rows = rows.exclude(state=Workday.State.DRAFT)
    if state:
        rows = rows.filter(state=state)
    return records(WorkdayRecord, rows, ("date", "id"), wanted, lambda day: _day(actor, day))


def workday_record(actor: Actor, workday_id: int) -> WorkdayRecord:
    """One workday.

    Raises:
        Refused: ``not_found``, of a draft for members too.
    """
    day = _days(actor).get(pk=workday_for(actor, workday_id).pk)
    return record(WorkdayRecord, day, **_day(actor, day))


def _days(actor: Actor) -> QuerySet[Workday]:
    rows = Workday.objects.filter(club_id=actor.club_id).select_related("club").prefetch_related("plans")
    return rows.annotate(people=Count("offers", filter=Q(offers__answer="yes")))


def _day(actor: Actor, day: Workday) -> dict[str, Any]:
    seen = [plan for plan in day.plans.all() if actor.plans or plan.sent_out]
    newest = max(seen, key=lambda plan: plan.number, default=None)
    sun = sun_of(day.club, day.date, minutes_of(day.opens), minutes_of(day.closes))
    return {
        "sunrise": sun.rises,
        "sunset": sun.sets,
        "daylight_min": sun.length_min,
        "sun_guessed": sun.guessed,
        "sun_warnings": sun.warnings,
        "breaks": tuple(Pause(time.fromisoformat(a), time.fromisoformat(b)) for a, b in day.breaks),
        "plan_id": newest.pk if newest else None,
    }


def offer_records(actor: Actor, workday_id: int, wanted: Wanted) -> Slice[OfferRecord]:
    """Answers for a day."""
    return records(OfferRecord, Offer.objects.filter(workday=workday_for(actor, workday_id)), ("id",), wanted)


def offer_record(actor: Actor, workday_id: int, member_id: int) -> OfferRecord:
    """A member's answer for a day.

    Raises:
        Refused: ``not_found``.
    """
    day, member = workday_for(actor, workday_id), member_for(actor, member_id)
    row = Offer.objects.filter(workday=day, member=member).first()
    if row is None:
        return OfferRecord(0, day.pk, member.pk, "", None, None, None)
    return record(OfferRecord, row)


def attendance_records(actor: Actor, workday_id: int, wanted: Wanted) -> Slice[AttendanceRecord]:
    """Who came to a day: for coordinators.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_plan(actor)
    rows = Attendance.objects.filter(workday=workday_for(actor, workday_id))
    return records(AttendanceRecord, rows, ("member_id",), wanted)


def plan_lines(actor: Actor, workday_id: int, wanted: Wanted) -> Slice[PlanLine]:
    """Plans of a day, newest first; those not sent out are for coordinators."""
    rows = Plan.objects.filter(workday=workday_for(actor, workday_id))
    if not actor.plans:
        rows = rows.filter(sent_out=True)
    return records(PlanLine, rows, ("-number",), wanted)


def plan_record(actor: Actor, plan_id: int) -> PlanRecord:
    """One plan; one not sent out is for coordinators.

    Raises:
        Refused: ``not_found``.
    """
    plan = plan_for(actor, plan_id)
    shown = day_of(actor, plan.workday_id, plan_id=plan.pk).plan
    assert shown is not None
    return _plan(plan, shown)


def _plan(plan: Plan, shown: DayPlan) -> PlanRecord:
    return PlanRecord(
        id=plan.pk,
        workday_id=plan.workday_id,
        number=plan.number,
        state=plan.state,  # type: ignore[arg-type]
        sent_out=plan.sent_out,
        best=shown.best,
        seats=tuple(_seat(seat) for seat in shown.seats),
        unplaced=tuple(_unplaced(job) for job in shown.unplaced),
        left_out=tuple(job for job, _ in shown.left_out),
    )


def _seat(seat: Seat) -> SeatRecord:
    return SeatRecord(
        job_id=seat.job_id,
        sitting=seat.sitting,
        tree_id=seat.tree_id,
        task=seat.task,
        people=tuple(SeatPerson(*person) for person in seat.people),  # type: ignore[arg-type]
        starts_min=seat.starts_min,
        ends_min=seat.ends_min,
        steps=tuple(SeatStep(*step) for step in seat.steps),  # type: ignore[arg-type]
        part=seat.part,
        pinned=seat.pinned,
    )


def _unplaced(job: Unplaced) -> UnplacedRecord:
    return UnplacedRecord(job.job_id, job.tree_id, job.codes, job.why)
