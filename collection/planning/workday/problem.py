"""A workday to plan, and a plan of it: plain values that refuse nonsense.

Times are minutes since local midnight on a grid of five minutes. Lengths are minutes.

Two clocks. Common breaks stop the work, so a job that meets a break simply ends that much later. A
held step does not stop: the crew holds on through the break and takes the same minutes of rest right
after it, inside its own bar. Both ways the job ends at the same moment. So where a job ends depends
only on its start, its minutes and the breaks, and planners may count in minutes with the breaks
taken out (common practice, no source).

A cut job. A job that ``may_split`` is planned as a part when its whole length does not fit into the
hours of the person who leads it. A part is ``per_sitting_setup_min`` and then work and held steps
in their order, for any multiple of ``PART_STEP_MIN`` minutes from ``min_sitting_min`` upward, or for
all of the lead's hours. It never ends inside a held step.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from collection.craft.reasons import Reason

GRID_MIN = 5
PART_STEP_MIN = 15
HELD_LIMIT_MIN = 120
LEVELS = ("novice", "learning", "practised", "expert")

SegmentKind = Literal["setup", "work", "held", "clean"]
StepKind = Literal["setup", "work", "held", "clean", "break"]
Role = Literal["lead", "hand"]
Status = Literal["best", "found"]

_SEGMENT_KINDS = ("setup", "work", "held", "clean")


def _on_grid(value: int, what: str) -> None:
    if value % GRID_MIN:
        raise ValueError(f"{what} is {value}: give minutes in steps of {GRID_MIN}")


def _a_level(level: str, what: str) -> None:
    if level not in LEVELS:
        raise ValueError(f"{what} is {level!r}: give one of {', '.join(LEVELS)}")


@dataclass(frozen=True, slots=True)
class Segment:
    """One part of a job in its order, minutes of work without breaks."""

    kind: SegmentKind
    minutes: int

    def __post_init__(self) -> None:
        if self.kind not in _SEGMENT_KINDS:
            raise ValueError(f"a segment is {self.kind!r}: give one of {', '.join(_SEGMENT_KINDS)}")
        if self.minutes <= 0:
            raise ValueError(f"a segment takes {self.minutes} min: give more than 0")
        _on_grid(self.minutes, "a segment's length")


@dataclass(frozen=True, slots=True)
class Break:
    """A break that the whole day takes together."""

    start_min: int
    end_min: int

    def __post_init__(self) -> None:
        if self.end_min <= self.start_min:
            raise ValueError("a break ends before it starts: swap its times")
        _on_grid(self.start_min, "a break's start")
        _on_grid(self.end_min, "a break's end")


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who comes.

    Attributes:
        levels: Task family -> novice, learning, practised or expert; a family not named is novice.
        may_lead: Families in which the person may lead a job that asks for a lead's level.
        may_hold: Has said to be fit to lift and hold.
        not_free_for: Task codes the person does not do; why is nobody's business.
    """

    id: int
    name: str
    arrives_min: int
    leaves_min: int
    levels: Mapping[str, str]
    may_lead: frozenset[str] = frozenset()
    may_hold: bool = False
    not_free_for: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        if self.leaves_min <= self.arrives_min:
            raise ValueError(f"{self.name} leaves before arriving: swap the times")
        _on_grid(self.arrives_min, f"the arrival of {self.name}")
        _on_grid(self.leaves_min, f"the leaving time of {self.name}")
        for family, level in self.levels.items():
            _a_level(level, f"the level of {self.name} in {family}")

    def level_in(self, family: str) -> str:
        """The level in a task family; novice where nothing is said."""
        return self.levels.get(family, "novice")


