"""A day's plan as people read it: who does what, what did not fit and why, fair shares."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from collection.craft.reasons import Reason
from collection.models import Assignment, Job, Plan, Workday
from collection.queries.access import Actor, plan_for
from collection.queries.clock import local
from collection.queries.day_problem import minutes_of
from collection.queries.errors import not_found
from collection.queries.labels import length, task_name
from collection.queries.numbers import job_number
from collection.queries.opened import Line, Opened, hours, minutes
from collection.queries.sentences import say
from collection.queries.speech import listed
from collection.queries.trees import title_of

PLAN_WORDS = {
    "waiting": "waiting",
    "working": "being worked out",
    "ready": "ready",
    "out_of_date": "out of date",
    "failed": "could not be worked out",
}


@dataclass(frozen=True, slots=True)
class Seat:
    """One job of the plan: who, on which tree, when; ``lift`` says how a heavy tree is carried."""

    job_id: int
    sitting: int
    tree_id: int
    accession: str
    tree_title: str
    task: str
    title: str
    people: tuple[tuple[int, str, str], ...]
    starts_min: int
    ends_min: int
    steps: tuple[tuple[str, int, int], ...]
    part: bool
    pinned: bool
    number: Opened
    lift: str = ""

    @property
    def held(self) -> tuple[int, int] | None:
        """From and to of the held step."""
        spans = [(a, b) for kind, a, b in self.steps if kind == "held"]
        return (spans[0][0], spans[-1][1]) if spans else None


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A job that did not fit, and every reason."""

    job_id: int
    accession: str
    tree_id: int
    title: str
    number: Opened | None
    why: tuple[str, ...]
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DayPlan:
    """A plan as people read it."""

    id: int
    number: int
    state: str
    sent_out: bool
    ready_on: str
    best: bool
    seats: tuple[Seat, ...]
    unplaced: tuple[Unplaced, ...]
    left_out: tuple[tuple[int, str], ...]


def plan_view(plan: Plan, day: Workday) -> DayPlan:
    seats: dict[tuple[int, int], list[Assignment]] = {}
    rows = plan.assignments.select_related("member", "job__tree", "job__estimate", "job__bend")
    for row in rows.order_by("starts", "job_id", "sitting", "id"):
        seats.setdefault((row.job_id, row.sitting), []).append(row)
    unplaced = plan.outcome.get("unplaced", [])
    left = plan.wishes.get("left_out", [])
    jobs = Job.objects.select_related("tree", "estimate", "bend").in_bulk(
        [job for job, _ in unplaced] + list(left)
    )
    return DayPlan(
        id=plan.pk,
        number=plan.number,
        state=plan.state,
        sent_out=plan.sent_out,
        ready_on=f"{local(plan.ready_at, day.zone):%d %b %Y, %H:%M}" if plan.ready_at else "",
        best=plan.outcome.get("status") == "best",
        seats=tuple(_seat(group, day) for group in seats.values()),
        unplaced=tuple(_unplaced(jobs[job], why) for job, why in unplaced if job in jobs and job not in left),
        left_out=tuple((pk, _name_of(jobs[pk])) for pk in left if pk in jobs),
    )


def _name_of(job: Job) -> str:
    return f"{job.tree.accession if job.tree else ''} {_title(job).lower()}"


def _title(job: Job) -> str:
    if job.bend:
        where = f" of {job.bend.diameter_mm:.0f} mm"
        return task_name(job.task) + where
    return task_name(job.task)


def _seat(rows: list[Assignment], day: Workday) -> Seat:
    first = sorted(rows, key=lambda row: (row.role != "lead", row.pk))
    job, tree = first[0].job, first[0].job.tree
    return Seat(
        job_id=job.pk,
        sitting=first[0].sitting,
        tree_id=tree.pk if tree else 0,
        accession=tree.accession if tree else "",
        tree_title=title_of(tree) if tree else "",
        task=job.task,
        title=_title(job),
        people=tuple((row.member_id, row.member.name, row.role) for row in first),
        starts_min=minutes_of(local(first[0].starts, day.zone).time()),
        ends_min=minutes_of(local(first[0].ends, day.zone).time()),
        steps=tuple((kind, a, b) for kind, a, b in first[0].steps),
        part=first[0].part,
        pinned=first[0].pinned,
        number=_seat_number(first, job),
        lift=_lift(job),
    )


LIFT_NOTES = ("labour_bench_lift", "labour_lifting_aid")


def _lift(job: Job) -> str:
    """How a tree too heavy for one person comes to the bench and back; "" for a light one."""
    notes = [Reason.from_json(note) for note in (job.estimate.notes if job.estimate else [])]
    return " ".join(say(note) for note in notes if note.code in LIFT_NOTES)


STEP_WORDS = {
    "setup": "Set up",
    "work": "Work",
    "held": "Hold together",
    "clean": "Clean down, write it up",
    "break": "Break",
}


def _seat_number(rows: list[Assignment], job: Job) -> Opened:
    """The minutes of one planned job on the clock, step by step; breaks do not count as work."""
    lines = tuple(
        Line(STEP_WORDS[kind], minutes(to - start), (to - start) / 60)
        for kind, start, to in rows[0].steps
        if kind != "break"
    )
    value = sum(line.value for line in lines)
    return Opened(
        hours(value),
        value,
        "sum",
        lines,
        hours(value),
        "On the clock, breaks left out",
        (
            "From the job's own sum, at the pace of the level of the person who leads it.",
            "Rounded up to five minutes.",
        ),
        ("seat", f"{rows[0].plan_id}~{job.pk}~{rows[0].sitting}"),
    )


def _unplaced(job: Job, why: list[dict[str, object]]) -> Unplaced:
    reasons = [Reason.from_json(reason) for reason in why]
    return Unplaced(
        job.pk,
        job.tree.accession if job.tree else "",
        job.tree_id or 0,
        _title(job),
        job_number(job),
        tuple(say(reason) for reason in reasons),
        tuple(reason.code for reason in reasons),
    )


def seat_of(actor: Actor, plan_id: int, job_id: int, sitting: int) -> Seat | None:
    """One job of a plan; of a plan that was not sent out only coordinators see it."""
    plan = plan_for(actor, plan_id)
    if not (actor.plans or plan.sent_out):
        raise not_found()
    shown = plan_view(plan, plan.workday)
    return next((s for s in shown.seats if (s.job_id, s.sitting) == (job_id, sitting)), None)


def fair_shares(seats: Sequence[Seat], people: Iterable[str]) -> tuple[str, ...]:
    """What the plan asks of the people who are here, in sentences: long holds, who has little to do."""
    if not seats:
        return ()
    spent: dict[str, int] = dict.fromkeys(people, 0)
    held: dict[str, int] = {}
    for seat in seats:
        work = sum(b - a for kind, a, b in seat.steps if kind != "break")
        for _, name, _ in seat.people:
            spent[name] = spent.get(name, 0) + work
            if seat.held:
                held[name] = held.get(name, 0) + sum(b - a for kind, a, b in seat.steps if kind == "held")
    longest = max(spent.values())
    said = [f"The longest day is {length(longest)}, the shortest {length(min(spent.values()))}."]
    if held:
        most = max(held.values())
        who = listed(sorted(name for name, value in held.items() if value == most))
        said.append(f"{who} hold for {length(most)}, under the two-hour limit.")
    idle = sorted(name for name, value in spent.items() if not value)
    if idle:
        spare = "Give them a round, pots, mix, labels, or work beside somebody practised."
        said.append(f"Nothing placed yet: {listed(idle)}. {spare}")
    return tuple(said)
