"""The judge of a plan: every rule of a workday read once more, sharing no code with what made the plan.

Only the types of ``problem`` are used. Bars are judged by ticking through the day five minutes at a
time, so a mistake in the planners' arithmetic with breaks cannot hide here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from collection.planning.workday.problem import (
    GRID_MIN,
    HELD_LIMIT_MIN,
    LEVELS,
    PART_STEP_MIN,
    JobSpec,
    Person,
    Placement,
    Plan,
    Problem,
)


@dataclass(frozen=True, slots=True)
class Breach:
    """A rule that a plan breaks: which, on which job, by whom, from when."""

    rule: str
    job: int | None = None
    people: tuple[int, ...] = ()
    at: int | None = None


@dataclass(frozen=True, slots=True)
class _Line:
    """A placement with the job and the people it names."""

    placed: Placement
    job: JobSpec
    team: tuple[Person, ...]

    def breach(self, rule: str, *people: Person, at: int | None = None) -> Breach:
        who = tuple(person.id for person in people)
        return Breach(rule, self.job.id, who, self.placed.starts_min if at is None else at)


def breaches(problem: Problem, plan: Plan) -> tuple[Breach, ...]:
    """Every rule that the plan breaks; empty for a plan that can be sent out.

    Args:
        problem: The day.
        plan: Any plan, however odd.

    Returns:
        One ``Breach`` for each rule, job and person concerned.
    """
    jobs = {job.id: job for job in problem.jobs}
    people = {person.id: person for person in problem.people}
    strangers = [
        Breach("unknown", one.job, one.persons, one.starts_min)
        for one in plan.placements
        if one.job not in jobs or not set(one.persons) <= set(people)
    ]
    if strangers:
        return tuple(strangers)
    lines = [
        _Line(one, jobs[one.job], tuple(people[person] for person in one.persons)) for one in plan.placements
    ]
    found: list[Breach] = []
    for line in lines:
        found += _may_be_placed(problem, line)
        found += _team(line)
        found += _skill(line)
        found += _hours(problem, line)
        found += _bar(problem, line)
        found += _pinned(problem, line)
    found += _one_thing_at_a_time(lines)
    found += _one_team_on_a_tree(lines)
    found += _order(lines)
    found += _held_limit(lines)
    found += _accounts(problem, plan)
    return tuple(found)


def value_of(problem: Problem, plan: Plan) -> int:
    """The value of a plan, added up from its placements: priority x practised minutes.

    Minutes of stress-3 jobs whose window closes before the next workday weigh more than all the
    other jobs of the day together.
    """
    jobs = {job.id: job for job in problem.jobs}
    first = [job.id for job in problem.jobs if job.stress == 3 and job.closes_before_next]
    heavy = 1 + sum(job.value_min * job.priority for job in problem.jobs if job.id not in first)
    total = 0
    for one in plan.placements:
        points = one.minutes_done * jobs[one.job].priority
        total += points * heavy if one.job in first else points
    return total


def _rank(person: Person, job: JobSpec) -> int:
    return LEVELS.index(person.levels.get(job.family, LEVELS[0]))


def _may_be_placed(problem: Problem, line: _Line) -> Iterator[Breach]:
    if line.job.holds:
        yield line.breach("held_tree")
    if line.job.id in problem.left_out:
        yield line.breach("left_out")
    if not line.job.tree_is_here:
        yield line.breach("tree_not_here")


def _team(line: _Line) -> Iterator[Breach]:
    """The crew the job asks for, all different people, one of them leading."""
    if len(line.team) != line.job.crew:
        yield line.breach("crew", *line.team)
    if len({person.id for person in line.team}) < len(line.team):
        yield line.breach("same_person", *line.team)
    roles = [role for _, role in line.placed.team]
    if roles[:1] != ["lead"] or any(role != "hand" for role in roles[1:]):
        yield line.breach("one_lead", *line.team)
    needs_strength = any(step.kind == "held" for step in line.placed.steps) or any(
        part.kind == "held" for parts in (line.job.segments or {}).values() for part in parts
    )
    for person in line.team:
        if needs_strength and not person.may_hold:
            yield line.breach("may_hold", person)
        if line.job.task in person.not_free_for:
            yield line.breach("not_free", person)


def _skill(line: _Line) -> Iterator[Breach]:
    """Levels of lead and helpers, leave to lead, and nobody new alone on hard work."""
    job, team = line.job, line.team
    if not team:
        return
    lead, *helpers = team
    if _rank(lead, job) < LEVELS.index(job.least_skill):
        yield line.breach("least_skill", lead)
    if job.lead_level is not None and _rank(lead, job) < LEVELS.index(job.lead_level):
        yield line.breach("lead_level", lead)
    if job.lead_level is not None and job.family not in lead.may_lead:
        yield line.breach("may_lead", lead)
    for helper in helpers:
        if _rank(helper, job) == 0 and job.least_skill != "novice":
            yield line.breach("helper_skill", helper)
    novices = [person for person in team if _rank(person, job) == 0]
    if job.stress >= 2 and novices and all(LEVELS[_rank(person, job)] not in LEVELS[2:] for person in team):
        yield line.breach("novice_alone", *novices)


def _hours(problem: Problem, line: _Line) -> Iterator[Breach]:
    start, end = line.placed.starts_min, line.placed.ends_min
    if start < problem.opens_min + problem.briefing_min:
        yield line.breach("briefing")
    if end > problem.closes_min - problem.closing_min:
        yield line.breach("closing", at=end)
    for person in line.team:
        if start < person.arrives_min:
            yield line.breach("arrives", person)
        if end > person.leaves_min:
            yield line.breach("leaves", person, at=end)


def _bar(problem: Problem, line: _Line) -> Iterator[Breach]:
    """Length and steps of the bar, against the job's parts laid onto the clock tick by tick."""
    placed = line.placed
    edges = [placed.starts_min, *(step.to_min for step in placed.steps)]
    joined = [step.from_min for step in placed.steps] == edges[:-1] and edges[-1] == placed.ends_min
    if not joined or any(edge % GRID_MIN for edge in edges) or sorted(set(edges)) != edges:
        yield line.breach("bar")
        return
    yield from _rests(problem, line)
    level = LEVELS[_rank(line.team[0], line.job)] if line.team else ""
    if level not in line.job.minutes_by_level:
        yield line.breach("length")
        return
    done = _part_ticks(problem, line, level) if placed.part else _ticks_of(line.job, level)
    if done is None:
        yield line.breach("part")
        return
    if _laid_out(problem, placed.starts_min, done) != _seen(placed):
        yield line.breach("length")
    if placed.minutes_done != _minutes_that_count(line.job, level, done, placed.part):
        yield line.breach("minutes_done")


