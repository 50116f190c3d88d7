"""After a day: who came, and which of the planned jobs are on record."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Q

from collection.models import Attendance, Offer, Plan, Sitting, SittingTask, Workday
from collection.queries.access import Actor, must_plan, workday_for
from collection.queries.day_plan import Seat, plan_view
from collection.queries.errors import Refused
from collection.queries.people import active


@dataclass(frozen=True, slots=True)
class Guest:
    """Somebody who may have come; ``expected`` had said yes, ``came`` is None until somebody says."""

    id: int
    name: str
    expected: bool
    came: bool | None
    arrived: time | None
    left: time | None


@dataclass(frozen=True, slots=True)
class Came:
    """Who came to a day, as far as it is known."""

    workday_id: int
    date: date
    state: str
    marked: bool
    guests: tuple[Guest, ...]


def has_come(day: Workday, today: date) -> None:
    """Refuse a day that was cancelled or is still ahead: ``day_cancelled``, ``day_not_yet``."""
    if day.state == Workday.State.CANCELLED:
        raise Refused("day_cancelled", kind="conflict", on=day.date)
    if day.date > today:
        raise Refused("day_not_yet", kind="conflict", on=day.date)


def came_of(actor: Actor, workday_id: int, *, today: date) -> Came:
    """Everybody who said yes, then everybody else, with what is known of their coming.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``day_cancelled`` or ``day_not_yet``.
    """
    must_plan(actor)
    day = workday_for(actor, workday_id)
    has_come(day, today)
    expected = set(Offer.objects.filter(workday=day, answer="yes").values_list("member_id", flat=True))
    rows = {row.member_id: row for row in Attendance.objects.filter(workday=day).select_related("member")}
    names = {member.pk: member.name for member in active(day.club_id, day.date)}
    names |= {row.member_id: row.member.name for row in rows.values()}
    guests = [
        Guest(
            member,
            name,
            member in expected,
            rows[member].came if member in rows else None,
            rows[member].arrived if member in rows else None,
            rows[member].left if member in rows else None,
        )
        for member, name in names.items()
    ]
    ordered = sorted(guests, key=lambda g: (not (g.expected or g.came), g.name))
    return Came(day.pk, day.date, day.state, bool(rows), tuple(ordered))


@dataclass(frozen=True, slots=True)
class PlannedJob:
    """A job of the plan that went out, and whether it is on record."""

    number: int
    seat: Seat
    minutes: int
    done: bool
    here: tuple[tuple[int, str, str], ...]


@dataclass(frozen=True, slots=True)
class Other:
    """A sitting of the day that was not on the plan."""

    tree_id: int
    accession: str
    tasks: tuple[str, ...]
    who: tuple[str, ...]
    minutes: float


@dataclass(frozen=True, slots=True)
class DayAfter:
    """What was planned for a day against what is on record; ``marked``: somebody said who came.

    ``others`` are the sittings of the day on work that was not planned.
    """

    workday_id: int
    date: date
    state: str
    has_plan: bool
    marked: bool
    came: tuple[str, ...]
    jobs: tuple[PlannedJob, ...]
    others: tuple[Other, ...] = ()


def day_after(actor: Actor, workday_id: int, *, today: date) -> DayAfter:
    """The jobs of the plan that was sent out, numbered as on the plan, each with whether it was recorded.

    Raises:
        Refused: ``not_found``, ``day_cancelled`` or ``day_not_yet``.
    """
    day = workday_for(actor, workday_id)
    has_come(day, today)
    plan = Plan.objects.filter(workday=day, sent_out=True).first()
    seats = plan_view(plan, day).seats if plan else ()
    rows = Attendance.objects.filter(workday=day).select_related("member").order_by("member__name")
    came = {row.member_id: row.member.name for row in rows if row.came}
    done = recorded(day, [seat.job_id for seat in seats])
    return DayAfter(
        day.pk,
        day.date,
        day.state,
        plan is not None,
        rows.exists(),
        tuple(came.values()),
        tuple(
            PlannedJob(
                number,
                seat,
                worked_min(seat),
                seat.job_id in done,
                tuple(person for person in seat.people if person[0] in came),
            )
            for number, seat in numbered(seats)
        ),
        _others(day, [seat.job_id for seat in seats]),
    )


def _others(day: Workday, planned: list[int]) -> tuple[Other, ...]:
    """Sittings that began on the day, or were recorded for it, on none of the planned jobs."""
    began = datetime.combine(day.date, time.min, ZoneInfo(day.zone))
    rows = Sitting.objects.filter(club_id=day.club_id, corrected_by=None, remembered=False)
    rows = rows.filter(Q(workday=day) | Q(started__gte=began, started__lt=began + timedelta(days=1)))
    rows = rows.exclude(tasks__job_id__in=planned).select_related("tree")
    return tuple(
        Other(
            row.tree_id,
            row.tree.accession,
            tuple(line.task for line in row.tasks.all()),
            tuple(one.member.name for one in row.people.all()),
            sum(one.minutes for one in row.people.all()),
        )
        for row in rows.prefetch_related("tasks", "people__member").order_by("started", "id").distinct()
    )


def numbered(seats: Iterable[Seat]) -> list[tuple[int, Seat]]:
    """The jobs of a plan with their numbers through the day, by start and then by who leads."""
    ordered = sorted(seats, key=lambda s: (s.starts_min, s.people[0][1], s.job_id, s.sitting))
    return list(enumerate(ordered, start=1))


def worked_min(seat: Seat) -> int:
    """Planned minutes of work on the clock, breaks left out."""
    return sum(end - start for kind, start, end in seat.steps if kind != "break")


def recorded(day: Workday, job_ids: Iterable[int]) -> frozenset[int]:
    """Which of these jobs somebody worked on the day, or since; work before the day does not count."""
    began = datetime.combine(day.date, time.min, ZoneInfo(day.zone))
    rows = SittingTask.objects.filter(job_id__in=list(job_ids), sitting__corrected_by=None)
    rows = rows.filter(sitting__ended__gte=began, sitting__remembered=False)
    return frozenset(job for job in rows.values_list("job_id", flat=True) if job)
