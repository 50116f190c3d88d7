"""A first legal plan by going down a list: each job in turn to the team that can end it soonest."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from collection.planning.workday.options import Candidate, Case, Option, teams
from collection.planning.workday.problem import HELD_LIMIT_MIN, JobSpec, Placement, Plan, Role


@dataclass(frozen=True, slots=True)
class Seat:
    """A job given to a team from a net minute on."""

    job: int
    lead: int
    hands: tuple[int, ...]
    option: Option
    start: int

    @property
    def end(self) -> int:
        """Net minute at which the job ends."""
        return self.start + self.option.minutes

    @property
    def team(self) -> tuple[int, ...]:
        """The lead first."""
        return (self.lead, *self.hands)


@dataclass(slots=True)
class Sheet:
    """A plan being filled in: seats so far, and when people and trees are busy."""

    case: Case
    seats: dict[int, Seat] = field(default_factory=dict)
    busy: dict[int, list[tuple[int, int]]] = field(default_factory=dict)
    tree_busy: dict[int, list[tuple[int, int]]] = field(default_factory=dict)
    held: dict[int, int] = field(default_factory=dict)

    def add(self, seat: Seat) -> None:
        """Write a seat in; the caller has made sure that it is legal."""
        self.seats[seat.job] = seat
        spell = (seat.start, seat.end)
        for person in seat.team:
            self.busy.setdefault(person, []).append(spell)
            self.held[person] = self.held.get(person, 0) + seat.option.held
        self.tree_busy.setdefault(self.case.candidates[seat.job].job.tree, []).append(spell)

    def ready_at(self, job: JobSpec) -> int | None:
        """Net minute from which the jobs before it are finished; None while one of them is not."""
        before = [self.seats.get(other) for other in job.after]
        if any(seat is None or seat.option.part for seat in before):
            return None
        return max((seat.end for seat in before if seat is not None), default=0)

    def free_from(self, team: Iterable[int], tree: int, window: tuple[int, int], minutes: int) -> int | None:
        """First net minute in the window at which team and tree are free for so long, or None."""
        spells = list(self.tree_busy.get(tree, ()))
        for person in team:
            spells += self.busy.get(person, ())
        now = window[0]
        for start, end in sorted(spells):
            if start < now + minutes and end > now:
                now = end
        return now if now + minutes <= window[1] else None

    def best_seat(self, candidate: Candidate) -> Seat | None:
        """The seat that does most of the job, then ends soonest, then spares the most skilled."""
        ready = self.ready_at(candidate.job)
        if ready is None:
            return None
        best: tuple[tuple[object, ...], Seat] | None = None
        for lead, hands, start, end in teams(self.case, candidate):
            seat = self._first_seat(candidate, (lead, *hands), (max(start, ready), end))
            if seat is not None:
                skill = sum(self.case.rank[person, candidate.job.family] for person in seat.team)
                key = (-seat.option.done, seat.end, skill, seat.team)
                if best is None or key < best[0]:
                    best = (key, seat)
        return best[1] if best else None

    def _first_seat(
        self, candidate: Candidate, team: tuple[int, ...], window: tuple[int, int]
    ) -> Seat | None:
        held = max(self.held.get(person, 0) for person in team)
        for option in candidate.leads[team[0]]:
            if held + option.held > HELD_LIMIT_MIN and option.held:
                continue
            start = self.start_for(candidate, team, window, option)
            if start is not None:
                return Seat(candidate.job.id, team[0], team[1:], option, start)
        return None

    def start_for(
        self, candidate: Candidate, team: Iterable[int], window: tuple[int, int], option: Option
    ) -> int | None:
        """First net minute at which the team can do the job in this length; a pinned start is kept."""
        if candidate.start is None:
            return self.free_from(team, candidate.job.tree, window, option.minutes)
        if candidate.start < window[0]:
            return None
        pinned = (candidate.start, min(window[1], candidate.start + option.minutes))
        return self.free_from(team, candidate.job.tree, pinned, option.minutes)

    def fill(self, order: Sequence[Candidate]) -> None:
        """Place what can be placed in this order; jobs that wait for others get another turn."""
        waiting = [candidate for candidate in order if candidate.job.id not in self.seats]
        while waiting:
            left = []
            for candidate in waiting:
                seat = self.best_seat(candidate)
                if seat is None:
                    left.append(candidate)
                else:
                    self.add(seat)
            if len(left) == len(waiting):
                return
            waiting = left

    def worth(self) -> tuple[int, int]:
        """Pinned jobs placed, then the value as ``Plan`` counts it."""
        pinned = {pin.job for pin in self.case.problem.pins}
        value = sum(weight_of(self.case, seat.job) * seat.option.done for seat in self.seats.values())
        return len(pinned & set(self.seats)), value


def weight_of(case: Case, job_id: int) -> int:
    """What one finished minute of a job weighs."""
    job = case.candidates[job_id].job
    return job.priority * (case.problem.first_weight if job.comes_first else 1)


def forerunners(case: Case, job: JobSpec) -> frozenset[int]:
    """Every job of the day that must be finished before this one, however far back."""
    found: set[int] = set()
    waiting = list(job.after)
    while waiting:
        other = waiting.pop()
        if other not in found:
            found.add(other)
            waiting += case.candidates[other].job.after if other in case.candidates else ()
    return frozenset(found)


def first_sheet(case: Case, previous: Plan | None) -> Sheet:
    """The best of a few lists: by priority, by worth an hour, and what is left of the previous plan."""
    pinned = {pin.job for pin in case.problem.pins}
    # What must come before a job of the first rank has that rank too.
    first = {one.job.id for one in case.candidates.values() if one.job.comes_first}
    first |= {other for job_id in first for other in forerunners(case, case.candidates[job_id].job)}

    def by_priority(one: Candidate) -> tuple[object, ...]:
        job = one.job
        return (job.id not in pinned, job.id not in first, -job.priority, -job.value_min, job.id)

    def by_worth(one: Candidate) -> tuple[object, ...]:
        job = one.job
        minutes = min(option.minutes for options in one.leads.values() for option in options)
        return (
            job.id not in pinned,
            job.id not in first,
            -job.priority * job.value_min / minutes / job.crew,
            job.id,
        )

    sheets = []
    for start in [previous, None] if previous else [None]:
        for key in (by_priority, by_worth):
            sheet = Sheet(case)
            if start is not None:
                keep(sheet, start)
            sheet.fill(sorted(case.candidates.values(), key=key))
            sheets.append(sheet)
    return max(sheets, key=Sheet.worth)


def keep(sheet: Sheet, plan: Plan) -> None:
    """Write in every placement of an earlier plan that is still legal, same people and same time."""
    case = sheet.case
    for placement in sorted(plan.placements, key=lambda one: (one.starts_min, one.job)):
        candidate = case.candidates.get(placement.job)
        if candidate is None:
            continue
        ready = sheet.ready_at(candidate.job)
        start = case.clock.net(placement.starts_min)
        if ready is None or ready > start or candidate.start not in (None, start):
            continue
        seat = _kept_seat(sheet, candidate, placement, start)
        if seat is not None:
            sheet.add(seat)


def _kept_seat(sheet: Sheet, candidate: Candidate, placement: Placement, start: int) -> Seat | None:
    minutes = sheet.case.clock.net(placement.ends_min) - start
    for lead, hands, opens, closes in teams(sheet.case, candidate):
        if lead != placement.persons[0] or set(hands) != set(placement.persons[1:]) or opens > start:
            continue
        for option in candidate.leads[lead]:
            window = (start, min(closes, start + option.minutes))
            team = (lead, *hands)
            tired = option.held and any(sheet.held.get(one, 0) + option.held > HELD_LIMIT_MIN for one in team)
            fits = sheet.free_from(team, candidate.job.tree, window, option.minutes) == start
            if option.minutes == minutes and fits and not tired:
                return Seat(placement.job, lead, hands, option, start)
    return None


def placements_of(sheet: Sheet) -> tuple[Placement, ...]:
    """The seats as placements by the clock, in order of start, lead and job."""
    case = sheet.case
    made = []
    for seat in sheet.seats.values():
        start = case.clock.start(seat.start)
        roles: tuple[tuple[int, Role], ...] = (
            (seat.lead, "lead"),
            *((hand, "hand") for hand in sorted(seat.hands)),
        )
        steps = case.clock.steps(seat.option.segments, start)
        made.append(
            Placement(seat.job, 1, roles, start, steps[-1].to_min, steps, seat.option.part, seat.option.done)
        )
    return tuple(sorted(made, key=lambda one: (one.starts_min, one.persons[0], one.job)))
