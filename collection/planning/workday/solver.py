"""The plan of a day as a constraint model; the only module that knows the solver library.

The model counts in net minutes (see ``problem``), five to a unit. Each job has one start and one
length; each person has an optional interval for each job he could be in. Without one row a person
that says "no more work than hours" the relaxation sees no shortage of hands (measured: such rows
decide everything); the start plan from ``listing`` is given as a complete hint.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ortools.sat.python import cp_model

from collection.planning.workday.listing import Seat, Sheet, weight_of
from collection.planning.workday.options import PRACTISED, Candidate, Case, Option
from collection.planning.workday.problem import GRID_MIN, HELD_LIMIT_MIN, Plan, Problem, Status
from collection.planning.workday.search import plan_day

# What a tie is decided by, in units of "one job ends five minutes sooner" (assumption): sending the
# last hands back to an open tree is worth five hours of that, a walk to another tree costs one hour.
SAME_HANDS, ONE_TREE_MORE = 60, 12
# Few changes come before all of these: first people whose list changes, then minutes moved.
LIST_CHANGED, MOVED = 100_000, 100
_Hints = list[tuple[cp_model.IntVar, int]]
_Terms = list[cp_model.LinearExprT]


@dataclass(frozen=True, slots=True)
class _JobVars:
    """The variables of one job: placed, start, length, each lead's choice of length, each helper."""

    placed: cp_model.IntVar
    start: cp_model.IntVar
    size: cp_model.IntVar
    end: cp_model.IntVar
    lengths: dict[tuple[int, int], cp_model.IntVar]
    hands: dict[int, cp_model.IntVar]
    works: dict[int, cp_model.IntVar]


def solve(problem: Problem, *, effort: float = 10.0, seed: int = 1, previous: Plan | None = None) -> Plan:
    """A plan of the day that keeps every rule, of the greatest value found.

    Pinned jobs come first, then stress-3 jobs whose window closes, then value (see ``Plan``). Among
    plans of equal value: few changes against ``previous``, last hands back on an open tree, few
    trees a person, early ends.

    Args:
        problem: The day.
        effort: Deterministic seconds of search, above 0; the same effort gives the same plan again.
        seed: Changes the search, never the rules.
        previous: An earlier plan of the same day, to be changed as little as its value allows.

    Returns:
        The plan; ``status`` is "best" when no plan of greater value exists.

    Raises:
        ValueError: If effort is not above 0.
    """
    return plan_day(problem, _Model, effort=effort, seed=seed, previous=previous)


