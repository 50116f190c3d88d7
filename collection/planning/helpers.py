"""Who leads a large bend, who helps, and when: hard stops first, then the lead, then helpers in order.

Hard stops are constraints that no points can buy off. Among those left, points rank; where points are
even, experience decides in the order experienced people weigh it, and at last the person's number, so
that the same facts always give the same answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations

from collection.planning.helper_facts import Answer, Case, Hand, Ranked, Stopped, Team
from collection.planning.helper_rules import (
    conditions_of,
    helper_points,
    helper_stops,
    lead_stops,
    shared_points,
    slot_for,
)


def find_helpers(case: Case) -> Answer:
    """The lead, the helpers ranked for that lead, everybody who is stopped, and the team to ask first.

    Without a lead who was set, teams are compared by the sum of their points.
    """
    if case.bend.stops:
        return Answer(case.bend.stops, (), None, (), (), (), None)
    if case.bend.lead is not None:
        return _with_lead(case, case.bend.lead)
    leads = rank_leads(case)
    teams = {ranked.person: team_for(case, ranked) for ranked in leads}
    complete = [team for team in teams.values() if team is not None]
    if complete:
        team = min(
            complete, key=lambda team: (-team.total, team.slot.date, team.slot.starts_min, team.people)
        )
        best = next(ranked for ranked in leads if ranked.person == team.people[0])
        return _answer(case, leads, best, team)
    if leads:
        return _answer(case, leads, leads[0], None)
    stopped = tuple(Stopped(hand.id, hand.name, lead_stops(hand, case)) for hand in _by_id(case.hands))
    return Answer((), (), None, (), (), stopped, None)


def _with_lead(case: Case, person: int) -> Answer:
    lead = case.hand(person)
    if stops := lead_stops(lead, case):
        return Answer((), (), None, stops, (), (), None)
    ranked = _ranked_lead(case, lead)
    return _answer(case, (ranked,), ranked, team_for(case, ranked))


def _answer(case: Case, leads: tuple[Ranked, ...], lead: Ranked, team: Team | None) -> Answer:
    hand = case.hand(lead.person)
    others = [other for other in _by_id(case.hands) if other.id != lead.person]
    stopped = [Stopped(h.id, h.name, why) for h in others if (why := helper_stops(h, hand, case))]
    helpers = rank_helpers(case, hand) if case.bend.crew > 1 else ()
    return Answer((), leads, lead, (), helpers, tuple(stopped), team)


def rank_leads(case: Case) -> tuple[Ranked, ...]:
    """Everybody who may lead, best first."""
    return _in_order(case, [_ranked_lead(case, h) for h in case.hands if not lead_stops(h, case)])


def _ranked_lead(case: Case, hand: Hand) -> Ranked:
    slot = slot_for(case, [hand])
    assert slot is not None  # lead_stops found a time
    return Ranked(hand.id, hand.name, tuple(shared_points(hand, case, slot)), slot)


def rank_helpers(case: Case, lead: Hand) -> tuple[Ranked, ...]:
    """Everybody who may help this lead, best first."""
    found = []
    for hand in case.hands:
        if hand.id == lead.id or helper_stops(hand, lead, case):
            continue
        slot = slot_for(case, [hand, lead])
        assert slot is not None  # helper_stops found a time
        points = helper_points(hand, lead, case, slot)
        found.append(Ranked(hand.id, hand.name, points, slot, conditions_of(hand, lead)))
    return _in_order(case, found)


def _in_order(case: Case, found: Iterable[Ranked]) -> tuple[Ranked, ...]:
    """By points; where even, by experience, then by fewer hours given, then by number."""

    def key(ranked: Ranked) -> tuple[object, ...]:
        hand = case.hand(ranked.person)
        return (
            -ranked.total,
            -hand.bends_on_group,
            -hand.bends_any,
            not hand.tree_last,
            not hand.tree_before,
            hand.hours_given,
            ranked.person,
        )

    return tuple(sorted(found, key=key))


def team_for(case: Case, lead: Ranked) -> Team | None:
    """The lead with the helpers whose points together are highest and who are all free at once.

    At most one of them has never held a bend. None when no full crew is free at once.
    """
    hand = case.hand(lead.person)
    wanted = case.bend.crew - 1
    helpers = rank_helpers(case, hand) if wanted else ()
    groups = sorted(combinations(helpers, wanted), key=_sum_first)
    for group in groups:
        people = [hand, *(case.hand(helper.person) for helper in group)]
        if not _tried(people):
            continue
        slot = slot_for(case, people)
        if slot is not None:
            total = lead.total + sum(helper.total for helper in group)
            return Team(tuple(person.id for person in people), total, slot)
    return None


def _sum_first(group: Sequence[Ranked]) -> int:
    """Highest sum first; ``combinations`` keeps the order of the ranking where sums are even."""
    return -sum(helper.total for helper in group)


def _tried(people: Sequence[Hand]) -> bool:
    """At most one person of the team has never held a bend."""
    return sum(person.untried for person in people) <= 1


def _by_id(hands: Iterable[Hand]) -> list[Hand]:
    return sorted(hands, key=lambda hand: hand.id)
