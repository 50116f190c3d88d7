"""How the search goes: the whole day at once, or a large day piece by piece.

Beyond some sixty jobs the whole model hardly moves from its start plan. So a few people are freed of
all they do, everything else stays as it is, and the small day that is left is planned anew, again
and again. Freeing people gains more than freeing trees: each piece then has few hands a job
(measured on made-up days).
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from typing import Protocol

from collection.planning.workday.explain import reasons_for
from collection.planning.workday.listing import Sheet, first_sheet, forerunners, placements_of, weight_of
from collection.planning.workday.options import Candidate, Case, prepare
from collection.planning.workday.problem import Plan, Problem, Status

# How the effort is shared out, and how much of it one piece of a large day gets.
VALUE_SHARE, PIECES_SHARE, TIE_SHARE = 0.6, 0.2, 0.2
EFFORT_OF_A_PIECE = 0.1
ONE_PIECE_JOBS = 60
PEOPLE_FREED = 6
JOBS_OFFERED = 30

# Plans a piece: the jobs in play with the people freed, all that stays, and the whole sheet so far.
# Gives the whole sheet, no worse than before, and the effort it took.
Settle = Callable[[Case, Sheet, Sheet], tuple[Sheet, float]]


class Model(Protocol):
    """The model of a day, or of a piece of it beside seats that are fixed."""

    spent: float

    def __init__(self, case: Case, fixed: Sheet | None = None, *, clock: bool = True) -> None: ...

    def most_value(self, sheet: Sheet, effort: float, seed: int) -> tuple[Sheet, int, Status]:
        """The best sheet found, a bound on the value, and whether it is proven."""

    def best_tie(self, sheet: Sheet, effort: float, seed: int, previous: Plan | None) -> Sheet:
        """The best sheet among those worth no less."""

    def bound(self, sheet: Sheet, effort: float, seed: int) -> int:
        """What no plan can be worth more than."""


def plan_day(
    problem: Problem, model: type[Model], *, effort: float, seed: int, previous: Plan | None
) -> Plan:
    """A plan of the day by a kind of model; see ``solver.solve``, which names the model.

    Raises:
        ValueError: If effort is not above 0.
    """
    if effort <= 0:
        raise ValueError("the effort must be above 0")
    case = prepare(problem)
    sheet = first_sheet(case, previous)
    status: Status = "best"
    bound = 0
    if case.candidates:
        search = _in_one_piece if len(case.candidates) <= ONE_PIECE_JOBS else _piece_by_piece
        sheet, bound, status = search(sheet, model, effort, seed, previous)
        sheet.fill(sorted(case.candidates.values(), key=lambda one: (-one.job.priority, one.job.id)))
    value = sheet.worth()[1]
    unplaced = tuple(
        (job.id, reasons_for(case, sheet, job)) for job in problem.jobs if job.id not in sheet.seats
    )
    return Plan(placements_of(sheet), unplaced, value, max(bound, value), status)


def _in_one_piece(
    sheet: Sheet, model: type[Model], effort: float, seed: int, previous: Plan | None
) -> tuple[Sheet, int, Status]:
    whole = model(sheet.case)
    sheet, bound, status = whole.most_value(sheet, effort * VALUE_SHARE, seed)
    if status == "found":
        sheet = improve(sheet, _by_value(model, seed), effort=effort * PIECES_SHARE, seed=seed)
    return whole.best_tie(sheet, effort * TIE_SHARE, seed, previous), bound, status


def _piece_by_piece(
    sheet: Sheet, model: type[Model], effort: float, seed: int, previous: Plan | None
) -> tuple[Sheet, int, Status]:
    """A large day: its plan from many small models, its bound from the model without a clock."""
    sheet = improve(sheet, _by_value(model, seed), effort=effort * VALUE_SHARE, seed=seed)

    def by_tie(piece: Case, fixed: Sheet, so_far: Sheet) -> tuple[Sheet, float]:
        small = model(piece, fixed)
        return small.best_tie(so_far, EFFORT_OF_A_PIECE, seed, previous), small.spent

    sheet = improve(sheet, by_tie, effort=effort * PIECES_SHARE, seed=seed)
    bound = model(sheet.case, clock=False).bound(sheet, effort * TIE_SHARE, seed)
    return sheet, bound, "best" if bound == sheet.worth()[1] else "found"


def _by_value(model: type[Model], seed: int) -> Settle:
    def settle(piece: Case, fixed: Sheet, so_far: Sheet) -> tuple[Sheet, float]:
        small = model(piece, fixed)
        return small.most_value(so_far, EFFORT_OF_A_PIECE, seed)[0], small.spent

    return settle


def improve(sheet: Sheet, settle: Settle, *, effort: float, seed: int) -> Sheet:
    """A sheet no worse than the given one, after so much effort of planning pieces anew.

    Args:
        sheet: A legal sheet.
        settle: Plans one piece.
        effort: Deterministic seconds.
        seed: Chooses the pieces.
    """
    draw = random.Random(seed)
    spent = 0.0
    while spent < effort:
        wanted = _wanted(sheet, draw)
        people = _few_people(sheet, wanted, draw)
        piece, fixed = _freed(sheet, people, wanted, draw)
        if piece.candidates:
            sheet, used = settle(piece, fixed, sheet)
            spent += used
        spent += 0.002
    return sheet


def _wanted(sheet: Sheet, draw: random.Random) -> tuple[Candidate, ...]:
    """A job that is not placed, with the jobs before it that are not; none when all are placed."""
    case = sheet.case
    waiting = [one for job_id, one in sorted(case.candidates.items()) if job_id not in sheet.seats]
    if not waiting:
        return ()
    worth = [one.job.value_min * weight_of(case, one.job.id) for one in waiting]
    job = draw.choices(waiting, worth if draw.random() < 0.5 else None)[0].job
    family = {job.id, *forerunners(case, job)}
    return tuple(one for one in waiting if one.job.id in family)


def _few_people(sheet: Sheet, wanted: tuple[Candidate, ...], draw: random.Random) -> frozenset[int]:
    """Some who could do the wanted jobs, those they work with, and others."""
    here = [person for person, (start, end) in sorted(sheet.case.hours.items()) if end > start]
    chosen: dict[int, None] = {}
    for one in wanted:
        able, leads = list(one.people), sorted(one.leads)
        draw.shuffle(able)
        chosen |= dict.fromkeys([draw.choice(leads), *able[: one.job.crew]])
    beside = [one for seat in sheet.seats.values() if set(seat.team) & set(chosen) for one in seat.team]
    draw.shuffle(beside)
    draw.shuffle(here)
    order = dict.fromkeys([*chosen, *beside[: PEOPLE_FREED // 3], *here])
    return frozenset(list(order)[:PEOPLE_FREED])


def _freed(
    sheet: Sheet, people: frozenset[int], wanted: tuple[Candidate, ...], draw: random.Random
) -> tuple[Case, Sheet]:
    """The jobs that these people do alone or could take on, and the sheet without the former."""
    fixed = Sheet(sheet.case)
    freed = set()
    for job_id, seat in sheet.seats.items():
        if set(seat.team) <= people:
            freed.add(job_id)
        else:
            fixed.add(seat)
    waiting = [job_id for job_id in sorted(sheet.case.candidates) if job_id not in sheet.seats]
    offered = {
        *freed,
        *(one.job.id for one in wanted),
        *draw.sample(waiting, min(JOBS_OFFERED, len(waiting))),
    }
    candidates = {}
    for job_id in sorted(offered):
        candidate = _among(sheet.case.candidates[job_id], people)
        if candidate is not None:
            candidates[job_id] = candidate
    return replace(sheet.case, candidates=candidates), fixed


def _among(candidate: Candidate, people: frozenset[int]) -> Candidate | None:
    """The job with these people only; None when they are too few or the wrong ones for it."""
    leads = {person: options for person, options in candidate.leads.items() if person in people}
    helpers = tuple(person for person in candidate.helpers if person in people)
    few = candidate.job.crew > 1 and len({*leads, *helpers}) < candidate.job.crew
    if not leads or few or not candidate.fixed <= people:
        return None
    return replace(candidate, leads=leads, helpers=helpers)