class _Model:
    """The model of a day, or of a piece of it beside seats that are fixed.

    Without a clock only hours are counted: any plan of the day is one of that model too.
    """

    def __init__(self, case: Case, fixed: Sheet | None = None, *, clock: bool = True) -> None:
        self.case = case
        self.fixed = fixed or Sheet(case)
        self.spent = 0.0
        self.model = cp_model.CpModel()
        self.last = max(end for _, end in case.hours.values()) // GRID_MIN
        self.first = min(start for start, _ in case.hours.values()) // GRID_MIN
        self.held_as_hand: dict[tuple[int, int], cp_model.IntVar] = {}
        self.jobs = {job_id: self._job(candidate) for job_id, candidate in case.candidates.items()}
        self.people = sorted({person for job in self.jobs.values() for person in job.works})
        self._no_more_work_than_hours()
        self._finished_first()
        if clock:
            for job_id, job in self.jobs.items():
                self._inside_hours(case.candidates[job_id], job)
            self._one_thing_at_a_time()
            self._order_within_a_tree()
            self._one_team_on_a_tree()

    def _job(self, candidate: Candidate) -> _JobVars:
        name, new = candidate.job.id, self.model
        longest = max(option.minutes for options in candidate.leads.values() for option in options)
        lengths = {
            (person, number): new.new_bool_var(f"lead {name} {person} {number}")
            for person, options in candidate.leads.items()
            for number in range(len(options))
        }
        hands = candidate.helpers if candidate.job.crew > 1 else ()
        job = _JobVars(
            placed=new.new_bool_var(f"placed {name}"),
            start=new.new_int_var(self.first, self.last, f"start {name}"),
            size=new.new_int_var(0, longest // GRID_MIN, f"size {name}"),
            end=new.new_int_var(self.first, self.last, f"end {name}"),
            lengths=lengths,
            hands={person: new.new_bool_var(f"hand {name} {person}") for person in hands},
            works={person: new.new_bool_var(f"works {name} {person}") for person in candidate.people},
        )
        self._full_crew(candidate, job)
        return job

    def _full_crew(self, candidate: Candidate, job: _JobVars) -> None:
        """One lead with one length, the helpers, all different people; pinned people among them."""
        model = self.model
        options = candidate.leads
        model.add(sum(job.lengths.values()) == job.placed)
        model.add(sum(job.hands.values()) == (candidate.job.crew - 1) * job.placed)
        model.add(job.size == sum(_units(options[who][no]) * var for (who, no), var in job.lengths.items()))
        for person, works in job.works.items():
            leads = [var for (lead, _), var in job.lengths.items() if lead == person]
            helps = [job.hands[person]] if person in job.hands else []
            model.add(sum(leads) + sum(helps) == works)
        for person in candidate.fixed:
            model.add(job.works[person] == job.placed)
        self._novice_beside_experience(candidate, job)

    def _novice_beside_experience(self, candidate: Candidate, job: _JobVars) -> None:
        if candidate.job.stress < 2:
            return
        rank = {person: self.case.rank[person, candidate.job.family] for person in job.works}
        able = sum(works for person, works in job.works.items() if rank[person] >= PRACTISED)
        for person, works in job.works.items():
            if rank[person] == 0:
                self.model.add(able >= works)

    def _inside_hours(self, candidate: Candidate, job: _JobVars) -> None:
        model = self.model
        model.add(job.start + job.size == job.end)
        model.add(job.start == self.first).only_enforce_if(~job.placed)
        if candidate.start is not None:
            at = candidate.start // GRID_MIN
            if self.first <= at <= self.last:
                model.add(job.start == at).only_enforce_if(job.placed)
            else:
                model.add(job.placed == 0)
        for person, works in job.works.items():
            start, end = self.case.hours[person]
            model.add(job.start >= start // GRID_MIN).only_enforce_if(works)
            model.add(job.end <= end // GRID_MIN).only_enforce_if(works)

    def _one_thing_at_a_time(self) -> None:
        for person in self.people:
            spells = self._busy(self.fixed.busy.get(person, ())) + [
                self.model.new_optional_interval_var(job.start, job.size, job.end, job.works[person], "")
                for job in self.jobs.values()
                if person in job.works
            ]
            self.model.add_no_overlap(spells)

    def _no_more_work_than_hours(self) -> None:
        """Energy rows: a person's minutes add up to his hours at most, held minutes to the limit."""
        for person in self.people:
            start, end = self.case.hours[person]
            taken = sum(to - since for since, to in self.fixed.busy.get(person, ()))
            work: list[cp_model.LinearExprT] = []
            held: list[cp_model.LinearExprT] = []
            for job_id, job in self.jobs.items():
                options = self.case.candidates[job_id].leads
                for (lead, number), var in job.lengths.items():
                    if lead == person:
                        work.append(_units(options[lead][number]) * var)
                        held.append(options[lead][number].held * var)
                if person in job.hands:
                    work.append(
                        min(_units(one) for some in options.values() for one in some) * job.hands[person]
                    )
                    held.append(self._held_as_hand(job_id, job, person))
            self.model.add(sum(work) <= (end - start - taken) // GRID_MIN)
            self.model.add(sum(held) <= HELD_LIMIT_MIN - self.fixed.held.get(person, 0))

    def _held_as_hand(self, job_id: int, job: _JobVars, person: int) -> cp_model.LinearExprT:
        """Held minutes of a helper: the lead's choice of length says how many."""
        options = self.case.candidates[job_id].leads
        held = {key: options[key[0]][key[1]].held for key in job.lengths}
        if len(set(held.values())) == 1:
            return next(iter(held.values())) * job.hands[person]
        most = max(held.values())
        minutes = self.model.new_int_var(0, most, f"held {job_id} {person}")
        chosen = sum(held[key] * var for key, var in job.lengths.items())
        self.model.add(minutes == chosen).only_enforce_if(job.hands[person])
        self.model.add(minutes == 0).only_enforce_if(~job.hands[person])
        self.held_as_hand[job_id, person] = minutes
        return minutes

    def _busy(self, spells: Iterable[tuple[int, int]]) -> list[cp_model.IntervalVar]:
        new = self.model.new_fixed_size_interval_var
        return [new(start // GRID_MIN, (end - start) // GRID_MIN, "") for start, end in spells]

    def _whole(self, job_id: int) -> cp_model.LinearExprT:
        """1 when the job is finished, 0 when it is not placed or placed as a part."""
        options = self.case.candidates[job_id].leads
        return sum(var for (who, no), var in self.jobs[job_id].lengths.items() if not options[who][no].part)

    def _finished_first(self) -> None:
        """A job is placed only when what comes before it is finished on this day."""
        for job_id, job in self.jobs.items():
            for other in self.case.candidates[job_id].job.after:
                if other in self.jobs:
                    self.model.add(self._whole(other) >= job.placed)
                elif other not in self.fixed.seats or self.fixed.seats[other].option.part:
                    self.model.add(job.placed == 0)
        for job_id in self.fixed.seats:
            for other in self.fixed.case.candidates[job_id].job.after & set(self.jobs):
                self.model.add(self._whole(other) == 1)

    def _order_within_a_tree(self) -> None:
        for job_id, job in self.jobs.items():
            for other in self.case.candidates[job_id].job.after:
                if other in self.jobs:
                    self.model.add(self.jobs[other].end <= job.start).only_enforce_if(job.placed)
                elif other in self.fixed.seats:
                    end = self.fixed.seats[other].end // GRID_MIN
                    self.model.add(job.start >= end).only_enforce_if(job.placed)
        for job_id, seat in self.fixed.seats.items():
            for other in self.fixed.case.candidates[job_id].job.after & set(self.jobs):
                self.model.add(self.jobs[other].end <= seat.start // GRID_MIN)

    def _one_team_on_a_tree(self) -> None:
        by_tree: dict[int, list[cp_model.IntervalVar]] = {}
        for job_id, job in self.jobs.items():
            spell = self.model.new_optional_interval_var(job.start, job.size, job.end, job.placed, "")
            by_tree.setdefault(self.case.candidates[job_id].job.tree, []).append(spell)
        for tree, spells in by_tree.items():
            self.model.add_no_overlap(spells + self._busy(self.fixed.tree_busy.get(tree, ())))

    def value(self) -> cp_model.LinearExprT:
        pinned = {pin.job for pin in self.case.problem.pins}
        terms = [self._most() * job.placed for job_id, job in self.jobs.items() if job_id in pinned]
        for job_id, job in self.jobs.items():
            options = self.case.candidates[job_id].leads
            weight = weight_of(self.case, job_id)
            terms += [weight * options[who][no].done * var for (who, no), var in job.lengths.items()]
        return sum(terms)

    def _points(self, sheet: Sheet) -> int:
        """What the jobs of this model are worth on a sheet, in the model's own terms."""
        pinned = {pin.job for pin in self.case.problem.pins}
        seats = [sheet.seats[job_id] for job_id in self.jobs if job_id in sheet.seats]
        kept = sum(seat.job in pinned for seat in seats)
        return kept * self._most() + sum(weight_of(self.case, seat.job) * seat.option.done for seat in seats)

    def _most(self) -> int:
        """More than any plan can be worth."""
        jobs = self.case.candidates
        return 1 + sum(weight_of(self.case, job_id) * one.job.value_min for job_id, one in jobs.items())

    def most_value(self, sheet: Sheet, effort: float, seed: int) -> tuple[Sheet, int, Status]:
        """The best sheet found, a bound on the value of any plan with its pins, and whether it is proven."""
        self._hint(sheet)
        self.model.maximize(self.value())
        solver, outcome = self.run(effort, seed)
        if outcome in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            sheet = max(self._sheet(solver), sheet, key=Sheet.worth)
        return sheet, self._bound(solver, sheet), "best" if outcome == cp_model.OPTIMAL else "found"

    def bound(self, sheet: Sheet, effort: float, seed: int) -> int:
        """What no plan with as many pins kept can be worth more than."""
        self.model.maximize(self.value())
        return self._bound(self.run(effort, seed)[0], sheet)

    def _bound(self, solver: cp_model.CpSolver, sheet: Sheet) -> int:
        pinned = self._most() * sheet.worth()[0]
        return min(round(solver.best_objective_bound) - pinned, self._most() - 1)

    def best_tie(self, sheet: Sheet, effort: float, seed: int, previous: Plan | None) -> Sheet:
        """The best sheet among those worth no less."""
        least = self._points(sheet)
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        self.model.clear_objective()  # type: ignore[no-untyped-call]
        self.model.add(self.value() >= least)
        cost, extra = self._cost(sheet, previous)
        self._hint(sheet, extra)
        self.model.minimize(cost)
        solver, outcome = self.run(effort, seed)
        return self._sheet(solver) if outcome in (cp_model.OPTIMAL, cp_model.FEASIBLE) else sheet

    def _cost(self, sheet: Sheet, previous: Plan | None) -> tuple[cp_model.LinearExprT, _Hints]:
        terms: _Terms = [job.end for job in self.jobs.values()]
        hints: _Hints = []
        self._add_same_hands(terms)
        self._add_trees(terms, hints, sheet)
        if previous is not None:
            self._add_changes(terms, hints, sheet, previous)
        return sum(terms), hints

    def _add_same_hands(self, terms: _Terms) -> None:
        for job_id, job in self.jobs.items():
            before = (self.case.problem.previous_team or {}).get(self.case.candidates[job_id].job.tree, ())
            terms += [-SAME_HANDS * works for person, works in job.works.items() if person in before]

    def _add_trees(self, terms: _Terms, hints: _Hints, sheet: Sheet) -> None:
        """Each tree a person goes to; only trees with two jobs or more can make a difference."""
        groups: dict[tuple[int, int], list[int]] = {}
        for job_id, job in self.jobs.items():
            for person in job.works:
                groups.setdefault((person, self.case.candidates[job_id].job.tree), []).append(job_id)
        for (person, tree), job_ids in groups.items():
            if len(job_ids) == 1:
                terms.append(ONE_TREE_MORE * self.jobs[job_ids[0]].works[person])
                continue
            goes = self.model.new_bool_var(f"goes {person} {tree}")
            for job_id in job_ids:
                self.model.add_implication(self.jobs[job_id].works[person], goes)
            terms.append(ONE_TREE_MORE * goes)
            hints.append((goes, int(any(person in _team(sheet, job_id) for job_id in job_ids))))

    def _add_changes(self, terms: _Terms, hints: _Hints, sheet: Sheet, previous: Plan) -> None:
        before = {one.job: one for one in previous.placements}
        for person in self.people:
            changed = self.model.new_bool_var(f"changed {person}")
            now_differs = False
            for job_id, job in self.jobs.items():
                was = job_id in before and person in before[job_id].persons
                if person in job.works:
                    self.model.add_implication(~job.works[person] if was else job.works[person], changed)
                now_differs |= was != (person in _team(sheet, job_id))
            terms.append(LIST_CHANGED * changed)
            hints.append((changed, int(now_differs)))
        for job_id, placement in before.items():
            if job_id in self.jobs:
                self._add_moved(
                    terms, hints, sheet, job_id, self.case.clock.net(placement.starts_min) // GRID_MIN
                )

    def _add_moved(self, terms: _Terms, hints: _Hints, sheet: Sheet, job_id: int, was: int) -> None:
        job = self.jobs[job_id]
        moved = self.model.new_int_var(0, self.last + was, f"moved {job_id}")
        self.model.add(moved >= job.start - was).only_enforce_if(job.placed)
        self.model.add(moved >= was - job.start).only_enforce_if(job.placed)
        terms.append(MOVED * moved)
        hints.append(
            (moved, abs(sheet.seats[job_id].start // GRID_MIN - was) if job_id in sheet.seats else 0)
        )

    def _hint(self, sheet: Sheet, extra: Iterable[tuple[cp_model.IntVar, int]] = ()) -> None:
        """Every variable gets a value: a start plan with gaps is not taken up."""
        for job_id, job in self.jobs.items():
            seat = sheet.seats.get(job_id)
            start = seat.start // GRID_MIN if seat else self.first
            size = _units(seat.option) if seat else 0
            self.model.add_hint(job.placed, int(seat is not None))
            self.model.add_hint(job.start, start)
            self.model.add_hint(job.size, size)
            self.model.add_hint(job.end, start + size)
            for (person, number), var in job.lengths.items():
                self.model.add_hint(var, int(seat is not None and self._is(seat, person, number)))
            for person, var in job.hands.items():
                self.model.add_hint(var, int(seat is not None and person in seat.hands))
            for person, var in job.works.items():
                self.model.add_hint(var, int(person in _team(sheet, job_id)))
        for (job_id, person), minutes in self.held_as_hand.items():
            seat = sheet.seats.get(job_id)
            self.model.add_hint(minutes, seat.option.held if seat and person in seat.hands else 0)
        for var, value in extra:
            self.model.add_hint(var, value)

    def _is(self, seat: Seat, person: int, number: int) -> bool:
        return seat.lead == person and self.case.candidates[seat.job].leads[person][number] == seat.option

    def run(self, effort: float, seed: int) -> tuple[cp_model.CpSolver, cp_model.CpSolverStatus]:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = seed
        solver.parameters.max_deterministic_time = effort
        # Probing and symmetry detection are what makes the first plan of a large day late (measured).
        solver.parameters.cp_model_probing_level = 0
        solver.parameters.symmetry_level = 0
        outcome = solver.solve(self.model)
        self.spent += solver.response_proto.deterministic_time
        return solver, outcome

    def _sheet(self, solver: cp_model.CpSolver) -> Sheet:
        sheet = Sheet(self.fixed.case)
        for seat in self.fixed.seats.values():
            sheet.add(seat)
        for job_id, job in self.jobs.items():
            for (person, number), var in job.lengths.items():
                if solver.boolean_value(var):
                    hands = tuple(hand for hand, helps in job.hands.items() if solver.boolean_value(helps))
                    option = self.case.candidates[job_id].leads[person][number]
                    sheet.add(Seat(job_id, person, hands, option, solver.value(job.start) * GRID_MIN))
        return sheet


def _units(option: Option) -> int:
    return option.minutes // GRID_MIN


def _team(sheet: Sheet, job_id: int) -> tuple[int, ...]:
    seat = sheet.seats.get(job_id)
    return seat.team if seat else ()
