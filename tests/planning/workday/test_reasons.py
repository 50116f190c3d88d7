"""A reason is true when lifting exactly what it names lets the job in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

import pytest

from collection.craft.reasons import Reason
from collection.planning.workday.check import breaches
from collection.planning.workday.problem import JobSpec, Person, Pin, Plan, Problem, Segment
from collection.planning.workday.solver import solve
from collection.queries.sentences import say
from tests.planning.workday.days import A_DAY, made_up

OPENS, NOON = 9 * 60, 12 * 60


def person(who: int, name: str, level: str = "practised", **values: object) -> Person:
    values.setdefault("arrives_min", OPENS)
    values.setdefault("leaves_min", NOON)
    return Person(id=who, name=name, levels={"wiring": level}, **values)


def job(number: int, minutes: int = 60, **values: object) -> JobSpec:
    values.setdefault("minutes_by_level", {"learning": minutes, "practised": minutes, "expert": minutes})
    values.setdefault("tree", number)
    values.setdefault("least_skill", "learning")
    values.setdefault("stress", 1)
    return JobSpec(id=number, task="WIRE_STRUCT", family="wiring", value_min=minutes, **values)


def held(minutes: int) -> dict[str, object]:
    parts = (Segment("held", minutes),)
    levels = ("learning", "practised", "expert")
    return {"segments": dict.fromkeys(levels, parts), "minutes_by_level": dict.fromkeys(levels, minutes)}


def day(people: tuple[Person, ...], jobs: tuple[JobSpec, ...], **values: object) -> Problem:
    return Problem(A_DAY, OPENS, NOON, people, jobs, **values)


def with_people(problem: Problem, **changes: object) -> Problem:
    return replace(problem, people=tuple(replace(one, **changes) for one in problem.people))


def with_job(problem: Problem, number: int, **changes: object) -> Problem:
    return replace(
        problem, jobs=tuple(replace(one, **changes) if one.id == number else one for one in problem.jobs)
    )


def later(problem: Problem, minutes: int) -> Problem:
    """Everybody stays longer, and the day with them."""
    people = tuple(replace(one, leaves_min=one.leaves_min + minutes) for one in problem.people)
    return replace(problem, people=people, closes_min=problem.closes_min + minutes)


@dataclass(frozen=True)
class Story:
    """A day on which job 1 is not placed, the whole reason, and the day with only that lifted."""

    problem: Problem
    reason: Reason
    lift: Callable[[Problem], Problem]


ANA, BEN = person(1, "Ana"), person(2, "Ben")
REST = Reason.of("tree_rests", until=date(2026, 12, 14), after="REPOT", since=date(2026, 3, 1))

STORIES = {
    "the tree rests": Story(
        day((ANA,), (job(1, holds=(REST,)),)), REST, lambda problem: with_job(problem, 1, holds=())
    ),
    "left out by the coordinator": Story(
        day((ANA,), (job(1),), left_out=frozenset({1})),
        Reason.of("left_out"),
        lambda problem: replace(problem, left_out=frozenset()),
    ),
    "the tree is elsewhere": Story(
        day((ANA,), (job(1, tree_is_here=False),)),
        Reason.of("tree_not_here"),
        lambda problem: with_job(problem, 1, tree_is_here=True),
    ),
    "what comes before it is held": Story(
        day((ANA,), (job(1, tree=7, after=frozenset({2})), job(2, tree=7, holds=(REST,)))),
        Reason.of("waits_for_job", job=2, after="WIRE_STRUCT"),
        lambda problem: with_job(problem, 2, holds=()),
    ),
    "nobody has the skill": Story(
        day((person(1, "Ana", "learning"),), (job(1, least_skill="practised"),)),
        Reason.of("no_one_with_skill", family="wiring", level="practised"),
        lambda problem: with_people(problem, levels={"wiring": "practised"}),
    ),
    "a novice is alone on hard work": Story(
        day(
            (person(1, "Ana", "novice"),),
            (job(1, least_skill="novice", stress=2, minutes_by_level={"novice": 60, "learning": 60}),),
        ),
        Reason.of("no_one_with_skill", family="wiring", level="learning"),
        lambda problem: with_people(problem, levels={"wiring": "learning"}),
    ),
    "nobody has leave to lead": Story(
        day((person(1, "Ana", "expert"),), (job(1, lead_level="expert"),)),
        Reason.of("no_lead", family="wiring", people=("Ana",)),
        lambda problem: with_people(problem, may_lead=frozenset({"wiring"})),
    ),
    "nobody is free for the task": Story(
        day((person(1, "Ana", not_free_for=frozenset({"WIRE_STRUCT"})),), (job(1),)),
        Reason.of("no_one_free_for", task="WIRE_STRUCT", people=("Ana",)),
        lambda problem: with_people(problem, not_free_for=frozenset()),
    ),
    "the lead may not hold": Story(
        day((ANA,), (job(1, **held(60)),)),
        Reason.of("no_one_to_hold", people=("Ana",)),
        lambda problem: with_people(problem, may_hold=True),
    ),
    "the second pair of hands may not hold": Story(
        day((person(1, "Ana", may_hold=True), BEN), (job(1, crew=2, **held(60)),)),
        Reason.of("no_one_to_hold", people=("Ben",)),
        lambda problem: with_people(problem, may_hold=True),
    ),
    "one person for a pair job": Story(
        day((ANA,), (job(1, crew=2),)),
        Reason.of("too_few_hands", crew=2, people=("Ana",)),
        lambda problem: replace(problem, people=(ANA, BEN)),
    ),
    "two novices alone": Story(
        day(
            (person(1, "Ana", "novice"), person(2, "Ben", "novice")),
            (
                job(
                    1,
                    crew=2,
                    stress=2,
                    least_skill="novice",
                    minutes_by_level={"novice": 60, "practised": 60},
                ),
            ),
        ),
        Reason.of("needs_practised_beside", family="wiring"),
        lambda problem: replace(problem, people=(ANA, problem.people[1])),
    ),
    "longer than anybody stays": Story(
        day((ANA,), (job(1, 240),)),
        Reason.of("too_long", minutes=240, longest_min=180, people=("Ana",)),
        lambda problem: later(problem, 60),
    ),
    "longer than a day and not to be cut": Story(
        day((ANA,), (job(1, 240),)),
        Reason.of("too_long", minutes=240, longest_min=180, people=("Ana",)),
        lambda problem: with_job(problem, 1, may_split=True),
    ),
    "held for too long": Story(
        day((person(1, "Ana", may_hold=True),), (job(1, **held(125)),)),
        Reason.of("held_limit", minutes=125, limit_min=120, people=("Ana",)),
        lambda problem: with_job(problem, 1, **held(120)),
    ),
    "held enough already": Story(
        day(
            (person(1, "Ana", may_hold=True),),
            (job(1, priority=1, **held(60)), job(2, priority=9, **held(65))),
        ),
        Reason.of("held_limit", minutes=60, limit_min=120, people=("Ana",)),
        lambda problem: with_job(problem, 1, segments=None),
    ),
    "never there together": Story(
        day((replace(ANA, leaves_min=600), replace(BEN, arrives_min=570)), (job(1, crew=2),)),
        Reason.of("not_there_together", minutes=60, longest_min=30, people=("Ana", "Ben")),
        lambda problem: replace(problem, people=(replace(ANA, leaves_min=630), problem.people[1])),
    ),
    "the only person is full": Story(
        day((ANA,), (job(1, 90, priority=1), job(2, 120, priority=9))),
        Reason.of(
            "day_full", minutes=90, people=("Ana",), most_free="Ana", longest_min=60, from_clock_min=11 * 60
        ),
        lambda problem: later(problem, 30),
    ),
    "no two are free at once": Story(
        day((ANA, BEN), (job(1, 90, crew=2, priority=1), job(2, 120, crew=2, priority=9))),
        Reason.of("no_two_free_together", minutes=90, longest_min=60, people=("Ana", "Ben"), crew=2),
        lambda problem: later(problem, 30),
    ),
    "others are on the tree": Story(
        day((ANA, BEN), (job(1, 90, tree=2, priority=1), job(2, 120, tree=2, priority=9))),
        Reason.of("tree_busy", minutes=90, from_clock_min=OPENS, to_clock_min=11 * 60),
        lambda problem: with_job(problem, 1, tree=1),
    ),
    "what comes before it ends too late": Story(
        day(
            (ANA, BEN),
            (job(1, 90, tree=2, priority=1, after=frozenset({2})), job(2, 120, tree=2, priority=9)),
        ),
        Reason.of("order_too_late", minutes=90, after="WIRE_STRUCT", ends_clock_min=11 * 60),
        lambda problem: with_job(problem, 2, minutes_by_level={"practised": 90}),
    ),
    "pinned to somebody who goes too soon": Story(
        day((ANA, replace(BEN, leaves_min=570)), (job(1),), pins=(Pin(1, (2,)),)),
        Reason.of("pin_cannot_be_kept", people=("Ben",), start_clock_min=None),
        lambda problem: replace(problem, pins=()),
    ),
    "pinned to a start that is too late": Story(
        day((ANA,), (job(1),), pins=(Pin(1, None, 11 * 60 + 30),)),
        Reason.of("pin_cannot_be_kept", people=(), start_clock_min=11 * 60 + 30),
        lambda problem: replace(problem, pins=(Pin(1, None, 11 * 60),)),
    ),
    "two pins that want the same hour": Story(
        day((ANA,), (job(1), job(2, 90)), pins=(Pin(1, (1,), 600), Pin(2, (1,), 600))),
        Reason.of("pin_cannot_be_kept", people=("Ana",), start_clock_min=600),
        lambda problem: replace(problem, pins=(Pin(2, (1,), 600),)),
    ),
    "pinned to a lead who may not lead": Story(
        day(
            (ANA, person(2, "Ben", "learning")),
            (job(1, crew=2, least_skill="practised"),),
            pins=(Pin(1, (2, 1)),),
        ),
        Reason.of("pin_cannot_be_kept", people=("Ana", "Ben"), start_clock_min=None),
        lambda problem: replace(problem, pins=(Pin(1, (1, 2)),)),
    ),
}


@pytest.mark.parametrize("name", sorted(STORIES))
def test_the_reason_is_named_alone(name):
    story = STORIES[name]
    plan = solve(story.problem)
    assert breaches(story.problem, plan) == ()
    assert dict(plan.unplaced)[1] == (story.reason,)


@pytest.mark.parametrize("name", sorted(STORIES))
def test_lifting_just_that_lets_the_job_in(name):
    story = STORIES[name]
    lifted = story.lift(story.problem)
    plan = solve(lifted)
    assert breaches(lifted, plan) == ()
    assert 1 in [one.job for one in plan.placements]


@pytest.mark.parametrize("name", sorted(STORIES))
def test_the_reason_is_a_short_plain_sentence(name):
    text = say(STORIES[name].reason)
    assert text[0].isupper()
    assert text.endswith(".")
    assert len(text.split()) <= 20
    assert "%" not in text


def test_two_rules_that_both_stand_in_the_way_are_both_named():
    problem = day((person(1, "Ana", "novice"),), (job(1, holds=(REST,), tree_is_here=False),))
    codes = [reason.code for reason in dict(solve(problem).unplaced)[1]]
    assert codes == ["tree_rests", "tree_not_here", "no_one_with_skill"]


def test_a_skill_that_is_missing_is_said_in_words():
    reason = STORIES["nobody has the skill"].reason
    assert say(reason) == "Nobody who comes is practised in wiring."


@pytest.mark.parametrize("first", range(0, 300, 100))
def test_no_job_is_left_out_that_would_still_fit(first):
    # With every other placement pinned where it is, the job still finds no room: so the reason is no excuse.
    for number in range(first, first + 100):
        problem = made_up(number)
        plan = solve(problem)
        for job_id in dict(plan.unplaced):
            assert job_id not in _placed_beside(problem, plan), number


def _placed_beside(problem: Problem, plan: Plan) -> set[int]:
    kept = {one.job for one in plan.placements}
    pins = tuple(Pin(one.job, one.persons, one.starts_min) for one in plan.placements)
    again = solve(replace(problem, pins=pins))
    return {one.job for one in again.placements} - kept
