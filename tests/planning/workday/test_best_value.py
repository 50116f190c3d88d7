"""The planner's value against trying everything, on 500 made-up days of up to 5 jobs and 4 people."""

from __future__ import annotations

import pytest

from collection.planning.workday.check import breaches
from collection.planning.workday.listing import first_sheet
from collection.planning.workday.options import prepare
from collection.planning.workday.solver import solve
from tests.planning.workday.brute import Brute
from tests.planning.workday.days import made_up, problem_from, read

CHUNK = 50


@pytest.mark.parametrize("first", range(0, 500, CHUNK))
def test_no_plan_is_worth_more_than_the_planner_s(first):
    for number in range(first, first + CHUNK):
        problem = made_up(number)
        plan = solve(problem)
        assert breaches(problem, plan) == (), number
        assert plan.status == "best", number
        assert plan.value == plan.bound == Brute(problem).value(), number


def test_the_made_up_days_are_hard_enough_to_tell_planners_apart():
    # A day says something only if a list misses the best value, or jobs are cut, held or left out.
    missed = cut = held = out = 0
    for number in range(100):
        problem = made_up(number)
        plan = solve(problem)
        missed += first_sheet(prepare(problem), None).worth()[1] < plan.value
        cut += any(one.part for one in plan.placements)
        held += any(one.held and len(one.team) > 1 for one in plan.placements)
        out += bool(plan.unplaced)
    assert missed >= 10
    assert cut >= 10
    assert held >= 10
    assert out >= 10


def test_the_search_beats_going_down_the_list():
    problem = problem_from(read("better_than_going_down_the_list"))
    # Down the list: trimming by Ana (5 x 60 = 300), then no room for the wiring. Best: 1020, see the file.
    assert first_sheet(prepare(problem), None).worth() == (0, 300)
    assert solve(problem).value == 1020