def _rests(problem: Problem, line: _Line) -> Iterator[Breach]:
    """Nobody works through a break but to hold, and a held step is never cut in two."""
    for step in line.placed.steps:
        for pause in problem.breaks:
            meets = step.from_min < pause.end_min and pause.start_min < step.to_min
            starts_inside = pause.start_min <= step.from_min < pause.end_min
            if meets and step.kind != "break" and (step.kind != "held" or starts_inside):
                yield line.breach("break", *line.team, at=step.from_min)
    if not line.team or line.placed.part:
        return
    parts = (line.job.segments or {}).get(LEVELS[_rank(line.team[0], line.job)], ())
    wanted = [part.minutes for part in parts if part.kind == "held"]
    held = [step.to_min - step.from_min for step in line.placed.steps if step.kind == "held"]
    if len(held) > len(wanted):
        yield line.breach("held_split", *line.team)


def _ticks_of(job: JobSpec, level: str) -> list[tuple[str, int]]:
    """(kind, number of the part) for every five minutes of the whole job."""
    parts = [(part.kind, part.minutes) for part in (job.segments or {}).get(level, ())]
    if not parts:
        rest = job.minutes_by_level[level] - job.per_sitting_setup_min
        parts = [("setup", job.per_sitting_setup_min), ("work", rest)]
    return [
        (kind, number) for number, (kind, minutes) in enumerate(parts) for _ in range(minutes // GRID_MIN)
    ]


def _part_ticks(problem: Problem, line: _Line, level: str) -> list[tuple[str, int]] | None:
    """The five-minute ticks of a planned part, or None when it may not be cut like this."""
    job, lead = line.job, line.team[0]
    whole = _ticks_of(job, level)
    seen = [kind for kind in _seen(line.placed) if kind != "break"]
    hours = _workable(problem, lead)
    minutes = len(seen) * GRID_MIN
    right_length = minutes % PART_STEP_MIN == 0 or minutes == hours
    too_long = len(whole) * GRID_MIN > hours
    if not (job.may_split and too_long and right_length and minutes >= job.min_sitting_min):
        return None
    productive = [tick for tick in whole if tick[0] in ("work", "held")]
    count = len(seen) - job.per_sitting_setup_min // GRID_MIN
    cut = productive[:count]
    if not 0 < count < len(productive) or (cut[-1] == productive[count] and cut[-1][0] == "held"):
        return None
    return [("setup", -1)] * (job.per_sitting_setup_min // GRID_MIN) + cut


def _workable(problem: Problem, person: Person) -> int:
    """Minutes between briefing and closing in which the person is there and no break runs."""
    start = max(problem.opens_min + problem.briefing_min, person.arrives_min)
    end = min(problem.closes_min - problem.closing_min, person.leaves_min)
    ticks = [now for now in range(start, end, GRID_MIN) if not _is_break(problem, now)]
    return len(ticks) * GRID_MIN


def _is_break(problem: Problem, now: int) -> bool:
    return any(pause.start_min <= now < pause.end_min for pause in problem.breaks)


def _laid_out(problem: Problem, start: int, ticks: list[tuple[str, int]]) -> list[str]:
    """What the crew does in each five minutes: a held step runs on, its rest comes after."""
    seen: list[str] = []
    now, owed, position = start, 0, 0
    while position < len(ticks) or owed:
        resting = _is_break(problem, now)
        holding = 0 < position < len(ticks) and ticks[position - 1] == ticks[position]
        if holding and ticks[position][0] == "held":
            owed += resting
        elif resting or owed:
            owed -= not resting
            seen.append("break")
            now += GRID_MIN
            continue
        seen.append(ticks[position][0])
        position += 1
        now += GRID_MIN
    return seen


def _seen(placed: Placement) -> list[str]:
    return [step.kind for step in placed.steps for _ in range(step.from_min, step.to_min, GRID_MIN)]


def _minutes_that_count(job: JobSpec, level: str, done: list[tuple[str, int]], part: bool) -> int:
    if not part:
        return job.value_min
    whole = sum(kind in ("work", "held") for kind, _ in _ticks_of(job, level))
    return job.value_min * sum(kind in ("work", "held") for kind, _ in done) // whole


def _pinned(problem: Problem, line: _Line) -> Iterator[Breach]:
    for pin in problem.pins:
        if pin.job != line.job.id:
            continue
        missing = [person for person in pin.persons or () if person not in line.placed.persons]
        if len(pin.persons or ()) == line.job.crew and pin.persons != line.placed.persons:
            missing += [person for person in (pin.persons or ())[:1] if line.placed.persons[:1] != (person,)]
        moved = pin.start_min is not None and pin.start_min != line.placed.starts_min
        if missing or moved:
            yield Breach("pin", line.job.id, tuple(missing), line.placed.starts_min)


def _overlap(one: Placement, other: Placement) -> bool:
    return one.starts_min < other.ends_min and other.starts_min < one.ends_min


def _pairs(lines: list[_Line]) -> Iterator[tuple[_Line, _Line]]:
    for number, line in enumerate(lines):
        for other in lines[number + 1 :]:
            yield line, other


def _one_thing_at_a_time(lines: list[_Line]) -> Iterator[Breach]:
    for line, other in _pairs(lines):
        both = [person for person in line.team if person in other.team]
        if both and _overlap(line.placed, other.placed):
            at = max(line.placed.starts_min, other.placed.starts_min)
            yield line.breach("two_things_at_once", *both, at=at)


def _one_team_on_a_tree(lines: list[_Line]) -> Iterator[Breach]:
    for line, other in _pairs(lines):
        if line.job.tree == other.job.tree and _overlap(line.placed, other.placed):
            at = max(line.placed.starts_min, other.placed.starts_min)
            yield line.breach("tree_busy", *line.team, *other.team, at=at)


def _order(lines: list[_Line]) -> Iterator[Breach]:
    """Jobs that must be finished first are, and before this one starts."""
    for line in lines:
        for wanted in line.job.after:
            before = [other.placed for other in lines if other.job.id == wanted]
            finished = [one for one in before if not one.part and one.ends_min <= line.placed.starts_min]
            if not finished:
                yield line.breach("order")


def _held_limit(lines: list[_Line]) -> Iterator[Breach]:
    held: dict[int, int] = {}
    for line in lines:
        for person in {one.id for one in line.team}:
            held[person] = held.get(person, 0) + sum(to - start for start, to in line.placed.held)
    for person, minutes in held.items():
        if minutes > HELD_LIMIT_MIN:
            yield Breach("held_limit", None, (person,))


def _accounts(problem: Problem, plan: Plan) -> Iterator[Breach]:
    """Each job once, placed or not placed with a reason; the value and the bound add up."""
    placed = [one.job for one in plan.placements]
    unplaced = [job for job, _ in plan.unplaced]
    for job in problem.jobs:
        if placed.count(job.id) + unplaced.count(job.id) != 1:
            yield Breach("listed_once", job.id)
    for job_id, reasons in plan.unplaced:
        if not reasons:
            yield Breach("no_reason", job_id)
    if not set(unplaced) <= {job.id for job in problem.jobs}:
        yield Breach("unknown")
    if any(one.sitting != 1 for one in plan.placements):
        yield Breach("sitting")
    value = value_of(problem, plan)
    if plan.value != value or plan.bound < value or (plan.status == "best" and plan.bound != value):
        yield Breach("value")
