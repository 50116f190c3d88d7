"""Every rule of a workday is seen to be judged: a valid plan, one thing changed, that rule broken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from collection.craft.reasons import Reason
from collection.planning.workday.check import Breach, breaches, value_of
from collection.planning.workday.problem import Break, Pin, Placement, Plan, Problem, Step
from collection.planning.workday.solver import solve
from tests.planning.workday.days import clock, made_up, problem_from, read

Fault = Callable[[Problem, Plan], tuple[Problem, Plan]]

BEND, BUDS, GRAFT = 1, 2, 3
IMKE, DILIP, PETRA = 1, 2, 3


def _job(problem: Problem, job_id: int, **changes: object) -> Problem:
    jobs = tuple(replace(job, **changes) if job.id == job_id else job for job in problem.jobs)
    return replace(problem, jobs=jobs)


def _person(problem: Problem, person_id: int, **changes: object) -> Problem:
    people = tuple(replace(one, **changes) if one.id == person_id else one for one in problem.people)
    return replace(problem, people=people)


def _placed(plan: Plan, job_id: int, **changes: object) -> Plan:
    made = tuple(replace(one, **changes) if one.job == job_id else one for one in plan.placements)
    return replace(plan, placements=made)


def _line(plan: Plan, job_id: int) -> Placement:
    return next(one for one in plan.placements if one.job == job_id)


def _moved(plan: Plan, job_id: int, by_min: int) -> Plan:
    """The same bar earlier or later."""
    one = _line(plan, job_id)
    steps = tuple(Step(step.kind, step.from_min + by_min, step.to_min + by_min) for step in one.steps)
    return _placed(
        plan, job_id, starts_min=one.starts_min + by_min, ends_min=one.ends_min + by_min, steps=steps
    )


def _steps(plan: Plan, job_id: int, *steps: tuple[str, str, str]) -> Plan:
    bar = tuple(Step(kind, clock(start), clock(end)) for kind, start, end in steps)
    return _placed(plan, job_id, starts_min=bar[0].from_min, ends_min=bar[-1].to_min, steps=bar)


def _with_wiring(problem: Problem, plan: Plan, starts: str, tree: int, who: int) -> tuple[Problem, Plan]:
    """One more job of 45 minutes, so that two bars can be laid against each other."""
    levels = {"bending": "expert", "candles_needles": "practised", "wiring": "practised"}
    problem = _person(problem, who, levels=levels)
    wiring = replace(
        problem.jobs[GRAFT - 1], id=4, tree=tree, task="WIRE_DETAIL", family="wiring", least_skill="practised"
    )
    wiring = replace(wiring, minutes_by_level={"practised": 45}, value_min=45)
    start = clock(starts)
    bar = (Step("work", start, start + 45),)
    line = Placement(4, 1, ((who, "lead"),), start, start + 45, bar, False, 45)
    value = plan.value + 3 * 45
    plan = replace(plan, placements=(*plan.placements, line), value=value, bound=value)
    return replace(problem, jobs=(*problem.jobs, wiring)), plan


FAULTS: dict[str, Fault] = {
    "unknown": lambda day, plan: (day, _placed(plan, BUDS, job=99)),
    "held_tree": lambda day, plan: (
        _job(day, BUDS, holds=(Reason.of("tree_rests", until=date(2026, 12, 14), after="REPOT"),)),
        plan,
    ),
    "left_out": lambda day, plan: (replace(day, left_out=frozenset({BUDS})), plan),
    "tree_not_here": lambda day, plan: (_job(day, BUDS, tree_is_here=False), plan),
    "crew": lambda day, plan: (day, _placed(plan, BEND, team=((IMKE, "lead"),))),
    "same_person": lambda day, plan: (day, _placed(plan, BEND, team=((IMKE, "lead"), (IMKE, "hand")))),
    "one_lead": lambda day, plan: (day, _placed(plan, BEND, team=((IMKE, "lead"), (DILIP, "lead")))),
    "may_hold": lambda day, plan: (_person(day, DILIP, may_hold=False), plan),
    "not_free": lambda day, plan: (_person(day, PETRA, not_free_for=frozenset({"BUD_SELECT"})), plan),
    "least_skill": lambda day, plan: (_job(day, BUDS, least_skill="expert"), plan),
    "lead_level": lambda day, plan: (
        _person(_job(day, BUDS, lead_level="expert"), PETRA, may_lead=frozenset({"candles_needles"})),
        plan,
    ),
    "may_lead": lambda day, plan: (_person(day, IMKE, may_lead=frozenset()), plan),
    "helper_skill": lambda day, plan: (_person(day, DILIP, levels={}), plan),
    "briefing": lambda day, plan: (day, _moved(plan, BEND, -5)),
    "closing": lambda day, plan: (replace(day, closing_min=35), plan),
    "arrives": lambda day, plan: (_person(day, DILIP, arrives_min=clock("10:00")), plan),
    "leaves": lambda day, plan: (_person(day, DILIP, leaves_min=clock("12:00")), plan),
    "bar": lambda day, plan: (day, _placed(plan, BEND, ends_min=clock("12:10"))),
    "break": lambda day, plan: (replace(day, breaks=(Break(clock("10:00"), clock("10:15")),)), plan),
    "held_split": lambda day, plan: (
        day,
        _steps(
            plan,
            BEND,
            ("setup", "9:45", "10:00"),
            ("work", "10:00", "10:15"),
            ("held", "10:15", "10:45"),
            ("break", "10:45", "11:00"),
            ("held", "11:00", "11:35"),
            ("work", "11:35", "11:50"),
            ("clean", "11:50", "12:05"),
        ),
    ),
    "length": lambda day, plan: (
        day,
        _steps(
            plan,
            BEND,
            ("setup", "9:45", "10:00"),
            ("work", "10:00", "10:15"),
            ("held", "10:15", "11:20"),
            ("break", "11:20", "11:35"),
            ("work", "11:35", "11:50"),
            ("clean", "11:50", "12:00"),
        ),
    ),
    "part": lambda day, plan: (_job(day, BUDS, may_split=False), plan),
    "minutes_done": lambda day, plan: (day, _placed(plan, BUDS, minutes_done=300)),
    "pin": lambda day, plan: (replace(day, pins=(Pin(BUDS, (DILIP,)),)), plan),
    "listed_once": lambda day, plan: (day, replace(plan, unplaced=())),
    "no_reason": lambda day, plan: (day, replace(plan, unplaced=((GRAFT, ()),))),
    "sitting": lambda day, plan: (day, _placed(plan, BUDS, sitting=2)),
    "value": lambda day, plan: (day, replace(plan, value=plan.value + 1, bound=plan.bound + 1)),
    "two_things_at_once": lambda day, plan: _with_wiring(day, plan, "12:00", 4, IMKE),
    "tree_busy": lambda day, plan: _with_wiring(day, plan, "12:15", BUDS, IMKE),
}
# What cannot be broken alone: a bar cut or run through a break has a wrong length too, and so on.
COMPANIONS = {
    "break": {"length"},
    "held_split": {"length"},
    "minutes_done": {"value"},
}


@pytest.fixture(scope="module")
def day() -> Problem:
    return problem_from(read("pair_over_tea"))


@pytest.fixture(scope="module")
def plan(day: Problem) -> Plan:
    return solve(day)


def test_the_plan_that_the_faults_start_from_is_valid(day, plan):
    assert breaches(day, plan) == ()


@pytest.mark.parametrize("rule", sorted(FAULTS))
def test_a_planted_fault_is_caught_under_its_rule(rule, day, plan):
    found = {breach.rule for breach in breaches(*FAULTS[rule](day, plan))}
    assert rule in found
    assert found <= {rule} | COMPANIONS.get(rule, set())


def test_a_job_beside_another_that_does_not_touch_it_is_no_breach(day, plan):
    assert breaches(*_with_wiring(day, plan, "12:15", 4, IMKE)) == ()


def test_an_order_turned_round_is_caught():
    day = problem_from(read("order_within_a_tree"))
    plan = solve(day)
    wiring_first = _moved(_moved(plan, 2, -30), 1, 60)
    assert {breach.rule for breach in breaches(day, wiring_first)} == {"order"}


def test_a_job_whose_forerunner_is_only_begun_is_caught(day, plan):
    job = replace(day.jobs[GRAFT - 1], id=4, tree=BUDS, task="WIRE_DETAIL", after=frozenset({BUDS}))
    job = replace(
        job, family="bending", least_skill="learning", minutes_by_level={"learning": 20}, value_min=20
    )
    wider = replace(_person(day, DILIP, leaves_min=clock("14:00")), jobs=(*day.jobs, job), closing_min=0)
    bar = (Step("work", clock("13:00"), clock("13:20")),)
    line = Placement(4, 1, ((DILIP, "lead"),), clock("13:00"), clock("13:20"), bar, False, 20)
    value = plan.value + 60
    later = replace(plan, placements=(*plan.placements, line), value=value, bound=value)
    # Without the closing time Petra's day is 30 minutes longer; her part of 180 is still a multiple of 15.
    assert {breach.rule for breach in breaches(wider, later)} == {"order"}


def test_more_than_two_hours_of_holding_is_caught():
    day = problem_from(read("two_hours_of_holding"))
    plan = solve(day)
    second = replace(_moved(plan, 2, 80).placements[0], job=1)
    value = plan.value + 2 * 80
    both = replace(plan, placements=(*plan.placements, second), unplaced=(), value=value, bound=value)
    assert breaches(day, both) == (
        Breach("held_limit", None, (1,)),
        Breach("held_limit", None, (2,)),
    )


def test_two_novices_alone_on_a_stress_2_job_are_caught():
    day = problem_from(read("novice_beside_experience"))
    plan = solve(day)
    bar = (Step("work", clock("9:30"), clock("11:20")),)
    alone = _placed(
        plan, 1, team=((1, "lead"), (2, "hand")), starts_min=clock("9:30"), ends_min=clock("11:20"), steps=bar
    )
    assert breaches(day, alone) == (Breach("novice_alone", 1, (1, 2), clock("9:30")),)


def test_a_part_may_not_end_inside_a_held_step():
    day = problem_from(read("pair_over_tea"))
    # 125 minutes do not fit before 11:15 any more: 90 are there. After 15 of set-up and 15 of work the
    # held step of 65 starts, so no part of 45 minutes or more can end outside it.
    short = _person(
        _job(day, BEND, may_split=True, per_sitting_setup_min=15), IMKE, leaves_min=clock("11:15")
    )
    plan = solve(short)
    assert BEND in dict(plan.unplaced)
    part = _steps(
        _placed(solve(day), BEND, part=True, minutes_done=99),
        BEND,
        ("setup", "9:45", "10:00"),
        ("work", "10:00", "10:15"),
        ("held", "10:15", "10:45"),
    )
    assert "part" in {breach.rule for breach in breaches(short, part)}


@pytest.mark.parametrize("minutes", [40, 50])
def test_a_part_is_a_quarter_of_an_hour_in_steps_and_long_enough(minutes, day, plan):
    end = clock("9:45") + minutes
    bar = (Step("setup", clock("9:45"), clock("10:00")), Step("work", clock("10:00"), end))
    short = _placed(plan, BUDS, steps=bar, ends_min=end)
    assert "part" in {breach.rule for breach in breaches(day, short)}


def test_a_job_that_fits_the_day_may_not_be_cut(day, plan):
    shorter = _job(day, BUDS, minutes_by_level={"practised": 180})
    assert "part" in {breach.rule for breach in breaches(shorter, plan)}


def test_a_bound_below_the_value_is_caught(day, plan):
    assert breaches(day, replace(plan, bound=plan.value - 1, status="found")) == (Breach("value"),)


def test_value_is_priority_times_minutes_and_first_jobs_outweigh_the_rest():
    # One job that comes first (priority 1, 60 minutes) against priority 9 x 60: weight 1 + 540.
    day = problem_from(read("closing_window_first"))
    assert value_of(day, solve(day)) == 60 * 541


def test_the_judge_imports_nothing_that_makes_plans():
    import collection.planning.workday.check as judge

    source = Path(judge.__file__).read_text()
    assert not any(
        f"workday.{name}" in source for name in ("solver", "listing", "options", "clock", "explain")
    )


def test_every_plan_of_a_made_up_day_names_its_unplaced_jobs():
    problem = made_up(3)
    plan = solve(problem)
    listed = [one.job for one in plan.placements] + [job for job, _ in plan.unplaced]
    assert sorted(listed) == [job.id for job in problem.jobs]


def test_a_plan_called_best_below_its_bound_is_caught(day, plan):
    assert plan.status == "best"
    assert breaches(day, replace(plan, bound=plan.value + 1)) == (Breach("value"),)
    assert breaches(day, replace(plan, bound=plan.value + 1, status="found")) == ()


def test_a_pinned_pair_whose_lead_and_helper_are_swapped_is_caught(day, plan):
    assert _line(plan, BEND).persons == (IMKE, DILIP)
    kept = replace(day, pins=(Pin(BEND, (IMKE, DILIP)),))
    swapped = replace(day, pins=(Pin(BEND, (DILIP, IMKE)),))
    assert breaches(kept, plan) == ()
    assert "pin" in {breach.rule for breach in breaches(swapped, plan)}
