"""Why a job is not in the plan: the rule, the people and the times, as reasons.

Rules that hold whatever else happens come first and all of them are named. Only when none of them
stands in the way is the plan itself the reason; then limits are lifted (people's other jobs, the
tree, the order, the held minutes) and the fewest whose lifting lets the job in are named.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from itertools import combinations

from collection.craft.reasons import Reason
from collection.planning.workday.listing import Sheet
from collection.planning.workday.options import (
    Candidate,
    Case,
    Option,
    has_skill_to_help,
    has_skill_to_lead,
    is_held,
    is_willing,
    prepare,
    rank_of,
    teams,
)
from collection.planning.workday.problem import HELD_LIMIT_MIN, LEVELS, JobSpec, Person


def reasons_for(case: Case, sheet: Sheet, job: JobSpec) -> tuple[Reason, ...]:
    """Why a job has no place on a sheet: one reason or more, never none.

    Args:
        case: The day, made ready.
        sheet: The plan, without the job.
        job: The job that is not on it.
    """
    fixed = (*_off_today(case, job), *_waits(case, sheet, job), *_nobody(case, job))
    if fixed:
        return fixed
    if _is_pinned(case, job):
        return _pinned_reasons(case, sheet, job)
    candidate = case.candidates.get(job.id)
    if candidate is None or not _fits(Sheet(case), candidate, "order"):
        return _too_long(case, job)
    return _no_room(sheet, candidate)


def _off_today(case: Case, job: JobSpec) -> tuple[Reason, ...]:
    reasons = list(job.holds)
    if job.id in case.problem.left_out:
        reasons.append(Reason.of("left_out"))
    if not job.tree_is_here:
        reasons.append(Reason.of("tree_not_here"))
    return tuple(reasons)


def _waits(case: Case, sheet: Sheet, job: JobSpec) -> tuple[Reason, ...]:
    """Jobs that must be finished first and are not."""
    task = {other.id: other.task for other in case.problem.jobs}
    unfinished = [
        other for other in sorted(job.after) if other not in sheet.seats or sheet.seats[other].option.part
    ]
    return tuple(Reason.of("waits_for_job", job=other, after=task[other]) for other in unfinished)


def _nobody(case: Case, job: JobSpec) -> tuple[Reason, ...]:
    """What is wrong with the people who come, whatever the time: skill, leave, will, strength, number."""
    people = case.problem.people
    able = [person for person in people if has_skill_to_lead(person, job)]
    if not able:
        return (_no_lead_reason(people, job),)
    leads = [person for person in able if is_willing(person, job)]
    if not leads:
        return _unwilling(able, job)
    helpers = [person for person in people if has_skill_to_help(person, job)]
    free = [person for person in helpers if is_willing(person, job)]
    found = {person.id for person in (*leads, *free)}
    if job.crew > 1 and len(found) < job.crew:
        return _too_few(job, helpers, free)
    return ()


def _no_lead_reason(people: Iterable[Person], job: JobSpec) -> Reason:
    level = LEVELS[max(LEVELS.index(job.least_skill), LEVELS.index(job.lead_level or "novice"))]
    if job.stress >= 2 and job.crew == 1 and level == "novice":
        level = "learning"
    skilled = [person for person in people if rank_of(person, job.family) >= LEVELS.index(level)]
    if skilled and job.lead_level is not None:
        return Reason.of("no_lead", family=job.family, people=_names(skilled))
    return Reason.of("no_one_with_skill", family=job.family, level=level)


def _unwilling(able: list[Person], job: JobSpec) -> tuple[Reason, ...]:
    free = [person for person in able if job.task not in person.not_free_for]
    if not free:
        return (Reason.of("no_one_free_for", task=job.task, people=_names(able)),)
    return (Reason.of("no_one_to_hold", people=_names(free)),)


def _too_few(job: JobSpec, helpers: list[Person], free: list[Person]) -> tuple[Reason, ...]:
    unfit = [person for person in helpers if person not in free and job.task not in person.not_free_for]
    if is_held(job) and unfit:
        return (Reason.of("no_one_to_hold", people=_names(unfit)),)
    return (Reason.of("too_few_hands", crew=job.crew, people=_names(free)),)


def _too_long(case: Case, job: JobSpec) -> tuple[Reason, ...]:
    """The people are there, but on no empty day either could they do it: too long, or held too long."""
    leads = [
        person for person in case.problem.people if has_skill_to_lead(person, job) and is_willing(person, job)
    ]
    minutes = min(job.minutes_by_level[person.level_in(job.family)] for person in leads)
    held = min(_held_minutes(job, person) for person in leads)
    if held > HELD_LIMIT_MIN:
        return (Reason.of("held_limit", minutes=held, limit_min=HELD_LIMIT_MIN, people=_names(leads)),)
    if job.crew > 1:
        longest, names = _longest_together(case, Sheet(case), job)
        if names:
            return (Reason.of("not_there_together", minutes=minutes, longest_min=longest, people=names),)
        return (Reason.of("needs_practised_beside", family=job.family),)
    hours = {person.name: case.hours[person.id][1] - case.hours[person.id][0] for person in leads}
    longest = max(hours.values())
    return (Reason.of("too_long", minutes=minutes, longest_min=longest, people=_names(leads)),)


def _held_minutes(job: JobSpec, person: Person) -> int:
    parts = job.segments_at(person.level_in(job.family))
    return sum(part.minutes for part in parts if part.kind == "held")


def _no_room(sheet: Sheet, candidate: Candidate) -> tuple[Reason, ...]:
    """The fewest limits of this plan that together keep the job out."""
    limits: dict[str, Callable[[Case, Sheet, Candidate], Reason]] = {
        "tree": _tree_busy,
        "order": _order_late,
        "held": _held_reached,
        "people": _people_busy,
    }
    for count in range(1, len(limits)):
        for lifted in combinations(limits, count):
            if _fits(sheet, candidate, *lifted):
                return tuple(limits[limit](sheet.case, sheet, candidate) for limit in lifted)
    return tuple(reason(sheet.case, sheet, candidate) for reason in limits.values())


def _fits(sheet: Sheet, candidate: Candidate, *without: str) -> bool:
    """Whether the job would fit if some limits did not count; without the order the tree is free too."""
    relaxed = Sheet(
        sheet.case,
        sheet.seats,
        {} if "people" in without else sheet.busy,
        {} if "tree" in without or "order" in without else sheet.tree_busy,
        {} if "held" in without else sheet.held,
    )
    if "order" in without:
        candidate = replace(candidate, job=replace(candidate.job, after=frozenset()))
    return relaxed.best_seat(candidate) is not None


def _tree_busy(case: Case, sheet: Sheet, candidate: Candidate) -> Reason:
    spells = sorted(sheet.tree_busy.get(candidate.job.tree, [(0, 0)]))
    start, end = case.clock.start(spells[0][0]), case.clock.end(spells[-1][1])
    return Reason.of("tree_busy", minutes=_shortest(candidate), from_clock_min=start, to_clock_min=end)


def _order_late(case: Case, sheet: Sheet, candidate: Candidate) -> Reason:
    last = max((sheet.seats[other] for other in candidate.job.after), key=lambda seat: seat.end)
    task = case.candidates[last.job].job.task
    end = case.clock.end(last.end)
    return Reason.of("order_too_late", minutes=_shortest(candidate), after=task, ends_clock_min=end)


def _held_reached(case: Case, sheet: Sheet, candidate: Candidate) -> Reason:
    minutes = min(option.held for options in candidate.leads.values() for option in options)
    tired = [
        person.name
        for person in case.problem.people
        if person.id in candidate.people and sheet.held.get(person.id, 0) + minutes > HELD_LIMIT_MIN
    ]
    return Reason.of("held_limit", minutes=minutes, limit_min=HELD_LIMIT_MIN, people=tuple(tired))


def _people_busy(case: Case, sheet: Sheet, candidate: Candidate) -> Reason:
    job, minutes = candidate.job, _shortest(candidate)
    if job.crew > 1:
        longest, names = _longest_together(case, sheet, job)
        return Reason.of(
            "no_two_free_together", minutes=minutes, longest_min=longest, people=names, crew=job.crew
        )
    gaps = {person: _longest_gap(case, sheet, (person,)) for person in candidate.leads}
    best = max(sorted(gaps), key=lambda person: gaps[person][1])
    names = tuple(person.name for person in case.problem.people if person.id in candidate.leads)
    name = next(person.name for person in case.problem.people if person.id == best)
    start = case.clock.start(gaps[best][0])
    return Reason.of(
        "day_full",
        minutes=minutes,
        people=names,
        most_free=name,
        longest_min=gaps[best][1],
        from_clock_min=start,
    )


def _shortest(candidate: Candidate) -> int:
    return min(option.minutes for options in candidate.leads.values() for option in options)


def _longest_together(case: Case, sheet: Sheet, job: JobSpec) -> tuple[int, tuple[str, ...]]:
    """The longest spell that a team for the job has free at once, and who they are."""
    name = {person.id: person.name for person in case.problem.people}
    best: tuple[int, tuple[str, ...]] = (-1, ())
    for lead, hands, _, _ in teams(case, _whoever_can(case, job)):
        gap = _longest_gap(case, sheet, (lead, *hands))[1]
        if gap > best[0]:
            best = (gap, tuple(name[person] for person in (lead, *hands)))
    return best


def _whoever_can(case: Case, job: JobSpec) -> Candidate:
    """The job with everybody who may lead or help, whatever their hours."""
    welcome = [person for person in case.problem.people if is_willing(person, job)]
    leads: dict[int, tuple[Option, ...]] = {
        person.id: () for person in welcome if has_skill_to_lead(person, job)
    }
    helpers = tuple(person.id for person in welcome if has_skill_to_help(person, job))
    return Candidate(job, leads, helpers, frozenset(), None)


def _longest_gap(case: Case, sheet: Sheet, team: tuple[int, ...]) -> tuple[int, int]:
    """Start and length in net minutes of the longest spell in which all are there and free."""
    start = max(case.hours[person][0] for person in team)
    end = max(start, min(case.hours[person][1] for person in team))
    best, now = (start, 0), start
    spells = sorted(spell for person in team for spell in sheet.busy.get(person, ()))
    for busy_from, busy_to in (*spells, (end, end)):
        if min(busy_from, end) - now > best[1]:
            best = (now, min(busy_from, end) - now)
        now = max(now, busy_to)
    return best


def _is_pinned(case: Case, job: JobSpec) -> bool:
    return any(pin.job == job.id for pin in case.problem.pins)


def _pinned_reasons(case: Case, sheet: Sheet, job: JobSpec) -> tuple[Reason, ...]:
    """The pin, when without it the job would fit; else why it would not fit without the pin either."""
    pin = next(pin for pin in case.problem.pins if pin.job == job.id)
    pins = tuple(other for other in case.problem.pins if other is not pin)
    open_case = prepare(replace(case.problem, pins=pins))
    open_sheet = Sheet(open_case, sheet.seats, sheet.busy, sheet.tree_busy, sheet.held)
    candidate = open_case.candidates.get(job.id)
    if candidate is None or open_sheet.best_seat(candidate) is None:
        return reasons_for(open_case, open_sheet, job)
    people = _names(person for person in case.problem.people if person.id in (pin.persons or ()))
    return (Reason.of("pin_cannot_be_kept", people=people, start_clock_min=pin.start_min),)


def _names(people: Iterable[Person]) -> tuple[str, ...]:
    return tuple(person.name for person in people)
