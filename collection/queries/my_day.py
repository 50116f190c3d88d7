"""One person's day: what he does when, with whom, on which tree, and what is done already."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time

from collection.models import Offer, Plan, Tree
from collection.queries.access import Actor, workday_for
from collection.queries.day_after import numbered, recorded
from collection.queries.day_plan import Seat, plan_view
from collection.queries.day_problem import minutes_of
from collection.queries.errors import Refused, not_found
from collection.queries.sun import DaySun, sun_of
from collection.queries.trees import Hands, last_hands


@dataclass(frozen=True, slots=True)
class MyJob:
    """A job of mine; ``note`` is what the last hands wrote when they left the tree open."""

    number: int
    seat: Seat
    role: str
    done: bool
    where: str
    note: Hands | None


@dataclass(frozen=True, slots=True)
class MyDay:
    """A person's page of a day."""

    workday_id: int
    date: date
    name: str
    site: str
    address: str
    bring: str
    lead: str
    first_aider: str
    opens_min: int
    closes_min: int
    arrives_min: int
    leaves_min: int
    briefing_min: int
    closing_min: int
    breaks: tuple[tuple[int, int], ...]
    changed: bool
    sun: DaySun
    jobs: tuple[MyJob, ...]


def my_day(actor: Actor, workday_id: int) -> MyDay:
    """The jobs of whoever asks on the plan that was sent out.

    Raises:
        Refused: ``not_found``, or ``plan_not_out`` while no plan was sent out.
    """
    day = workday_for(actor, workday_id)
    plan = Plan.objects.filter(workday=day, sent_out=True).first()
    if plan is None:
        raise Refused("plan_not_out", kind="conflict", on=day.date)
    seats = numbered(plan_view(plan, day).seats)
    own = [(n, seat) for n, seat in seats if any(person == actor.member_id for person, _, _ in seat.people)]
    trees = Tree.objects.select_related("bench", "site").in_bulk([seat.tree_id for _, seat in own])
    hands, done = last_hands(trees), recorded(day, [seat.job_id for _, seat in own])
    offer = Offer.objects.filter(workday=day, member_id=actor.member_id or 0, answer="yes").first()
    return MyDay(
        workday_id=day.pk,
        date=day.date,
        name=actor.name,
        site=day.site.name,
        address=day.site.address,
        bring=day.bring,
        lead=day.lead.name if day.lead else "",
        first_aider=day.first_aider.name if day.first_aider else "",
        opens_min=minutes_of(day.opens),
        closes_min=minutes_of(day.closes),
        arrives_min=minutes_of((offer.arrives if offer else None) or day.opens),
        leaves_min=minutes_of((offer.leaves if offer else None) or day.closes),
        briefing_min=day.briefing_min,
        closing_min=day.closing_min,
        breaks=tuple(
            (minutes_of(time.fromisoformat(a)), minutes_of(time.fromisoformat(b))) for a, b in day.breaks
        ),
        changed=plan.state == Plan.State.OUT_OF_DATE,
        sun=sun_of(day.club, day.date, minutes_of(day.opens), minutes_of(day.closes)),
        jobs=tuple(_job(number, seat, actor, trees, hands, seat.job_id in done) for number, seat in own),
    )


def _job(
    number: int, seat: Seat, actor: Actor, trees: dict[int, Tree], hands: dict[int, Hands], done: bool
) -> MyJob:
    tree, last = trees.get(seat.tree_id), hands.get(seat.tree_id)
    role = next(role for person, _, role in seat.people if person == actor.member_id)
    where = tree.bench.name if tree and tree.bench else tree.site.name if tree else ""
    return MyJob(number, seat, role, done, where, last if last and last.left_open and not done else None)


@dataclass(frozen=True, slots=True)
class PlannedSitting:
    """What was planned for a sitting, to fill its form in: the minutes are left to who worked."""

    workday_id: int
    date: date
    job_id: int
    sitting: int
    tree_id: int
    task: str
    people: tuple[int, ...]
    starts_min: int
    ends_min: int
    part: bool


def planned_sitting(actor: Actor, workday_id: int, job_id: int, sitting: int) -> PlannedSitting:
    """One job of the plan that was sent out for a day.

    Raises:
        Refused: ``not_found``.
    """
    day = workday_for(actor, workday_id)
    plan = Plan.objects.filter(workday=day, sent_out=True).first()
    seats = plan_view(plan, day).seats if plan else ()
    seat = next((s for s in seats if (s.job_id, s.sitting) == (job_id, sitting)), None)
    if seat is None:
        raise not_found()
    return PlannedSitting(
        day.pk,
        day.date,
        job_id,
        sitting,
        seat.tree_id,
        seat.task,
        tuple(person for person, _, _ in seat.people),
        seat.starts_min,
        seat.ends_min,
        seat.part,
    )
