"""Hard stops, times and points of one person at a large bend.

The points are suggested figures, to be set anew from the club's own bends (assumption). What is weighed
and in what order is common practice; so are the hard stops.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from collection.craft.reasons import Reason
from collection.planning.helper_facts import Bend, Case, Day, Hand, Point, Slot
from collection.planning.workday.clock import DayClock
from collection.planning.workday.problem import GRID_MIN, HELD_LIMIT_MIN

AVAILABLE = 40
ON_GROUP_EACH, ON_GROUP_MOST = 4, 20
ANY_EACH, ANY_MOST = 2, 10
TREE_BEFORE, TREE_LAST = 10, 5
PAIRED, LEARNER = 5, 5
SHARE_MOST = 10


def own_stops(hand: Hand, bend: Bend) -> list[Reason]:
    """Why a person cannot take part in the bend, whoever leads and whenever it is."""
    found = []
    if not hand.active:
        found.append(Reason.of("helper_has_left"))
    if hand.can_lift is None:
        found.append(Reason.of("helper_lifting_not_said"))
    elif not hand.can_lift:
        found.append(Reason.of("helper_no_lifting"))
    if hand.under_age and bend.power_kit:
        found.append(Reason.of("helper_under_age"))
    return found


def lead_stops(hand: Hand, case: Case) -> tuple[Reason, ...]:
    """Why a person cannot lead the bend; empty when he can."""
    found = own_stops(hand, case.bend)
    if hand.level != "expert":
        found.append(Reason.of("lead_not_expert", level=hand.level))
    if case.bend.power_kit and not hand.trained_power:
        found.append(Reason.of("lead_not_trained"))
    return (*found, *_time_stops(case, [hand]))


def helper_stops(hand: Hand, lead: Hand, case: Case) -> tuple[Reason, ...]:
    """Why a person cannot help this lead; empty when he can."""
    found = own_stops(hand, case.bend)
    if hand.level == "novice":
        found.append(Reason.of("helper_novice"))
    elif hand.untried and lead.level != "expert":
        found.append(Reason.of("helper_untried", lead=lead.name))
    return (*found, *_time_stops(case, [hand, lead]))


def conditions_of(hand: Hand, lead: Hand) -> tuple[Reason, ...]:
    """Under what terms a person may help."""
    return (Reason.of("helper_beside_expert", lead=lead.name),) if hand.untried else ()


def _time_stops(case: Case, people: Sequence[Hand]) -> list[Reason]:
    """Why the first of the people is not free with the rest; empty when there is a time."""
    if slot_for(case, people) is not None:
        return []
    first = people[0]
    mine = [day for day in case.days_in_order if first.id in day.hours]
    if not mine:
        return [Reason.of("helper_no_day")]
    open_days = [day for day in mine if not day.holds]
    if not open_days:
        return [Reason.of("helper_days_held")]
    if case.bend.held_min > HELD_LIMIT_MIN:
        return [Reason.of("bend_holds_too_long", minutes=case.bend.held_min, limit_min=HELD_LIMIT_MIN)]
    if any(slot_on(case.bend, day, people, heeding_held=False) for day in open_days):
        return [_held_reason(case.bend, open_days, people)]
    day = open_days[0]
    start, end = day.hours[first.id]
    return [
        Reason.of(
            "helper_not_there" if day.dated else "helper_too_short",
            on=day.date,
            from_clock_min=start,
            to_clock_min=end,
            here_min=end - start,
            minutes=case.bend.minutes,
        )
    ]


def _held_reason(bend: Bend, days: Iterable[Day], people: Sequence[Hand]) -> Reason:
    """The held step in the way: the first person's where he has one, else another's."""
    for hand in people:
        for day in days:
            if spans := day.held.get(hand.id):
                start, end = spans[0]
                return Reason.of(
                    "helper_held_then" if hand is people[0] else "helper_lead_held_then",
                    on=day.date,
                    from_clock_min=start,
                    to_clock_min=end,
                )
    raise ValueError("nobody is held and yet no time is free")


def slot_for(case: Case, people: Iterable[Hand]) -> Slot | None:
    """The earliest time at which all the people are free for the whole bend, or None."""
    team = list(people)
    for day in case.days_in_order:
        if day.holds:
            continue
        found = slot_on(case.bend, day, team)
        if found is not None:
            return found
    return None


def slot_on(bend: Bend, day: Day, people: Sequence[Hand], *, heeding_held: bool = True) -> Slot | None:
    """The earliest time on one day, or None; without ``heeding_held`` promised held steps are overlooked."""
    if any(hand.id not in day.hours for hand in people) or bend.held_min > HELD_LIMIT_MIN:
        return None
    held = [day.held.get(hand.id, ()) if heeding_held else () for hand in people]
    if any(sum(b - a for a, b in spans) + bend.held_min > HELD_LIMIT_MIN for spans in held):
        return None
    taken = sorted(span for spans in held for span in spans)
    clock = DayClock(day.breaks)
    first = max(clock.net(day.hours[hand.id][0]) for hand in people)
    last = min(clock.net(day.hours[hand.id][1]) for hand in people) - bend.minutes
    first = -(-first // GRID_MIN) * GRID_MIN
    for net in range(first, last + 1, GRID_MIN):
        start, end = clock.start(net), clock.end(net + bend.minutes)
        if not any(a < end and start < b for a, b in taken):
            return Slot(day.id, day.date, day.dated, start, end, clock.steps(bend.segments, start))
    return None


def free_at(bend: Bend, day: Day, people: Sequence[Hand], starts_min: int) -> Slot | None:
    """The time that begins at ``starts_min`` if all the people are free for the whole bend, else None."""
    part = {}
    for hand in people:
        if hand.id not in day.hours:
            return None
        part[hand.id] = (max(day.hours[hand.id][0], starts_min), day.hours[hand.id][1])
    found = slot_on(bend, replace(day, hours=part), people)
    return found if found is not None and found.starts_min == starts_min and not day.holds else None


def shared_points(hand: Hand, case: Case, slot: Slot) -> list[Point]:
    """The lines that count for a lead and for a helper alike."""
    return [
        Point(AVAILABLE, AVAILABLE, _available(hand, case, slot)),
        Point(
            min(ON_GROUP_MOST, ON_GROUP_EACH * hand.bends_on_group),
            ON_GROUP_MOST,
            Reason.of("points_group", bends=hand.bends_on_group),
        ),
        Point(
            min(ANY_MOST, ANY_EACH * hand.bends_any), ANY_MOST, Reason.of("points_any", bends=hand.bends_any)
        ),
        Point(
            TREE_BEFORE if hand.tree_before else 0,
            TREE_BEFORE,
            Reason.of("points_tree", worked=hand.tree_before),
        ),
        Point(TREE_LAST if hand.tree_last else 0, TREE_LAST, Reason.of("points_last", last=hand.tree_last)),
        _share(hand, case.average_h),
    ]


def helper_points(hand: Hand, lead: Hand, case: Case, slot: Slot) -> tuple[Point, ...]:
    """Every line of a helper's points beside a lead, zeros too."""
    paired = lead.id in hand.worked_with or hand.id in lead.worked_with
    return (
        *shared_points(hand, case, slot),
        Point(PAIRED if paired else 0, PAIRED, Reason.of("points_paired", lead=lead.name, paired=paired)),
        Point(
            LEARNER if hand.wants_bends else 0, LEARNER, Reason.of("points_learner", wants=hand.wants_bends)
        ),
    )


def _available(hand: Hand, case: Case, slot: Slot) -> Reason:
    day = next(day for day in case.days if (day.id, day.date) == (slot.day_id, slot.date))
    start, end = day.hours[hand.id]
    return Reason.of(
        "points_here" if slot.dated else "points_usual",
        on=slot.date,
        from_clock_min=start,
        to_clock_min=end,
        start_clock_min=slot.starts_min,
        here_min=end - start,
    )


def _share(hand: Hand, average_h: float) -> Point:
    """Ten points for no hours at all down to none at the average share, in whole points."""
    below = 1 - hand.hours_given / average_h if average_h > 0 else 0.0
    points = max(0, int(SHARE_MOST * below))
    return Point(
        points,
        SHARE_MOST,
        Reason.of("points_share", hours=round(hand.hours_given, 1), average=round(average_h, 1)),
    )
