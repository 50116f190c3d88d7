"""A workday as the planner sees it: people who come, jobs in season at the place, what holds them.

Every figure the planner gets is read here, in a constant number of queries.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time
from typing import Any

from collection.craft.labour_reference import PaceTable
from collection.craft.reasons import Reason
from collection.craft.reference import tasks as catalogue
from collection.craft.rule_types import Done, RuleSettings, TreeFacts
from collection.craft.rules import holds
from collection.craft.tasks import SPRAYED
from collection.models import Assignment, Job, Offer, Plan, Sitting, Tree, Workday
from collection.planning.workday.problem import (
    GRID_MIN,
    Break,
    JobSpec,
    Person,
    Pin,
    Placement,
    Problem,
    Segment,
    SegmentKind,
    Step,
    paced,
)
from collection.planning.workday.problem import Plan as Outcome
from collection.queries.away import away_on
from collection.queries.clock import local
from collection.queries.consent import missing_consent
from collection.queries.facts import facts_of
from collection.queries.people import declared, levels
from collection.queries.programme import paces_of, rules_of
from collection.queries.real_work import real_work

# A job counts more when no later workday lies inside its window.
CLOSES_FIRST_POINTS = 4
# A day is offered this many times the hours its people have, most pressing jobs first (assumption).
CHOICE = 2.5
SPLITTABLE = frozenset(
    {"BUD_SELECT", "NEEDLE_PLUCK", "WIRE_DETAIL", "WIRE_STRUCT", "WIRE_OFF", "TRIM", "PINCH", "DEADWOOD"}
    | {"CANDLE_BREAK", "CANDLE_PINCH", "DECANDLE", "DEFOL_FULL", "DEFOL_PART", "DEADHEAD", "FLOWER_THIN"}
)
MIN_SITTING_MIN = 45
# Stress from which "no hard work until ..." holds a job.
HARD_STRESS = 2
_KINDS: tuple[SegmentKind, ...] = ("setup", "work", "held", "clean")
# On one tree and day the first is finished before the second starts (order rules P5, P6, P8, P9, P11;
# common practice for the rest).
FIRST_THEN = frozenset(
    {
        ("BUD_SELECT", "NEEDLE_PLUCK"),
        ("NEEDLE_PLUCK", "WIRE_DETAIL"),
        ("PRUNE_STRUCT", "WIRE_STRUCT"),
        ("TRIM", "WIRE_STRUCT"),
        ("WIRE_STRUCT", "WIRE_DETAIL"),
        ("HEAVY_BEND", "WIRE_DETAIL"),
        ("WIRE_OFF", "WIRE_STRUCT"),
        ("WIRE_OFF", "REPOT"),
    }
)


@dataclass(frozen=True, slots=True)
class Candidates:
    """Jobs a day could take: those put to the planner, and how many more are in season."""

    jobs: tuple[Job, ...]
    left_for_later: int


def minutes_of(value: time) -> int:
    """Minutes since midnight."""
    return value.hour * 60 + value.minute


def day_problem(plan: Plan) -> Problem:
    """The day of a plan as a frozen picture; equal pictures mean that nothing changed."""
    day, wishes = plan.workday, plan.wishes
    people = day_people(day, away=frozenset(wishes.get("away", [])))
    chosen = candidates(day, people, keep=[pin["job"] for pin in wishes.get("pins", [])])
    specs = _specs(day, chosen.jobs)
    known = {spec.id for spec in specs}
    here = {person.id for person in people}
    return Problem(
        date=day.date,
        opens_min=_down(minutes_of(day.opens)),
        closes_min=_down(minutes_of(day.closes)),
        briefing_min=_down(day.briefing_min),
        closing_min=_down(day.closing_min),
        breaks=tuple(
            Break(_down(minutes_of(time.fromisoformat(a))), _down(minutes_of(time.fromisoformat(b))))
            for a, b in day.breaks
        ),
        people=people,
        jobs=specs,
        previous_team=_previous_teams({spec.tree for spec in specs}),
        pins=_pins(wishes, known, here),
        left_out=frozenset(wishes.get("left_out", [])) & known,
    )


def _pins(wishes: Mapping[str, Any], jobs: set[int], people: set[int]) -> tuple[Pin, ...]:
    pins = []
    for pin in wishes.get("pins", []):
        team = tuple(p for p in pin["people"] if p in people)
        start = minutes_of(time.fromisoformat(pin["start"])) if pin.get("start") else None
        if pin["job"] in jobs and (team or start is not None):
            pins.append(Pin(pin["job"], team or None, start))
    return tuple(pins)


def day_people(day: Workday, *, away: frozenset[int] = frozenset()) -> tuple[Person, ...]:
    """Everybody who said yes and is not away, with hours, levels and leave to lead and hold."""
    offers = Offer.objects.filter(workday=day, answer="yes").exclude(member_id__in=away)
    rows = list(offers.select_related("member").order_by("member__name", "member_id"))
    ids = [offer.member_id for offer in rows]
    known = levels(ids, day.date)
    lifts = declared(ids, "can_lift", day.date)
    sprays = declared(ids, "sprays", day.date)
    return tuple(
        Person(
            id=offer.member_id,
            name=offer.member.name,
            arrives_min=_up(minutes_of(offer.arrives or day.opens)),
            leaves_min=_down(minutes_of(offer.leaves or day.closes)),
            levels=known[offer.member_id],
            may_lead=frozenset(f for f, level in known[offer.member_id].items() if level == "expert"),
            may_hold=offer.member_id in lifts,
            not_free_for=frozenset() if offer.member_id in sprays else SPRAYED,
        )
        for offer in rows
    )


def candidates(day: Workday, people: Sequence[Person], *, keep: Iterable[int] = ()) -> Candidates:
    """Open jobs on trees whose window holds the day, most pressing first, up to what the day could take.

    A job that was pinned is always among them, and so is every job on an open tree, every job of two
    people and every stress-3 job.
    """
    rows = (
        Job.objects.filter(club_id=day.club_id, state=Job.State.OPEN, tree__archived_at=None)
        .filter(tree__isnull=False, opens__lte=day.date, closes__gte=day.date)
        .select_related("tree", "estimate", "bend")
    )
    pinned, open_trees = set(keep), open_tree_ids(day.club_id)
    later = next_day_after(day)
    hours = sum(person.leaves_min - person.arrives_min for person in people) * CHOICE

    def rank(job: Job) -> tuple[object, ...]:
        first = job.pk in pinned or job.tree_id in open_trees or job.stress == 3 or job.crew > 1
        return (not first, -points(job, later), job.closes, job.pk)

    chosen: list[Job] = []
    spent = 0.0
    ordered = sorted(rows, key=rank)
    for job in ordered:
        must = not rank(job)[0]
        if not must and spent >= hours:
            break
        chosen.append(job)
        spent += job.estimate.mean_min if job.estimate else 60
    return Candidates(tuple(sorted(chosen, key=lambda j: j.pk)), len(ordered) - len(chosen))


def points(job: Job, later: date | None) -> int:
    """Priority by hand, and four more when no later workday lies inside the window."""
    return job.priority + (CLOSES_FIRST_POINTS if later is None or later > job.closes else 0)


def next_day_after(day: Workday) -> date | None:
    """The next workday of the club at the same site."""
    later = Workday.objects.filter(club_id=day.club_id, site_id=day.site_id, date__gt=day.date)
    later = later.exclude(state__in=[Workday.State.CANCELLED, Workday.State.DRAFT])
    return later.order_by("date").values_list("date", flat=True).first()


def open_tree_ids(club_id: int) -> frozenset[int]:
    """Trees whose newest sitting left them open."""
    newest: dict[int, bool] = {}
    rows = real_work(Sitting.objects.filter(club_id=club_id, corrected_by=None, remembered=False))
    for tree, left_open in rows.order_by("ended", "id").values_list("tree_id", "left_open"):
        newest[tree] = left_open
    return frozenset(tree for tree, left_open in newest.items() if left_open)


def _specs(day: Workday, jobs: Sequence[Job]) -> tuple[JobSpec, ...]:
    trees = {job.tree.pk: job.tree for job in jobs if job.tree is not None}
    facts = facts_of(trees.values())
    consent, away = missing_consent(trees, day.date), away_on(trees, day.date)
    table, rules, later = paces_of(day.club_id), rules_of(day.club), next_day_after(day)
    on_tree: dict[int, list[Job]] = {}
    for job in jobs:
        on_tree.setdefault(job.tree_id or 0, []).append(job)
    specs = []
    beside: dict[int, tuple[Done, ...]] = {}
    for job in sorted(jobs, key=lambda j: (-points(j, later), j.closes, j.pk)):
        tree_id = job.tree_id or 0
        why = held_reasons(job, day.date, facts[tree_id], rules, planned=beside.get(tree_id, ()))
        why += consent.get(tree_id, ())
        if not why and job.stress >= 2:
            # Hard work on one tree is weighed together: the more pressing job stands, the other waits.
            done = Done(job.task, day.date, job.subject, job.occurrence)
            beside[tree_id] = (*beside.get(tree_id, ()), done)
        specs.append(_spec(job, day, table, later, on_tree[tree_id], why, is_away=tree_id in away))
    return tuple(sorted(specs, key=lambda spec: spec.id))


def held_reasons(
    job: Job, on: date, facts: TreeFacts, rules: RuleSettings, *, planned: tuple[Done, ...] = ()
) -> tuple[Reason, ...]:
    """Why the job may not be done that day: the rules, the tree, the sign-off."""
    tree = job.tree
    found = [
        hold.reason
        for hold in holds(facts, job.task, on, settings=rules, subject=job.subject, planned=planned)
        if hold.level == "hard"
    ]
    if tree and tree.leave_alone_until and tree.leave_alone_until > on:
        found.append(Reason.of("leave_alone", until=tree.leave_alone_until, why=tree.leave_alone_why))
    if tree and tree.no_hard_work_until and tree.no_hard_work_until > on and job.stress >= HARD_STRESS:
        found.append(Reason.of("no_hard_work", until=tree.no_hard_work_until, why=tree.no_hard_work_why))
    if job.bend and job.bend.signed_by_id is None:
        found.append(Reason.of("needs_sign_off"))
    return tuple(found)


def _spec(
    job: Job,
    day: Workday,
    table: PaceTable,
    later: date | None,
    beside: Sequence[Job],
    why: tuple[Reason, ...],
    *,
    is_away: bool,
) -> JobSpec:
    task, tree = catalogue()[job.task], job.tree
    parts, set_up = segments_of(job)
    by_level, segments = paced(parts, table.skills)
    least = task.least_skill
    ranks = ["novice", "learning", "practised", "expert"]
    if job.task == "HEAVY_BEND":
        least = "expert"
    may = ranks[ranks.index(least) :]
    return JobSpec(
        id=job.pk,
        tree=job.tree_id or 0,
        task=job.task,
        family=task.family,
        least_skill=least,
        stress=job.stress,
        minutes_by_level={level: by_level[level] for level in may},
        value_min=max(1, round(job.estimate.mean_min if job.estimate else sum(p.minutes for p in parts))),
        crew=job.crew,
        lead_level="expert" if job.task == "HEAVY_BEND" else None,
        segments={level: segments[level] for level in may},
        priority=points(job, later),
        closes_before_next=later is None or later > job.closes,
        after=frozenset(other.pk for other in beside if (other.task, job.task) in FIRST_THEN),
        may_split=job.task in SPLITTABLE and job.crew == 1,
        min_sitting_min=max(MIN_SITTING_MIN, _up(set_up) + 15),
        per_sitting_setup_min=_up(set_up),
        holds=why,
        tree_is_here=not is_away and is_here(tree, day),
    )


def is_here(tree: Tree | None, day: Workday) -> bool:
    """The tree stands where the day is held, or may travel and somebody brings it."""
    if tree is None:
        return False
    return tree.site_id == day.site_id or bool(tree.may_travel and tree.brought_by_id)


def segments_of(job: Job) -> tuple[tuple[Segment, ...], int]:
    """The parts of a job at practised pace on the clock, and the set-up every sitting pays again."""
    lines = job.estimate.lines if job.estimate else []
    sittings = job.estimate.sittings if job.estimate else 1
    clock = {"setup": 0.0, "work": 0.0, "held": 0.0, "clean": 0.0}
    for line in lines:
        minutes = line_elapsed_min(line)
        kind = "held" if line["held"] else "work"
        if not line["scales"] and not line["held"]:
            kind = "clean" if line["code"] in ("SETUP/clean_down", "SETUP/record") else "setup"
            minutes /= sittings  # a sum of several sittings holds the set-up of each
        clock[kind] += minutes
    if not lines:
        clock["work"] = 60.0
    parts = tuple(Segment(kind, _up(clock[kind])) for kind in _KINDS if clock[kind] > 0.5)
    return parts, int(clock["setup"] + clock["clean"])


def line_elapsed_min(line: Mapping[str, Any]) -> float:
    """Minutes on the clock of one line of a stored sum, at a practised hand's pace (mean)."""
    per = (line["low_per"] + 4 * line["likely_per"] + line["high_per"]) / 6
    times = line["amount"] / line["per"] * line["multiplier"]
    return float(times * per / (1 if line["together"] else line["crew"]))