@dataclass(frozen=True, slots=True)
class JobSpec:
    """A job that could be done on the day.

    Attributes:
        least_skill: Lowest level the lead may have.
        crew: People together from the first minute to the last, 1 to 4.
        lead_level: Level the lead must also have, with leave to lead; None where no lead is asked for.
        minutes_by_level: Lead's level -> elapsed minutes of the whole job, set-up included. A level
            that is not named cannot lead it.
        value_min: Practised minutes that the whole job is worth.
        segments: Lead's level -> the parts in order, adding up to ``minutes_by_level``. Without them
            the job is one piece of work.
        priority: 1 and up; the points for a window that closes are already in it.
        closes_before_next: The window closes before the next workday.
        after: Jobs of the same tree and the same day that must be finished first.
        may_split: May be cut into sittings when it is too long.
        min_sitting_min: Shortest sitting worth setting up for.
        per_sitting_setup_min: Part of the minutes that every sitting pays again.
        holds: Why it cannot be done today whoever comes; such a job is never placed.
        tree_is_here: The tree is where the day is held.
    """

    id: int
    tree: int
    task: str
    family: str
    least_skill: str
    stress: int
    minutes_by_level: Mapping[str, int]
    value_min: int
    crew: int = 1
    lead_level: str | None = None
    segments: Mapping[str, tuple[Segment, ...]] | None = None
    priority: int = 3
    closes_before_next: bool = False
    after: frozenset[int] = frozenset()
    may_split: bool = False
    min_sitting_min: int = 45
    per_sitting_setup_min: int = 0
    holds: tuple[Reason, ...] = ()
    tree_is_here: bool = True

    def __post_init__(self) -> None:
        if self.crew not in (1, 2, 3, 4):
            raise ValueError(f"job {self.id} has a crew of {self.crew}: give 1 to 4")
        if self.stress not in (0, 1, 2, 3):
            raise ValueError(f"job {self.id} has stress {self.stress}: give 0, 1, 2 or 3")
        if self.priority < 1 or self.value_min < 1:
            raise ValueError(f"job {self.id}: priority and value must be 1 or more")
        _a_level(self.least_skill, f"the least skill of job {self.id}")
        if self.lead_level is not None:
            _a_level(self.lead_level, f"the lead's level of job {self.id}")
        if self.id in self.after:
            raise ValueError(f"job {self.id} waits for itself: take it out of its own list")
        self._refuse_odd_minutes()

    def _refuse_odd_minutes(self) -> None:
        if not self.minutes_by_level:
            raise ValueError(f"job {self.id} has no minutes: give them for one level at least")
        _on_grid(self.min_sitting_min, f"the shortest sitting of job {self.id}")
        _on_grid(self.per_sitting_setup_min, f"the set-up of job {self.id}")
        if self.min_sitting_min <= self.per_sitting_setup_min:
            raise ValueError(f"job {self.id}: the shortest sitting must be longer than its set-up")
        for level, minutes in self.minutes_by_level.items():
            _a_level(level, f"a level of job {self.id}")
            _on_grid(minutes, f"the minutes of job {self.id}")
            if minutes <= self.per_sitting_setup_min:
                raise ValueError(f"job {self.id} takes no longer than its set-up: give more minutes")
            if self.segments and sum(part.minutes for part in self.segments_at(level)) != minutes:
                raise ValueError(f"job {self.id}: its parts do not add up to its minutes for {level}")

    def segments_at(self, level: str) -> tuple[Segment, ...]:
        """The parts in order at a lead's level.

        Raises:
            ValueError: If nobody of that level can lead the job.
        """
        if level not in self.minutes_by_level or (self.segments and level not in self.segments):
            raise ValueError(f"job {self.id} has no minutes for {level}")
        if self.segments:
            return self.segments[level]
        setup = self.per_sitting_setup_min
        work = Segment("work", self.minutes_by_level[level] - setup)
        return (Segment("setup", setup), work) if setup else (work,)

    @property
    def comes_first(self) -> bool:
        """A stress-3 job whose window closes comes before all others."""
        return self.stress == 3 and self.closes_before_next


@dataclass(frozen=True, slots=True)
class Pin:
    """What the coordinator has fixed: who must be in the team, when the job starts, or both.

    A full crew is given lead first. Fewer people than the crew means that others may join them and
    that who leads is left open.
    """

    job: int
    persons: tuple[int, ...] | None = None
    start_min: int | None = None

    def __post_init__(self) -> None:
        if self.persons is None and self.start_min is None:
            raise ValueError(f"the pin on job {self.job} fixes nothing: give people or a start")
        if self.persons is not None and len(set(self.persons)) != len(self.persons):
            raise ValueError(f"the pin on job {self.job} names somebody twice")


