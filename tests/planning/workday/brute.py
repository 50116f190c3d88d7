"""The best value of a tiny day by trying everything; reads the rules by itself.

A schedule in which everything starts as early as what comes before it allows is enough: starting
later never ends sooner, so any plan can be pushed together without losing a job. Every order of
jobs (by start), every team and every length is tried; a branch is dropped only when all that is
left could not beat the best so far. The clock is walked in ticks of five minutes.
"""

from __future__ import annotations

from functools import cache
from itertools import permutations
from typing import NamedTuple

from collection.planning.workday.problem import JobSpec, Person, Problem

LEVELS = ("novice", "learning", "practised", "expert")
Ticks = tuple[tuple[str, int], ...]


class Way(NamedTuple):
    """One way to do a job: team, what is done tick by tick, held minutes, worth, finished or a part."""

    team: tuple[int, ...]
    ticks: Ticks
    held: int
    worth: int
    whole: bool
    opens: int
    closes: int


class Brute:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.first = problem.opens_min + problem.briefing_min
        self.last = problem.closes_min - problem.closing_min
        self.weight = 1 + sum(
            job.priority * job.value_min
            for job in problem.jobs
            if not (job.stress == 3 and job.closes_before_next)
        )
        self.ways = {job.id: self._ways(job) for job in problem.jobs}
        self.jobs = {job.id: job for job in problem.jobs}
        self.best = 0
        self.end = cache(self._end)

    def value(self) -> int:
        self._try(0, {}, {}, {}, {}, frozenset(self.jobs), self.first)
        return self.best

    def _try(
        self,
        value: int,
        free: dict[int, int],
        tree_free: dict[int, int],
        held: dict[int, int],
        finished: dict[int, int],
        left: frozenset[int],
        since: int,
    ) -> None:
        self.best = max(self.best, value)
        hope = sum(max((way.worth for way in self.ways[job]), default=0) for job in left)
        if value + hope <= self.best:
            return
        for job_id in sorted(left):
            job = self.jobs[job_id]
            if not all(other in finished for other in job.after):
                continue
            for way in self.ways[job_id]:
                if way.held and any(held.get(one, 0) + way.held > 120 for one in way.team):
                    continue
                start = max(
                    way.opens,
                    tree_free.get(job.tree, 0),
                    *(free.get(one, 0) for one in way.team),
                    *(finished[other] for other in job.after),
                )
                start = self._after_break(start)
                end = self.end(start, way.ticks)
                if end > way.closes or start < since:
                    continue
                self._try(
                    value + way.worth,
                    free | dict.fromkeys(way.team, end),
                    tree_free | {job.tree: end},
                    held | {one: held.get(one, 0) + way.held for one in way.team},
                    finished | ({job_id: end} if way.whole else {}),
                    left - {job_id},
                    start,
                )

    def _break_at(self, now: int) -> bool:
        return any(pause.start_min <= now < pause.end_min for pause in self.problem.breaks)

    def _after_break(self, now: int) -> int:
        while self._break_at(now):
            now += 5
        return now

    def _end(self, start: int, ticks: Ticks) -> int:
        now, owed, before = start, 0, None
        for tick in ticks:
            goes_on = tick[0] == "held" and tick == before
            if goes_on:
                owed += 5 if self._break_at(now) else 0
            else:
                now, owed = self._after_break(self._rested(now, owed)), 0
            now += 5
            before = tick
        return self._rested(now, owed)

    def _rested(self, now: int, owed: int) -> int:
        while owed:
            owed -= 0 if self._break_at(now) else 5
            now += 5
        return now

    def _ways(self, job: JobSpec) -> list[Way]:
        if job.holds or not job.tree_is_here or job.id in self.problem.left_out:
            return []
        ways = []
        for team in permutations(self.problem.people, job.crew):
            hands = [one.id for one in team[1:]]
            if hands != sorted(hands) or not self._team_may(job, team):
                continue
            opens = max(self.first, *(one.arrives_min for one in team))
            closes = min(self.last, *(one.leaves_min for one in team))
            for ticks, worth, whole in self._lengths(job, team[0]):
                held = 5 * sum(kind == "held" for kind, _ in ticks)
                ids = tuple(one.id for one in team)
                ways.append(Way(ids, ticks, held, worth * self._weight(job), whole, opens, closes))
        return sorted(ways, key=lambda way: -way.worth)

    def _weight(self, job: JobSpec) -> int:
        return job.priority * (self.weight if job.stress == 3 and job.closes_before_next else 1)

    def _team_may(self, job: JobSpec, team: tuple[Person, ...]) -> bool:
        ranks = [LEVELS.index(one.levels.get(job.family, "novice")) for one in team]
        held = any(part.kind == "held" for parts in (job.segments or {}).values() for part in parts)
        if ranks[0] < LEVELS.index(job.least_skill) or LEVELS[ranks[0]] not in job.minutes_by_level:
            return False
        if job.lead_level and (ranks[0] < LEVELS.index(job.lead_level) or job.family not in team[0].may_lead):
            return False
        if job.least_skill != "novice" and 0 in ranks[1:]:
            return False
        if job.stress >= 2 and 0 in ranks and max(ranks) < 2:
            return False
        return all(job.task not in one.not_free_for and (one.may_hold or not held) for one in team)

    def _lengths(self, job: JobSpec, lead: Person) -> list[tuple[Ticks, int, bool]]:
        level = lead.levels.get(job.family, "novice")
        parts = job.segments[level] if job.segments else ()
        whole: Ticks = tuple(
            (part.kind, no) for no, part in enumerate(parts) for _ in range(part.minutes // 5)
        )
        if not parts:
            setup = job.per_sitting_setup_min // 5
            rest = job.minutes_by_level[level] // 5 - setup
            whole = (("setup", 0),) * setup + (("work", 1),) * rest
        start, end = max(self.first, lead.arrives_min), min(self.last, lead.leaves_min)
        hours = sum(5 for now in range(start, end, 5) if not self._break_at(now))
        if 5 * len(whole) <= hours:
            return [(whole, job.value_min, True)]
        return self._cuts(job, whole, hours) if job.may_split else []

    def _cuts(self, job: JobSpec, whole: Ticks, hours: int) -> list[tuple[Ticks, int, bool]]:
        work = tuple(tick for tick in whole if tick[0] in ("work", "held"))
        cuts = []
        for minutes in range(job.min_sitting_min, hours + 1, 5):
            count = (minutes - job.per_sitting_setup_min) // 5
            if (minutes % 15 and minutes != hours) or not 0 < count < len(work):
                continue
            inside_held = work[count - 1] == work[count] and work[count][0] == "held"
            worth = job.value_min * count // len(work)
            if worth and not inside_held:
                setup = (("setup", -1),) * (job.per_sitting_setup_min // 5)
                cuts.append((setup + work[:count], worth, False))
        return cuts
