"""Day plans: asking for one, working it out in the background, changing it, sending it out."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone

from collection.craft.reference import tasks as catalogue
from collection.craft.tasks import SKILL_LEVELS
from collection.models import Assignment, Job, Member, Offer, Plan, Workday
from collection.planning.workday.check import breaches
from collection.planning.workday.problem import Placement, Problem
from collection.planning.workday.problem import Plan as Outcome
from collection.planning.workday.solver import solve
from collection.queries.access import Actor, job_for, member_for, must_plan, plan_for, workday_for
from collection.queries.day_problem import day_problem, outcome_of
from collection.queries.errors import Refused
from collection.queries.people import levels
from collection.usecases.edit import created
from collection.usecases.locks import lock
from collection.usecases.queue import Task, enqueue

LEASE = timedelta(minutes=5)
MOST_ATTEMPTS = 3
# How hard to search, in the solver's own repeatable time units (one is some seconds of one core).
EFFORT = 4.0


def request_plan(*, actor: Actor, workday_id: int, wishes: Mapping[str, Any] | None = None) -> int:
    """Ask for a new plan of a day; it is worked out in the background.

    ``wishes``: ``left_out`` (job ids), ``away`` (member ids), ``pins`` (job id, member ids lead first,
    start as "HH:MM" or ""). Without wishes the last plan's are kept.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``day_over`` or ``nobody_comes``.
    """
    must_plan(actor)
    day = workday_for(actor, workday_id)
    if day.state in (Workday.State.HELD, Workday.State.CANCELLED):
        raise Refused("day_over", kind="conflict", on=day.date)
    if not Offer.objects.filter(workday=day, answer="yes").exists():
        raise Refused("nobody_comes", on=day.date)
    with transaction.atomic():
        # Two who press the button at once wait for each other, so that each plan has its own number.
        lock(Workday.objects.filter(pk=day.pk))
        last = Plan.objects.filter(workday=day).order_by("-number").first()
        number = (last.number if last else 0) + 1
        Plan.objects.filter(workday=day, state=Plan.State.WAITING).update(state=Plan.State.OUT_OF_DATE)
        plan = Plan.objects.create(
            club_id=actor.club_id,
            workday=day,
            number=number,
            wishes=dict(wishes if wishes is not None else (last.wishes if last else {})),
            asked_by_id=actor.member_id,
            asked_at=timezone.now(),
        )
        created(plan, actor, "number", "workday")
        enqueue(Task.WORK_OUT_PLAN, plan.pk)
    return plan.pk


def waiting_plans() -> list[int]:
    """Ids of plans that wait or whose worker died, oldest first."""
    return list(_free().order_by("asked_at").values_list("pk", flat=True)[:20])


def _free() -> Any:
    waiting = Q(state=Plan.State.WAITING)
    dropped = Q(state=Plan.State.WORKING, lease_until__lt=timezone.now())
    return Plan.objects.filter(waiting | dropped, attempts__lt=MOST_ATTEMPTS)


def claim(plan_id: int) -> bool:
    """Take the plan if it waits or its worker let the lease run out."""
    # One conditional UPDATE, not a row lock: SQLite ignores row locks.
    taken = _free().filter(pk=plan_id)
    return bool(
        taken.update(state=Plan.State.WORKING, lease_until=timezone.now() + LEASE, attempts=F("attempts") + 1)
    )


def park_lost_plans() -> int:
    """Plans that killed their worker three times are given up, so that the page can say so."""
    lost = Plan.objects.filter(
        state=Plan.State.WORKING, lease_until__lt=timezone.now(), attempts__gte=MOST_ATTEMPTS
    )
    return lost.update(state=Plan.State.FAILED)


def work_out(plan_id: int, *, effort: float = EFFORT) -> bool:
    """Work a waiting plan out; False when another worker has it. No transaction is open meanwhile."""
    if not claim(plan_id):
        return False
    plan = Plan.objects.select_related("workday", "workday__site").get(pk=plan_id)
    problem = day_problem(plan)
    outcome = solve(problem, effort=effort, seed=plan.seed, previous=outcome_of(_last_ready(plan), problem))
    broken = breaches(problem, outcome)
    if broken:
        _mine(plan).update(
            state=Plan.State.FAILED, lease_until=None, outcome={"breaches": [str(b) for b in broken]}
        )
        raise RuntimeError(f"plan {plan_id} breaks its own rules: {broken[0]}")
    return _write(plan, problem, outcome)


def _last_ready(plan: Plan) -> Plan | None:
    done = Plan.objects.filter(workday_id=plan.workday_id, number__lt=plan.number)
    return done.filter(state__in=[Plan.State.READY, Plan.State.OUT_OF_DATE]).order_by("-number").first()


def _mine(plan: Plan) -> QuerySet[Plan]:
    """The plan's row while this worker's claim on it holds: another claim counts one attempt more."""
    return Plan.objects.filter(pk=plan.pk, state=Plan.State.WORKING, attempts=plan.attempts)


def _write(plan: Plan, problem: Problem, outcome: Outcome) -> bool:
    """One short transaction: the plan is out of date when the day's facts changed meanwhile."""
    with transaction.atomic():
        same = day_problem(plan) == problem
        written = _mine(plan).update(
            state=Plan.State.READY if same else Plan.State.OUT_OF_DATE,
            ready_at=timezone.now(),
            lease_until=None,
            problem_digest=hashlib.sha256(repr(problem).encode()).hexdigest(),
            outcome={
                "value": outcome.value,
                "bound": outcome.bound,
                "status": outcome.status,
                "unplaced": [[job, [r.as_json() for r in why]] for job, why in outcome.unplaced],
            },
        )
        if written:
            Assignment.objects.filter(plan=plan).delete()
            Assignment.objects.bulk_create(_assignments(plan, outcome.placements))
    return bool(written)


