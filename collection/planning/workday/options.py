"""Who may do a job, and in which lengths: the rules that look at one job and one person."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from collection.planning.workday.clock import DayClock, hours_of
from collection.planning.workday.problem import (
    HELD_LIMIT_MIN,
    LEVELS,
    PART_STEP_MIN,
    JobSpec,
    Person,
    Pin,
    Problem,
    Segment,
)

PRACTISED = LEVELS.index("practised")


@dataclass(frozen=True, slots=True)
class Option:
    """One length in which a lead may do a job: net minutes, held minutes, minutes that count."""

    minutes: int
    held: int
    done: int
    part: bool
    segments: tuple[Segment, ...]


@dataclass(frozen=True, slots=True)
class Candidate:
    """A job that may be placed: each possible lead with the lengths, and who may help.

    Attributes:
        fixed: People who must be in the team.
        start: Net minute of a pinned start, or None.
    """

    job: JobSpec
    leads: dict[int, tuple[Option, ...]]
    helpers: tuple[int, ...]
    fixed: frozenset[int]
    start: int | None

    @property
    def people(self) -> tuple[int, ...]:
        """Everybody who could be in the team."""
        return tuple(sorted(set(self.leads) | (set(self.helpers) if self.job.crew > 1 else set())))


@dataclass(frozen=True, slots=True)
class Case:
    """A problem made ready for planning, in net minutes."""

    problem: Problem
    clock: DayClock
    hours: dict[int, tuple[int, int]]
    rank: dict[tuple[int, str], int]
    candidates: dict[int, Candidate]


def rank_of(person: Person, family: str) -> int:
    """0 for a novice to 3 for an expert."""
    return LEVELS.index(person.level_in(family))


def is_held(job: JobSpec) -> bool:
    """Some step of the job must be held."""
    return any(part.kind == "held" for parts in (job.segments or {}).values() for part in parts)


def is_off_today(problem: Problem, job: JobSpec) -> bool:
    """The job is not for this day, whoever comes."""
    return job.id in problem.left_out or bool(job.holds) or not job.tree_is_here


def has_skill_to_lead(person: Person, job: JobSpec) -> bool:
    """The lead's level is enough, and there is leave to lead where the job asks for a lead."""
    rank = rank_of(person, job.family)
    if rank < LEVELS.index(job.least_skill) or person.level_in(job.family) not in job.minutes_by_level:
        return False
    if rank == 0 and job.crew == 1 and job.stress >= 2:
        return False
    if job.lead_level is None:
        return True
    return rank >= LEVELS.index(job.lead_level) and job.family in person.may_lead


def has_skill_to_help(person: Person, job: JobSpec) -> bool:
    """A helper is learning at least, unless the whole job is one for novices."""
    return rank_of(person, job.family) >= min(LEVELS.index(job.least_skill), LEVELS.index("learning"))


def is_willing(person: Person, job: JobSpec) -> bool:
    """Free for the task, and fit to hold where something must be held."""
    return job.task not in person.not_free_for and (person.may_hold or not is_held(job))


def team_is_safe(job: JobSpec, ranks: Iterable[int]) -> bool:
    """On a stress-2 or -3 job a novice works beside somebody practised."""
    levels = tuple(ranks)
    return job.stress < 2 or min(levels) > 0 or max(levels) >= PRACTISED


