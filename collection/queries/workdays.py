"""Workdays: the list, and a day with its plan as people read it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, time

from collection.craft.reasons import Reason
from collection.models import Assignment, Job, Offer, Plan, Workday
from collection.queries.access import Actor, plan_for, workday_for
from collection.queries.clock import local
from collection.queries.day_problem import candidates, day_people, minutes_of
from collection.queries.errors import Refused
from collection.queries.labels import task_name
from collection.queries.numbers import job_number
from collection.queries.opened import Line, Opened, hours, minutes
from collection.queries.people import levels, usual_level
from collection.queries.sentences import say
from collection.queries.trees import Hands, last_hands, title_of

PLAN_WORDS = {
    "waiting": "waiting",
    "working": "being worked out",
    "ready": "ready",
    "out_of_date": "out of date",
    "failed": "could not be worked out",
}


@dataclass(frozen=True, slots=True)
class DayRow:
    """A workday in a list."""

    id: int
    date: date
    opens: time
    closes: time
    site: str
    people: int
    state: str
    plan: str


def day_list(actor: Actor) -> list[DayRow]:
    """Every workday, oldest first, with how many come and how its plan stands."""
    days = Workday.objects.filter(club_id=actor.club_id).select_related("site").order_by("date", "id")
    people: dict[int, int] = defaultdict(int)
    yes = Offer.objects.filter(club_id=actor.club_id, answer="yes")
    for day in yes.values_list("workday_id", flat=True):
        people[day] += 1
    plans: dict[int, Plan] = {}
    for plan in Plan.objects.filter(club_id=actor.club_id).order_by("number"):
        plans[plan.workday_id] = plan
    for workday, plan in plans.items():
        people[workday] -= len(plan.wishes.get("away", []))
    return [
        DayRow(
            day.pk,
            day.date,
            day.opens,
            day.closes,
            day.site.name,
            people[day.pk],
            day.state,
            _plan_word(plans.get(day.pk)),
        )
        for day in days
    ]


def _plan_word(plan: Plan | None) -> str:
    if plan is None:
        return "none yet"
    return "sent out" if plan.sent_out else PLAN_WORDS[plan.state]


def next_workday(actor: Actor, today: date) -> int | None:
    """The next workday that is neither held nor cancelled."""
    days = Workday.objects.filter(club_id=actor.club_id, date__gte=today)
    days = days.exclude(state__in=[Workday.State.CANCELLED, Workday.State.HELD])
    return days.order_by("date", "id").values_list("pk", flat=True).first()


@dataclass(frozen=True, slots=True)
class Comer:
    """Somebody who said yes."""

    id: int
    name: str
    level: str
    arrives_min: int
    leaves_min: int
    here: bool
    is_lead: bool
    first_aider: bool


@dataclass(frozen=True, slots=True)
class Seat:
    """One job of the plan: who, on which tree, from when to when."""

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


@dataclass(frozen=True, slots=True)
class Day:
    """A workday with everything on its page."""

    id: int
    date: date
    opens_min: int
    closes_min: int
    briefing_min: int
    closing_min: int
    breaks: tuple[tuple[int, int], ...]
    site: str
    state: str
    bring: str
    lead: str
    zone: str
    comers: tuple[Comer, ...]
    maybe: tuple[str, ...]
    plan: DayPlan | None
    last: tuple[tuple[str, int, Hands | None], ...]
    later_jobs: int


def day_of(actor: Actor, workday_id: int) -> Day:
    """A workday with its newest plan.

    Raises:
        Refused: ``not_found``.
    """
    day = workday_for(actor, workday_id)
    plan = Plan.objects.filter(workday=day).order_by("-number").first()
    away = frozenset(plan.wishes.get("away", [])) if plan else frozenset()
    shown = _plan_view(plan, day) if plan else None
    trees = {}
    for seat in shown.seats if shown else ():
        trees[seat.tree_id] = seat.accession
    hands = last_hands(trees)
    people = day_people(day)
    return Day(
        id=day.pk,
        date=day.date,
        opens_min=minutes_of(day.opens),
        closes_min=minutes_of(day.closes),
        briefing_min=day.briefing_min,
        closing_min=day.closing_min,
        breaks=tuple(
            (minutes_of(time.fromisoformat(a)), minutes_of(time.fromisoformat(b))) for a, b in day.breaks
        ),
        site=day.site.name,
        state=day.state,
        bring=day.bring,
        lead=day.lead.name if day.lead else "",
        zone=day.zone,
        comers=_comers(day, away),
        maybe=tuple(_names(day, "perhaps")),
        plan=shown,
        last=tuple((trees[tree], tree, hands.get(tree)) for tree in sorted(trees, key=lambda t: trees[t])),
        later_jobs=candidates(day, people).left_for_later,
    )


def _names(day: Workday, answer: str) -> Iterable[str]:
    rows = Offer.objects.filter(workday=day, answer=answer).order_by("member__name")
    return rows.values_list("member__name", flat=True)


def _comers(day: Workday, away: frozenset[int]) -> tuple[Comer, ...]:
    offers = Offer.objects.filter(workday=day, answer="yes").select_related("member")
    rows = list(offers.order_by("member__name", "member_id"))
    known = levels([offer.member_id for offer in rows], day.date)
    return tuple(
        Comer(
            offer.member_id,
            offer.member.name,
            usual_level(known[offer.member_id]),
            minutes_of(offer.arrives or day.opens),
            minutes_of(offer.leaves or day.closes),
            offer.member_id not in away,
            day.lead_id == offer.member_id,
            day.first_aider_id == offer.member_id,
        )
        for offer in rows
    )


def _plan_view(plan: Plan, day: Workday) -> DayPlan:
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
    )


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


def plan_state(actor: Actor, plan_id: int) -> dict[str, object]:
    """How a plan stands, for the page that waits for it."""
    plan = plan_for(actor, plan_id)
    return {"state": plan.state, "number": plan.number, "words": PLAN_WORDS[plan.state]}


def seat_of(actor: Actor, plan_id: int, job_id: int, sitting: int) -> Seat | None:
    """One job of a plan."""
    plan = plan_for(actor, plan_id)
    shown = _plan_view(plan, plan.workday)
    return next((s for s in shown.seats if (s.job_id, s.sitting) == (job_id, sitting)), None)


def fair_shares(day: Day) -> tuple[str, ...]:
    """What the plan asks of people, in sentences: long holds, who has little to do."""
    if day.plan is None or not day.plan.seats:
        return ()
    spent: dict[str, int] = {comer.name: 0 for comer in day.comers if comer.here}
    held: dict[str, int] = {}
    for seat in day.plan.seats:
        work = sum(b - a for kind, a, b in seat.steps if kind != "break")
        for _, name, _ in seat.people:
            spent[name] = spent.get(name, 0) + work
            if seat.held:
                held[name] = held.get(name, 0) + sum(b - a for kind, a, b in seat.steps if kind == "held")
    longest = max(spent.values())
    said = [f"The longest day is {_span(longest)}, the shortest {_span(min(spent.values()))}."]
    if held:
        most = max(held.values())
        who = " and ".join(sorted(name for name, value in held.items() if value == most))
        said.append(f"{who} hold for {_span(most)}, under the two-hour limit.")
    idle = sorted(name for name, value in spent.items() if not value)
    if idle:
        spare = "Give them a round, pots, mix, labels, or work beside somebody practised."
        said.append(f"Nothing placed yet: {' and '.join(idle)}. {spare}")
    return tuple(said)


def _span(value: int) -> str:
    return f"{value // 60} h {value % 60:02d}" if value >= 60 else f"{value} min"


def workday_on(actor: Actor, on: date) -> int:
    """The workday on a date.

    Raises:
        Refused: ``no_workday``.
    """
    days = Workday.objects.filter(club_id=actor.club_id, date=on).order_by("id")
    found = days.values_list("pk", flat=True).first()
    if found is None:
        raise Refused("no_workday", kind="not_found", on=on)
    return found