def _assignments(plan: Plan, placements: Sequence[Placement]) -> list[Assignment]:
    people = {p for placement in placements for p in placement.persons}
    keys = {m.pk: person_key(m) for m in Member.objects.filter(pk__in=people)}
    pinned = {pin["job"] for pin in plan.wishes.get("pins", [])}
    rows = []
    for placement in placements:
        held = placement.held
        for member_id, role in placement.team:
            rows.append(
                Assignment(
                    club_id=plan.club_id,
                    plan=plan,
                    job_id=placement.job,
                    member_id=member_id,
                    person_key=keys[member_id],
                    role=role,
                    sitting=placement.sitting,
                    starts=instant(plan.workday, placement.starts_min),
                    ends=instant(plan.workday, placement.ends_min),
                    held_from=instant(plan.workday, held[0][0]) if held else None,
                    held_to=instant(plan.workday, held[-1][1]) if held else None,
                    steps=[[s.kind, s.from_min, s.to_min] for s in placement.steps],
                    done_min=placement.minutes_done,
                    part=placement.part,
                    pinned=placement.job in pinned,
                )
            )
    return rows


def person_key(member: Member) -> str:
    """What names a person across clubs: the account, or without one the member."""
    return f"account:{member.account_id}" if member.account_id else f"member:{member.pk}"


def instant(day: Workday, minutes: int) -> datetime:
    """A wall time of the day, minutes since midnight, as a UTC instant."""
    wall = datetime.combine(day.date, time(minutes // 60, minutes % 60), ZoneInfo(day.zone))
    return wall.astimezone(UTC)


def leave_out(*, actor: Actor, plan_id: int, job_id: int) -> int:
    """Leave a job out of the day and ask for a new plan."""
    plan, job = plan_for(actor, plan_id), job_for(actor, job_id)
    wishes = dict(plan.wishes)
    wishes["left_out"] = sorted({*wishes.get("left_out", []), job.pk})
    wishes["pins"] = [pin for pin in wishes.get("pins", []) if pin["job"] != job.pk]
    return request_plan(actor=actor, workday_id=plan.workday_id, wishes=wishes)


def put_back_in(*, actor: Actor, plan_id: int, job_id: int) -> int:
    """Take a job that was left out back in and ask for a new plan."""
    plan, job = plan_for(actor, plan_id), job_for(actor, job_id)
    wishes = dict(plan.wishes)
    wishes["left_out"] = [j for j in wishes.get("left_out", []) if j != job.pk]
    return request_plan(actor=actor, workday_id=plan.workday_id, wishes=wishes)


def not_here(*, actor: Actor, plan_id: int, member_id: int, here: bool = False) -> int:
    """Say that somebody is not here after all (or is), and ask for a new plan."""
    plan, member = plan_for(actor, plan_id), member_for(actor, member_id)
    wishes = dict(plan.wishes)
    away = {*wishes.get("away", [])} - {member.pk}
    wishes["away"] = sorted(away if here else away | {member.pk})
    wishes["pins"] = [p for p in wishes.get("pins", []) if here or member.pk not in p["people"]]
    return request_plan(actor=actor, workday_id=plan.workday_id, wishes=wishes)


def move(*, actor: Actor, plan_id: int, job_id: int, people: Sequence[int], start: str = "") -> int:
    """Put other people on a job, lead first, perhaps at another time, and ask for a new plan.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``person_twice``, ``does_not_come``,
            ``level_too_low`` or ``start_time``.
    """
    plan, job = plan_for(actor, plan_id), job_for(actor, job_id)
    if len(set(people)) != len(people):
        raise Refused("person_twice", field="people")
    comes = set(Offer.objects.filter(workday=plan.workday, answer="yes").values_list("member_id", flat=True))
    for member_id in people:
        if member_for(actor, member_id).pk not in comes:
            raise Refused("does_not_come", field="people", name=member_for(actor, member_id).name)
    if people:
        _check_lead(actor, job, people[0], plan.workday)
    if start:
        _check_start(plan.workday, start)
    wishes = dict(plan.wishes)
    pins = [pin for pin in wishes.get("pins", []) if pin["job"] != job.pk]
    if people or start:
        pins.append({"job": job.pk, "people": list(people), "start": start})
    wishes["pins"] = pins
    wishes["left_out"] = [j for j in wishes.get("left_out", []) if j != job.pk]
    return request_plan(actor=actor, workday_id=plan.workday_id, wishes=wishes)


def _check_lead(actor: Actor, job: Job, member_id: int, day: Workday) -> None:
    """Refuse a lead whose level is below what the task asks for: ``level_too_low``."""
    task = catalogue()[job.task]
    least = "expert" if job.task == "HEAVY_BEND" else task.least_skill
    has = levels([member_id], day.date)[member_id].get(task.family, "novice")
    if SKILL_LEVELS.index(has) < SKILL_LEVELS.index(least):
        name = member_for(actor, member_id).name
        raise Refused("level_too_low", field="people", name=name, level=least)


def _check_start(day: Workday, start: str) -> None:
    try:
        wanted = time.fromisoformat(start)
    except ValueError:
        raise Refused("start_time", field="start", given=start) from None
    odd = wanted.tzinfo or wanted.second or wanted.microsecond or wanted.minute % 5
    if odd or not day.opens <= wanted < day.closes:
        raise Refused("start_time", field="start", given=start)
