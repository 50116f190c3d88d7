"""Whatever the day, the plan keeps every rule: judged by ``check``, which shares no code with the planner."""

from __future__ import annotations

import random
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from collection.craft.reasons import Reason
from collection.planning.workday.check import breaches, value_of
from collection.planning.workday.clock import DayClock
from collection.planning.workday.listing import first_sheet, placements_of
from collection.planning.workday.options import prepare
from collection.planning.workday.problem import Break, Pin, Plan, Problem, Segment
from collection.planning.workday.solver import solve
from tests.planning.workday.days import made_up

days = st.integers(min_value=1000, max_value=10**6)


def _with_wishes(problem: Problem, number: int) -> Problem:
    """Some jobs left out and some pinned to people or to a start, sometimes against the rules."""
    draw = random.Random(number)
    ids = [job.id for job in problem.jobs]
    pins = []
    for job in draw.sample(ids, min(2, len(ids))):
        people = tuple(draw.sample([one.id for one in problem.people], 1))
        start = problem.opens_min + 5 * draw.randint(0, 30)
        pins.append(draw.choice((Pin(job, people), Pin(job, None, start), Pin(job, people, start))))
    return replace(problem, pins=tuple(pins), left_out=frozenset(draw.sample(ids, 1)))


@settings(max_examples=60, deadline=None)
@given(days)
def test_a_plan_of_a_bigger_day_breaks_no_rule(number):
    problem = made_up(number, most_jobs=12, most_people=7)
    assert breaches(problem, solve(problem, effort=0.5)) == ()


@settings(max_examples=60, deadline=None)
@given(days)
def test_a_plan_with_pins_and_jobs_left_out_breaks_no_rule(number):
    problem = _with_wishes(made_up(number, most_jobs=8, most_people=5), number)
    assert breaches(problem, solve(problem, effort=0.5)) == ()


@settings(max_examples=60, deadline=None)
@given(days)
def test_the_list_alone_breaks_no_rule_either(number):
    problem = made_up(number, most_jobs=12, most_people=7)
    sheet = first_sheet(prepare(problem), None)
    value = sheet.worth()[1]
    left = tuple((job.id, (Reason.of("left_out"),)) for job in problem.jobs if job.id not in sheet.seats)
    plan = Plan(placements_of(sheet), left, value, value, "found")
    assert breaches(problem, plan) == ()
    assert value == value_of(problem, plan)


@settings(max_examples=40, deadline=None)
@given(days)
def test_planning_again_after_somebody_stays_away_breaks_no_rule(number):
    problem = made_up(number, most_jobs=8, most_people=5)
    before = solve(problem, effort=0.5)
    fewer = replace(problem, people=problem.people[1:] or problem.people)
    assert breaches(fewer, solve(fewer, effort=0.5, previous=before)) == ()


@settings(max_examples=40, deadline=None)
@given(days)
def test_one_more_hour_for_everybody_is_never_worth_less(number):
    problem = made_up(number, most_jobs=5, most_people=3)
    # Cut jobs are left aside: with an hour more a part may become too long to be one.
    whole = replace(problem, jobs=tuple(replace(job, may_split=False) for job in problem.jobs))
    longer = replace(
        whole,
        closes_min=whole.closes_min + 60,
        people=tuple(replace(one, leaves_min=one.leaves_min + 60) for one in whole.people),
    )
    assert solve(longer).value >= solve(whole).value


def test_the_same_day_gives_the_same_plan_twice():
    problem = made_up(7, most_jobs=12, most_people=6)
    assert solve(problem, effort=0.3) == solve(problem, effort=0.3)


@given(
    st.lists(st.tuples(st.sampled_from(["work", "held"]), st.integers(1, 20)), min_size=1, max_size=5),
    st.integers(0, 40),
)
def test_a_bar_ends_where_its_net_minutes_end(parts, tick):
    # Held through a break or stopped by it, the end is the same: what the planners' clock rests on.
    clock = DayClock((Break(645, 660), Break(690, 720)))
    segments = [Segment(kind, 5 * ticks) for kind, ticks in parts]
    start = clock.start(clock.net(570 + 5 * tick))
    steps = clock.steps(segments, start)
    minutes = sum(segment.minutes for segment in segments)
    assert steps[-1].to_min == clock.end(clock.net(start) + minutes)
    assert sum(step.to_min - step.from_min for step in steps if step.kind != "break") == minutes
    assert [step.from_min for step in steps[1:]] == [step.to_min for step in steps[:-1]]
