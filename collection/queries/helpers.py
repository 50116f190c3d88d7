"""Who may lead a heavy bend and who helps, in words: for coordinators and for the one who leads."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from collection.planning.helper_facts import Hand, Ranked, Slot, Stopped
from collection.planning.helper_rules import lead_stops
from collection.planning.helpers import find_helpers, rank_helpers, rank_leads
from collection.queries.access import Actor
from collection.queries.bend_case import Wanted, wanted
from collection.queries.errors import not_found
from collection.queries.labels import day
from collection.queries.opened import Line, Opened
from collection.queries.sentences import say
from collection.queries.speech import clock

# What every point rests on, beside each line of the sum.
TRUST = "assumption"
# Somebody who has said yes for no day is counted and not named.
NO_DAY = "helper_no_day"


@dataclass(frozen=True, slots=True)
class Candidate:
    """A person nothing stops: points that open, reasons in words, when he is free with the lead."""

    member_id: int
    name: str
    number: Opened
    reasons: tuple[str, ...]
    terms: tuple[str, ...]
    slot: Slot
    when: str


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A person who cannot take part, and every reason in words."""

    member_id: int
    name: str
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Helpers:
    """Who leads, who helps and who cannot, in words.

    Attributes:
        stops: Why the bend is not to be done at all.
        lead_why: Why the one who was set cannot lead.
        team: Names of the people to ask first, lead first; empty when no full crew is free at once.
        no_answer: How many have said yes for no day in the window.
        days_held: Why the bend may not be done on a day in its window, by day.
    """

    stops: tuple[str, ...]
    lead: Candidate | None
    lead_why: tuple[str, ...]
    leads: tuple[Candidate, ...]
    helpers: tuple[Candidate, ...]
    team: tuple[str, ...]
    team_ids: tuple[int, ...]
    slot: Slot | None
    when: str
    left_out: tuple[LeftOut, ...]
    no_answer: int
    days_held: tuple[str, ...]
    dated: bool


def may_see(actor: Actor, lead_id: int | None) -> bool:
    """Coordinators, club admins and the lead see who could help and why somebody is not free."""
    return actor.plans or (actor.member_id is not None and actor.member_id == lead_id)


def helpers_of(found: Wanted) -> Helpers:
    """The search in words."""
    answer, bend_id = find_helpers(found.case), found.bend.pk
    lead = answer.lead
    team = answer.team
    named, silent = _left_out(answer.stopped)
    hand = found.case.hand(lead.person) if lead else None
    return Helpers(
        stops=tuple(say(reason) for reason in answer.stops),
        lead=_lead(found, lead) if lead else None,
        lead_why=tuple(say(reason) for reason in answer.lead_stops),
        leads=tuple(_lead(found, ranked) for ranked in answer.leads),
        helpers=tuple(_helper(bend_id, hand, ranked) for ranked in answer.helpers) if hand else (),
        team=tuple(found.case.hand(person).name for person in team.people) if team else (),
        team_ids=team.people if team else (),
        slot=team.slot if team else None,
        when=when_of(team.slot) if team else "",
        left_out=named,
        no_answer=silent,
        days_held=tuple(_days_held(found)),
        dated=all(day.dated for day in found.case.days),
    )


def _left_out(stopped: Iterable[Stopped]) -> tuple[tuple[LeftOut, ...], int]:
    named, silent = [], 0
    for person in stopped:
        if NO_DAY in {reason.code for reason in person.reasons}:
            silent += 1
        else:
            named.append(LeftOut(person.person, person.name, tuple(say(r) for r in person.reasons)))
    return tuple(named), silent


def _days_held(found: Wanted) -> Iterable[str]:
    for ahead in found.case.days_in_order:
        if ahead.holds and ahead.dated:
            yield f"{day(ahead.date)}: {' '.join(say(reason) for reason in ahead.holds)}"


def when_of(slot: Slot) -> str:
    """A time in words; of a usual day only the day is known."""
    if not slot.dated:
        return f"{day(slot.date)}, hour to be agreed"
    return f"{day(slot.date)}, {clock(slot.starts_min)} to {clock(slot.ends_min)}"


def _lead(found: Wanted, ranked: Ranked) -> Candidate:
    return _candidate(ranked, ("bend-lead", f"{found.bend.pk}~{ranked.person}"))


def _helper(bend_id: int, lead: Hand, ranked: Ranked) -> Candidate:
    return _candidate(ranked, ("helper", f"{bend_id}~{lead.id}~{ranked.person}"))


def _candidate(ranked: Ranked, address: tuple[str, str]) -> Candidate:
    return Candidate(
        ranked.person,
        ranked.name,
        _number(ranked, address),
        tuple(say(point.reason) for point in ranked.points if point.points),
        tuple(say(reason) for reason in ranked.conditions),
        ranked.slot,
        when_of(ranked.slot),
    )


def _number(ranked: Ranked, address: tuple[str, str]) -> Opened:
    """The points of a person, line by line, zeros too."""
    lines = tuple(
        Line(say(point.reason), f"{point.points} of {point.most}", float(point.points), TRUST)
        for point in ranked.points
    )
    return Opened(
        f"{ranked.total} points",
        float(ranked.total),
        "sum",
        lines,
        f"{ranked.total} points",
        "Together",
        (
            "The points only put people in an order. Nothing that stops somebody can be outweighed by them.",
            "How much each line counts is an assumption, to be set anew from the club's own bends.",
        ),
        address,
    )


def person_number(actor: Actor, kind: str, key: str, *, today: date) -> tuple[str, int, Opened]:
    """The points of a lead or a helper at an address: name, bend, number.

    Raises:
        Refused: ``not_found`` where nobody is ranked, and for whoever may not see it.
    """
    bend_id, *people = (int(part) for part in key.split("~"))
    if len(people) != (1 if kind == "bend-lead" else 2):
        raise not_found()
    found = wanted(actor, bend_id, today=today)
    if not may_see(actor, found.bend.lead_id):
        raise not_found()
    case = found.case
    if kind == "bend-lead":
        candidates = [_lead(found, r) for r in rank_leads(case)]
    else:
        lead = next((hand for hand in case.hands if hand.id == people[0]), None)
        if lead is None or lead_stops(lead, case):
            raise not_found()
        candidates = [_helper(bend_id, lead, r) for r in rank_helpers(case, lead)]
    for candidate in candidates:
        if candidate.member_id == people[-1]:
            return candidate.name, bend_id, candidate.number
    raise not_found()
