"""People, days and bends for the tests of helpers; every default is somebody whom nothing stops."""

from __future__ import annotations

from datetime import date
from typing import Any

from hypothesis import strategies as st

from collection.craft.reasons import Reason
from collection.planning.helper_facts import Bend, Case, Day, Hand
from collection.planning.workday.problem import Break, Segment

ON = date(2027, 3, 6)
LATER = date(2027, 3, 20)
PARTS = (Segment("setup", 10), Segment("work", 15), Segment("held", 60), Segment("clean", 15))
OPENS, CLOSES = 9 * 60 + 30, 13 * 60 + 30


def hand(person: int, **fields: Any) -> Hand:
    """A practised person who can lift; ``expert=True`` for somebody who may lead."""
    level = "expert" if fields.pop("expert", False) else "practised"
    return Hand(**{"id": person, "name": f"P{person}", "level": level, "can_lift": True, **fields})


def day(*people: int, on: date = ON, **fields: Any) -> Day:
    """A workday on which the people are there from 9:30 to 13:30."""
    hours = dict.fromkeys(people, (OPENS, CLOSES))
    return Day(**{"id": on.toordinal(), "date": on, "hours": hours, **fields})


def bend(**fields: Any) -> Bend:
    """A bend for two, 100 min on the clock, 60 of them held."""
    return Bend(**{"id": 1, "crew": 2, "segments": PARTS, **fields})


LEVELS = st.sampled_from(["novice", "learning", "practised", "expert"])
CLOCK = st.integers(0, 48).map(lambda n: 9 * 60 + n * 5)


@st.composite
def hands(draw: Any, person: int) -> Hand:
    on_group = draw(st.integers(0, 6))
    return Hand(
        id=person,
        name=f"P{person}",
        level=draw(LEVELS),
        active=draw(st.sampled_from([True, True, True, False])),
        can_lift=draw(st.sampled_from([True, True, True, False, None])),
        trained_power=draw(st.booleans()),
        wants_bends=draw(st.booleans()),
        under_age=draw(st.sampled_from([False, False, True])),
        bends_on_group=on_group,
        bends_any=on_group + draw(st.integers(0, 3)),
        tree_before=draw(st.booleans()),
        tree_last=draw(st.booleans()),
        worked_with=frozenset(draw(st.sets(st.integers(1, 8), max_size=3))),
        hours_given=float(draw(st.integers(0, 40))),
    )


@st.composite
def days(draw: Any, on: date, people: int) -> Day:
    hours, held = {}, {}
    for person in range(1, people + 1):
        start, end = sorted((draw(CLOCK), draw(CLOCK)))
        if draw(st.booleans()) and end > start:
            hours[person] = (start, end)
            first, last = sorted((draw(CLOCK), draw(CLOCK)))
            if draw(st.sampled_from([False, False, True])) and last > first:
                held[person] = ((first, last),)
    pause = draw(st.sampled_from([(), (Break(11 * 60, 11 * 60 + 20),)]))
    holds = draw(st.sampled_from([(), (), (), (Reason.of("tree_is_weak"),)]))
    return Day(on.toordinal(), on, hours, pause, held, holds)


@st.composite
def cases(draw: Any, crew: int | None = None, lead_set: bool | None = None) -> Case:
    people = draw(st.integers(2, 6))
    kept = tuple(draw(hands(person)) for person in range(1, people + 1))
    with_lead = draw(st.booleans()) if lead_set is None else lead_set
    wanted = Bend(
        id=1,
        crew=crew or draw(st.integers(1, 3)),
        segments=PARTS,
        power_kit=draw(st.booleans()),
        lead=draw(st.integers(1, people)) if with_lead else None,
    )
    ahead = tuple(draw(days(on, people)) for on in (ON, LATER)[: draw(st.integers(1, 2))])
    return Case(wanted, kept, ahead, average_h=float(draw(st.integers(0, 30))))
