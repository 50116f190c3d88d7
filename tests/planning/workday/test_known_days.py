"""Tiny days whose best plan is known; the reason stands in each file of fixtures/plans."""

from __future__ import annotations

import pytest

from collection.planning.workday.check import breaches
from collection.planning.workday.solver import solve
from tests.planning.workday.days import PLANS, clock, problem_from, read

NAMES = sorted(path.stem for path in PLANS.glob("*.json"))


@pytest.mark.parametrize("name", NAMES)
def test_the_planner_finds_the_known_best_plan(name):
    data = read(name)
    problem = problem_from(data)
    plan = solve(problem)
    best = data["best"]
    assert breaches(problem, plan) == ()
    assert (plan.value, plan.bound, plan.status) == (best["value"], best["value"], "best")
    assert {str(one.job): (list(one.persons), one.starts_min, one.ends_min) for one in plan.placements} == {
        job: (line["team"], clock(line["starts"]), clock(line["ends"]))
        for job, line in best["placed"].items()
    }
    assert {str(job): [reason.code for reason in reasons] for job, reasons in plan.unplaced} == best[
        "unplaced"
    ]


def test_a_held_step_runs_on_through_tea_and_the_pair_rests_after_it():
    plan = solve(problem_from(read("pair_over_tea")))
    bend = next(one for one in plan.placements if one.job == 1)
    # 9:45 set up, 10:00 wrap, 10:15 hold for 65 minutes, 11:20 the pair's own tea, 11:35 guys, 11:50 clean.
    assert [(step.kind, step.from_min) for step in bend.steps] == [
        ("setup", clock("9:45")),
        ("work", clock("10:00")),
        ("held", clock("10:15")),
        ("break", clock("11:20")),
        ("work", clock("11:35")),
        ("clean", clock("11:50")),
    ]
    assert bend.held == ((clock("10:15"), clock("11:20")),)
