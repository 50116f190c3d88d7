"""Hard stops at a large bend: a truth table over every one, and no points that buy one off."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings

from collection.craft.reasons import Reason
from collection.planning.helper_facts import Case
from collection.planning.helper_rules import helper_stops, lead_stops
from collection.planning.helpers import find_helpers, rank_helpers, rank_leads
from collection.planning.workday.problem import Segment
from tests.planning.bends import CLOSES, LATER, OPENS, PARTS, bend, cases, day, hand

LEAD = hand(1, expert=True)
# Each gate: what makes it stop the helper, and the code it then gives.
ACTIVE = {True: None, False: "helper_has_left"}
LIFTS = {True: None, False: "helper_no_lifting", None: "helper_lifting_not_said"}
LEVEL = {"novice": "helper_novice", "learning": None, "practised": None, "expert": None}
TOO_YOUNG = {False: None, True: "helper_under_age"}
TIMES = {
    "free": None,
    "no day": "helper_no_day",
    "comes late": "helper_not_there",
    "held then": "helper_held_then",
    "holds two hours": "helper_held_then",
    "rule holds the day": "helper_days_held",
}


def day_of(times: str):
    there = (OPENS, CLOSES)
    mine = {
        "free": there,
        "no day": None,
        "comes late": (CLOSES - 60, CLOSES),
    }.get(times, there)
    held = {}
    if times == "held then":
        # Between the two held steps 95 minutes are left, and the bend takes 100.
        held = {2: ((OPENS, OPENS + 30), (OPENS + 125, OPENS + 150))}
    if times == "holds two hours":
        held = {2: ((OPENS, OPENS + 65),)}
    hours = {1: there} | ({2: mine} if mine else {})
    holds = (Reason.of("tree_is_weak"),) if times == "rule holds the day" else ()
    return day(hours=hours, held=held, holds=holds)


@pytest.mark.parametrize("times", TIMES)
def test_every_combination_of_gates_stops_whom_it_should_and_names_each_gate(times: str):
    for active, lifts, level, young, power in product(ACTIVE, LIFTS, LEVEL, TOO_YOUNG, (False, True)):
        helper = hand(
            2, active=active, can_lift=lifts, level=level, under_age=young, bends_any=9, bends_on_group=9
        )
        case = Case(bend(power_kit=power), (LEAD, helper), (day_of(times),))
        young_code = TOO_YOUNG[young] if power else None
        wanted = {ACTIVE[active], LIFTS[lifts], LEVEL[level], young_code, TIMES[times]} - {None}
        assert {stop.code for stop in helper_stops(helper, LEAD, case)} == wanted
        assert [ranked.person for ranked in rank_helpers(case, LEAD)] == ([] if wanted else [2])


def test_every_combination_of_a_leads_gates():
    for level, lifts, power, trained in product(LEVEL, LIFTS, (False, True), (False, True)):
        lead = hand(1, level=level, can_lift=lifts, trained_power=trained)
        case = Case(bend(power_kit=power), (lead,), (day(1),))
        wanted = {LIFTS[lifts], None if level == "expert" else "lead_not_expert"}
        wanted |= {"lead_not_trained" if power and not trained else None}
        assert {stop.code for stop in lead_stops(lead, case)} == wanted - {None}
        assert bool(rank_leads(case)) == (wanted == {None})


def test_somebody_who_never_held_helps_only_beside_an_expert():
    new = hand(2, level="learning")
    case = Case(bend(), (LEAD, new), (day(1, 2),))
    assert helper_stops(new, LEAD, case) == ()
    assert rank_helpers(case, LEAD)[0].conditions == (Reason.of("helper_beside_expert", lead="P1"),)
    half = hand(1, level="practised")
    assert [stop.code for stop in helper_stops(new, half, case)] == ["helper_untried"]
    held = replace(new, bends_any=1)
    assert helper_stops(held, half, case) == ()


def test_of_three_at_most_one_has_never_held():
    new = [hand(n, level="learning", wants_bends=True) for n in (2, 3)]
    old = hand(4, bends_any=1)
    case = Case(bend(crew=3, lead=1), (LEAD, *new, old), (day(1, 2, 3, 4),))
    assert find_helpers(case).team.people == (1, 2, 4)
    without = Case(bend(crew=3, lead=1), (LEAD, *new), (day(1, 2, 3),))
    assert find_helpers(without).team is None


def test_the_owners_no_stops_everybody():
    why = Reason.of("needs_consent", owner="Ana")
    found = find_helpers(Case(bend(stops=(why,)), (LEAD, hand(2)), (day(1, 2),)))
    assert found.stops == (why,)
    assert (found.leads, found.helpers, found.team, found.lead) == ((), (), None, None)


def test_a_lead_who_was_set_and_may_not_lead_gets_no_helpers_and_hears_why():
    found = find_helpers(Case(bend(lead=2), (LEAD, hand(2), hand(3)), (day(1, 2, 3),)))
    assert [stop.code for stop in found.lead_stops] == ["lead_not_expert"]
    assert (found.helpers, found.team) == ((), None)


def test_nobody_holds_longer_than_two_hours():
    long = (Segment("setup", 10), Segment("held", 125), Segment("clean", 10))
    case = Case(bend(segments=long), (LEAD, hand(2)), (day(1, 2),))
    assert [stop.code for stop in helper_stops(hand(2), LEAD, case)] == ["bend_holds_too_long"]
    assert find_helpers(case).team is None


def test_a_day_that_a_rule_holds_is_passed_over_for_a_later_one():
    weak = day(1, 2, holds=(Reason.of("tree_is_weak"),))
    found = find_helpers(Case(bend(), (LEAD, hand(2)), (weak, day(1, 2, on=LATER))))
    assert found.team.slot.date == LATER


def test_the_leads_own_held_step_is_named_as_the_leads():
    busy = day(
        1, 2, held={1: ((OPENS + 60, OPENS + 110),)}, hours={1: (OPENS, CLOSES), 2: (OPENS, OPENS + 150)}
    )
    case = Case(bend(), (LEAD, hand(2)), (busy,))
    assert [stop.code for stop in helper_stops(hand(2), LEAD, case)] == ["helper_lead_held_then"]
    assert PARTS[2].minutes == 60


@settings(max_examples=300, deadline=None)
@given(cases())
def test_nobody_with_a_hard_stop_is_ever_ranked_or_in_the_team(case: Case):
    found = find_helpers(case)
    stopped = {person.person for person in found.stopped}
    ranked = {person.person for person in found.helpers}
    assert not stopped & ranked
    if found.lead is None:
        assert not ranked
        assert found.team is None
        return
    lead = case.hand(found.lead.person)
    assert lead_stops(lead, case) == ()
    for person in case.hands:
        if person.id == lead.id:
            continue
        stops = helper_stops(person, lead, case)
        assert (person.id in stopped) == bool(stops)
        assert case.bend.crew == 1 or (person.id in ranked) == (not stops)
    if found.team is not None:
        assert set(found.team.people[1:]) <= ranked
        assert len(found.team.people) == case.bend.crew