def _previous_teams(trees: set[int]) -> dict[int, frozenset[int]]:
    """Who last worked each tree that was left open."""
    teams: dict[int, frozenset[int]] = {}
    rows = real_work(Sitting.objects.filter(tree_id__in=trees, corrected_by=None, remembered=False))
    for sitting in rows.order_by("ended", "id").prefetch_related("people"):
        if sitting.left_open:
            teams[sitting.tree_id] = frozenset(p.member_id for p in sitting.people.all())
        else:
            teams.pop(sitting.tree_id, None)
    return teams


def outcome_of(plan: Plan | None, problem: Problem) -> Outcome | None:
    """An earlier plan as the planner sees it, for keeping a new one close to it."""
    if plan is None:
        return None
    known, here = {job.id for job in problem.jobs}, {person.id for person in problem.people}
    found: dict[tuple[int, int], Placement] = {}
    seats: dict[tuple[int, int], list[Assignment]] = {}
    for row in plan.assignments.order_by("job_id", "sitting", "id"):
        seats.setdefault((row.job_id, row.sitting), []).append(row)
    for (job, sitting), rows in seats.items():
        team = sorted(rows, key=lambda seat: (seat.role != "lead", seat.pk))
        if job not in known or not {seat.member_id for seat in team} <= here:
            continue
        first, zone = team[0], plan.workday.zone
        found[job, sitting] = Placement(
            job=job,
            sitting=sitting,
            team=tuple((seat.member_id, "lead" if n == 0 else "hand") for n, seat in enumerate(team)),
            starts_min=minutes_of(local(first.starts, zone).time()),
            ends_min=minutes_of(local(first.ends, zone).time()),
            steps=tuple(Step(*step) for step in first.steps),
            part=first.part,
            minutes_done=first.done_min,
        )
    return Outcome(tuple(found.values()), (), 0, 0, "found")


def _up(minutes: float) -> int:
    return -int(-minutes // GRID_MIN) * GRID_MIN


def _down(minutes: int) -> int:
    return minutes // GRID_MIN * GRID_MIN