def options_for(job: JobSpec, level: str, room_min: int) -> tuple[Option, ...]:
    """The lengths in which a lead of a level with so many net minutes may do the job, longest first."""
    segments = job.segments_at(level)
    whole = sum(part.minutes for part in segments)
    held = _held(segments)
    if whole <= room_min:
        fits = Option(whole, held, job.value_min, False, segments)
        return (fits,) if held <= HELD_LIMIT_MIN else ()
    if not job.may_split:
        return ()
    first = -(-job.min_sitting_min // PART_STEP_MIN) * PART_STEP_MIN
    lengths = set(range(first, room_min + 1, PART_STEP_MIN))
    if room_min >= job.min_sitting_min:
        lengths.add(room_min)
    parts = [_part(job, segments, minutes) for minutes in sorted(lengths, reverse=True)]
    return tuple(part for part in parts if part is not None)


def _part(job: JobSpec, segments: tuple[Segment, ...], minutes: int) -> Option | None:
    productive = [part for part in segments if part.kind in ("work", "held")]
    total = sum(part.minutes for part in productive)
    wanted = minutes - job.per_sitting_setup_min
    cut = _first_minutes(productive, wanted)
    done = job.value_min * wanted // total
    if wanted >= total or cut is None or done < 1 or _held(cut) > HELD_LIMIT_MIN:
        return None
    setup = job.per_sitting_setup_min
    bar = (Segment("setup", setup), *cut) if setup else cut
    return Option(minutes, _held(cut), done, True, bar)


def _first_minutes(segments: Iterable[Segment], minutes: int) -> tuple[Segment, ...] | None:
    """The first minutes of the segments, or None when a held step would be cut."""
    taken: list[Segment] = []
    for part in segments:
        if minutes <= 0:
            break
        if part.minutes > minutes and part.kind == "held":
            return None
        taken.append(Segment(part.kind, min(part.minutes, minutes)))
        minutes -= part.minutes
    return tuple(taken)


def _held(segments: Iterable[Segment]) -> int:
    return sum(part.minutes for part in segments if part.kind == "held")


def prepare(problem: Problem) -> Case:
    """Everything the planners need to know about each job and each person."""
    clock = DayClock(problem.breaks)
    hours = hours_of(problem, clock)
    pins = {pin.job: pin for pin in problem.pins}
    rank = {
        (person.id, job.family): rank_of(person, job.family)
        for person in problem.people
        for job in problem.jobs
    }
    candidates = {}
    for job in problem.jobs:
        candidate = _candidate(problem, clock, hours, job, pins.get(job.id))
        if candidate is not None:
            candidates[job.id] = candidate
    return Case(problem, clock, hours, rank, candidates)


def _candidate(
    problem: Problem, clock: DayClock, hours: dict[int, tuple[int, int]], job: JobSpec, pin: Pin | None
) -> Candidate | None:
    """The job with its possible people; None when no full crew can be found or the pin cannot be kept."""
    fixed = frozenset(pin.persons or ()) if pin else frozenset()
    start = pin.start_min if pin else None
    if (
        is_off_today(problem, job)
        or len(fixed) > job.crew
        or (start is not None and _in_break(problem, start))
    ):
        return None
    welcome = [
        person
        for person in problem.people
        if is_willing(person, job) and (len(fixed) < job.crew or person.id in fixed)
    ]
    leads = {}
    pinned_lead = pin.persons[0] if pin and pin.persons and len(fixed) == job.crew else None
    for person in welcome:
        if has_skill_to_lead(person, job) and pinned_lead in (None, person.id):
            options = options_for(job, person.level_in(job.family), hours[person.id][1] - hours[person.id][0])
            if options:
                leads[person.id] = options
    helpers = tuple(person.id for person in welcome if has_skill_to_help(person, job))
    enough = bool(leads) and (job.crew == 1 or len(set(leads) | set(helpers)) >= job.crew)
    if not enough or not fixed <= set(leads) | set(helpers):
        return None
    return Candidate(job, leads, helpers, fixed, None if start is None else clock.net(start))


def _in_break(problem: Problem, clock_min: int) -> bool:
    return any(pause.start_min <= clock_min < pause.end_min for pause in problem.breaks)


def teams(case: Case, candidate: Candidate) -> Iterable[tuple[int, tuple[int, ...], int, int]]:
    """Every team that the rules allow: lead, helpers, and the net minutes from and to which all are there."""
    job = candidate.job
    for lead in candidate.leads:
        others = [person for person in candidate.helpers if person != lead]
        for hands in combinations(others, job.crew - 1):
            team = (lead, *hands)
            if not candidate.fixed <= set(team):
                continue
            if team_is_safe(job, (case.rank[person, job.family] for person in team)):
                start = max(case.hours[person][0] for person in team)
                yield lead, hands, start, min(case.hours[person][1] for person in team)
