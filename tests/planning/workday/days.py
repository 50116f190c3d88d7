"""Days to plan: from the files in fixtures/plans, and made up from a number."""

from __future__ import annotations

import json
import random
from datetime import date
from pathlib import Path
from typing import Any

from collection.craft.reasons import Reason
from collection.planning.workday.problem import Break, JobSpec, Person, Pin, Problem, Segment, paced

PLANS = Path(__file__).parents[3] / "fixtures" / "plans"
PACE = {"novice": 1.8, "learning": 1.3, "practised": 1.0, "expert": 0.75}
FAMILIES = ("wiring", "candles_needles")
A_DAY = date(2026, 11, 28)


def clock(text: str) -> int:
    hours, minutes = text.split(":")
    return int(hours) * 60 + int(minutes)


def read(name: str) -> dict[str, Any]:
    return json.loads((PLANS / f"{name}.json").read_text())


def problem_from(data: dict[str, Any]) -> Problem:
    """The day that a file in fixtures/plans describes; times are written as 9:30."""
    day = data["day"]
    return Problem(
        date=date.fromisoformat(day["date"]),
        opens_min=clock(day["opens"]),
        closes_min=clock(day["closes"]),
        briefing_min=day.get("briefing_min", 0),
        closing_min=day.get("closing_min", 0),
        breaks=tuple(Break(clock(start), clock(end)) for start, end in day.get("breaks", [])),
        people=tuple(_person(one) for one in data["people"]),
        jobs=tuple(_job(one) for one in data["jobs"]),
        previous_team={int(tree): frozenset(team) for tree, team in data.get("last_hands", {}).items()},
        pins=tuple(
            Pin(one["job"], tuple(one["persons"]) if "persons" in one else None, one.get("start_min"))
            for one in data.get("pins", [])
        ),
        left_out=frozenset(data.get("left_out", [])),
    )


def _person(one: dict[str, Any]) -> Person:
    return Person(
        id=one["id"],
        name=one["name"],
        arrives_min=clock(one["arrives"]),
        leaves_min=clock(one["leaves"]),
        levels=one.get("levels", {}),
        may_lead=frozenset(one.get("may_lead", [])),
        may_hold=one.get("may_hold", False),
        not_free_for=frozenset(one.get("not_free_for", [])),
    )


def _job(one: dict[str, Any]) -> JobSpec:
    values = {name: value for name, value in one.items() if name not in ("parts", "after", "holds")}
    if "parts" in one:
        parts = tuple(Segment(kind, minutes) for kind, minutes in one["parts"])
        values["minutes_by_level"], values["segments"] = paced(parts, PACE)
    values["after"] = frozenset(one.get("after", []))
    values["holds"] = tuple(Reason.from_json(reason) for reason in one.get("holds", []))
    return JobSpec(**values)


def made_up(number: int, most_jobs: int = 5, most_people: int = 4) -> Problem:
    """A small day; the same number gives the same day, with more work than hands as a rule."""
    draw = random.Random(number)
    opens = 570
    closes = opens + draw.choice((150, 180, 240))
    breaks = draw.choice(((), (Break(645, 660),), (Break(645, 660), Break(690, 705))))
    people = tuple(
        _made_up_person(draw, who, opens, closes)
        for who in range(1, draw.choice((1, *range(2, most_people + 1), most_people)) + 1)
    )
    jobs: list[JobSpec] = []
    for job_id in range(1, draw.choice((2, *range(3, most_jobs + 1), most_jobs, most_jobs)) + 1):
        jobs.append(_made_up_job(draw, job_id, jobs))
    return Problem(
        A_DAY, opens, closes, people, tuple(jobs), draw.choice((0, 15)), draw.choice((0, 15)), breaks
    )


def _made_up_person(draw: random.Random, who: int, opens: int, closes: int) -> Person:
    levels = {family: draw.choices(tuple(PACE), (1, 2, 4, 2))[0] for family in FAMILIES}
    return Person(
        id=who,
        name=f"Person {who}",
        arrives_min=opens + draw.choice((0, 0, 0, 30, 80)),
        leaves_min=closes - draw.choice((0, 0, 0, 35, 60)),
        levels=levels,
        may_lead=frozenset(family for family in FAMILIES if draw.random() < 0.9),
        may_hold=draw.random() < 0.8,
        not_free_for=frozenset({"WIRE_DETAIL"} if draw.random() < 0.1 else ()),
    )


def _made_up_job(draw: random.Random, job_id: int, others: list[JobSpec]) -> JobSpec:
    crew = draw.choices((1, 2, 3), (6, 4, 1))[0]
    parts = [Segment("setup", 10), Segment("work", draw.choice((15, 35, 60, 90)))]
    if draw.random() < 0.35:
        parts.append(Segment("held", draw.choice((20, 45, 70))))
        parts.append(Segment("work", draw.choice((5, 15))))
    may_split = draw.random() < 0.3
    if may_split:
        parts.append(Segment("work", draw.choice((90, 150))))
    minutes, segments = paced(tuple(parts), PACE)
    tree = draw.randint(1, 5)
    before = [other.id for other in others if other.tree == tree and draw.random() < 0.5]
    lead_level = draw.choice((None, None, None, None, None, "practised", "expert"))
    return JobSpec(
        id=job_id,
        tree=tree,
        task=draw.choice(("WIRE_DETAIL", "WIRE_STRUCT", "BUD_SELECT")),
        family=draw.choice(FAMILIES),
        least_skill=draw.choice(("novice", "learning", "learning", "practised")),
        stress=draw.choice((0, 1, 2, 3)),
        minutes_by_level=minutes,
        value_min=sum(part.minutes for part in parts),
        crew=crew,
        lead_level=lead_level,
        segments=segments,
        priority=draw.randint(1, 9),
        closes_before_next=draw.random() < 0.2,
        after=frozenset(before),
        may_split=may_split,
        min_sitting_min=45,
        per_sitting_setup_min=10,
        holds=(Reason.of("tree_rests", until=date(2026, 12, 14), after="REPOT"),)
        if draw.random() < 0.05
        else (),
        tree_is_here=draw.random() < 0.95,
    )