@dataclass(frozen=True, slots=True)
class Problem:
    """One day to plan.

    Attributes:
        previous_team: Tree left unfinished -> who worked it last; they are sent back where it costs nothing.
        pins: Fixed by the coordinator. A pinned job is placed before any other; where it cannot be
            placed as pinned it is left out with a reason.
        left_out: Jobs the coordinator does not want on this day.
    """

    date: date
    opens_min: int
    closes_min: int
    people: tuple[Person, ...]
    jobs: tuple[JobSpec, ...]
    briefing_min: int = 0
    closing_min: int = 0
    breaks: tuple[Break, ...] = ()
    previous_team: Mapping[int, frozenset[int]] | None = None
    pins: tuple[Pin, ...] = ()
    left_out: frozenset[int] = frozenset()

    def __post_init__(self) -> None:
        self._refuse_odd_times()
        ids = [job.id for job in self.jobs]
        people = {person.id for person in self.people}
        if len(set(ids)) != len(ids) or len(people) != len(self.people):
            raise ValueError("a job or a person is given twice: give each once")
        for pin in self.pins:
            if pin.job not in ids or not set(pin.persons or ()) <= people:
                raise ValueError(f"the pin on job {pin.job} names a job or a person not on this day")
        if len({pin.job for pin in self.pins}) != len(self.pins):
            raise ValueError("a job is pinned twice: give one pin a job")
        self._refuse_odd_order()

    def _refuse_odd_times(self) -> None:
        for value in (self.opens_min, self.closes_min, self.briefing_min, self.closing_min):
            _on_grid(value, "a time of the day")
        if self.briefing_min < 0 or self.closing_min < 0:
            raise ValueError("briefing and closing time cannot be less than 0")
        if self.opens_min + self.briefing_min >= self.closes_min - self.closing_min:
            raise ValueError("no time is left between briefing and closing: make the day longer")
        ends = [pause.end_min for pause in self.breaks]
        starts = [pause.start_min for pause in self.breaks]
        if any(start < end for start, end in zip(starts[1:], ends, strict=False)):
            raise ValueError("breaks overlap or are out of order: give them one after another")

    def _refuse_odd_order(self) -> None:
        by_id = {job.id: job for job in self.jobs}
        for job in self.jobs:
            for other in job.after:
                if other not in by_id or by_id[other].tree != job.tree:
                    raise ValueError(f"job {job.id} waits for job {other}, which is not on its tree today")
        done: set[int] = set()
        while ready := [job.id for job in self.jobs if job.id not in done and job.after <= done]:
            done.update(ready)
        if len(done) < len(self.jobs):
            raise ValueError("jobs wait for each other in a ring: take one of the waits out")

    @property
    def first_weight(self) -> int:
        """What one minute-point of a job that comes first weighs: more than all others together."""
        return 1 + sum(job.priority * job.value_min for job in self.jobs if not job.comes_first)


@dataclass(frozen=True, slots=True)
class Step:
    """A piece of a bar, from and to by the clock; a break is time when the crew rests."""

    kind: StepKind
    from_min: int
    to_min: int


@dataclass(frozen=True, slots=True)
class Placement:
    """Who does which job when.

    Attributes:
        sitting: Number of the sitting within the day, from 1.
        team: (person, role), the lead first.
        steps: Bar from ``starts_min`` to ``ends_min`` without gaps.
        part: True when the job goes on another day.
        minutes_done: Practised minutes that count, at most the job's ``value_min``.
    """

    job: int
    sitting: int
    team: tuple[tuple[int, Role], ...]
    starts_min: int
    ends_min: int
    steps: tuple[Step, ...]
    part: bool
    minutes_done: int

    @property
    def persons(self) -> tuple[int, ...]:
        """Ids of the team, the lead first."""
        return tuple(person for person, _ in self.team)

    @property
    def held(self) -> tuple[tuple[int, int], ...]:
        """From and to of each held step."""
        return tuple((step.from_min, step.to_min) for step in self.steps if step.kind == "held")


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan of the day.

    Attributes:
        value: Sum of priority x practised minutes finished; jobs that come first weigh
            ``Problem.first_weight`` times as much.
        bound: No plan that keeps the pins is worth more than this.
        status: "best" when proven, "found" when the search stopped first.
    """

    placements: tuple[Placement, ...]
    unplaced: tuple[tuple[int, tuple[Reason, ...]], ...]
    value: int
    bound: int
    status: Status


def paced(
    segments: tuple[Segment, ...], multipliers: Mapping[str, float]
) -> tuple[dict[str, int], dict[str, tuple[Segment, ...]]]:
    """Minutes and parts for each lead's level, from the parts at practised pace.

    Work and held steps are multiplied and rounded up to five minutes; set-up and cleaning take
    everybody the same time.

    Args:
        segments: The parts at practised pace, in order.
        multipliers: Level -> factor on minutes, practised being 1.

    Returns:
        ``minutes_by_level`` and ``segments`` for a ``JobSpec``.

    Raises:
        ValueError: If a factor is not above 0.
    """
    if any(factor <= 0 for factor in multipliers.values()):
        raise ValueError("a pace factor must be above 0")
    by_level = {
        level: tuple(_stretched(part, factor) for part in segments) for level, factor in multipliers.items()
    }
    return {level: sum(part.minutes for part in parts) for level, parts in by_level.items()}, by_level


def _stretched(part: Segment, factor: float) -> Segment:
    if part.kind in ("setup", "clean"):
        return part
    steps = part.minutes * factor / GRID_MIN
    return Segment(part.kind, GRID_MIN * max(1, math.ceil(round(steps, 6))))
