"""Rounds of the past: each walked by somebody on a day of its own, a few forgotten."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from collection.models import Job
from collection.queries.access import Actor
from collection.usecases import rounds
from collection.usecases.sample.hands import Hand
from collection.usecases.sample.past import Story
from collection.usecases.sittings import Worked

# How often a round is forgotten, and how often two walk it (assumption).
FORGOTTEN, TOGETHER = 0.06, 0.12
# A round is walked within so many days of the first on which it may be (assumption).
LATE_DAYS = 6
LEAST_MIN = 5
# Minutes after a workday opens at which rounds are walked: when everybody's other work is over.
LATE_MIN = 480


@dataclass(frozen=True, slots=True)
class Due:
    """A round that is open, and the place it is at."""

    round_id: int
    bench: str
    site: str
    task: str
    opens: date
    closes: date
    minutes: float


def walk_until(story: Story, on: date) -> int:
    """Tick the rounds whose day came before or on a day; returns how many."""
    walked = 0
    for due in _open_rounds(story.actor.club_id, on):
        draw = random.Random(f"{story.files.key} {due.task} {due.site} {due.bench} {due.opens.isoformat()}")
        if draw.random() < FORGOTTEN:
            continue
        late = draw.randint(0, min(LATE_DAYS, (due.closes - due.opens).days))
        day = due.opens + timedelta(days=late)
        if day <= on:
            _walk(story, due, day, _who(story.hands, due.site, draw))
            walked += 1
    return walked


def _open_rounds(club_id: int, on: date) -> list[Due]:
    rows = Job.objects.filter(club_id=club_id, round__isnull=False, state=Job.State.OPEN, opens__lte=on)
    rows = rows.filter(round__lines__isnull=False, estimate__isnull=False).distinct().order_by("opens", "id")
    found = rows.values_list(
        "round_id", "round__bench__name", "round__bench__site__name", "task", "opens", "closes",
        "estimate__mean_min",
    )  # fmt: skip
    return [Due(row[0], row[1] or "", row[2] or "", *row[3:]) for row in found]


def _who(hands: Sequence[Hand], site: str, draw: random.Random) -> list[Hand]:
    """At a member's home the member; elsewhere whoever comes often, now and then with somebody."""
    home = [hand for hand in hands if site.endswith(hand.name)]
    if home:
        return home[:1]
    first = draw.choices(hands, [hand.comes for hand in hands])[0]
    others = [hand for hand in hands if hand is not first]
    return [first, draw.choice(others)] if others and draw.random() < TOGETHER else [first]


def _walk(story: Story, due: Due, day: date, people: Sequence[Hand]) -> None:
    """One round after the other: nobody walks two at once."""
    each = max(LEAST_MIN, round(due.minutes * people[0].pace / len(people)))
    start = max(story.walked.get((hand.member_id, day), LATE_MIN) for hand in people)
    story.walked |= {(hand.member_id, day): start + each for hand in people}
    rounds.tick(
        actor=_actor(story, people[0]),
        round_id=due.round_id,
        people=[Worked(hand.member_id, each) for hand in people],
        started=story.at(day, start),
        ended=story.at(day, start + each),
        request_key=f"replay-round-{due.round_id}",
    )


def _actor(story: Story, hand: Hand) -> Actor:
    """Whoever walked it wrote it down."""
    return replace(story.actor, member_id=hand.member_id, name=hand.name, role="member")
