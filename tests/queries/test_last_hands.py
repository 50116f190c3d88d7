"""Last hands in words: whose minutes, and whether they were shared out; what is more than a round counts."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from collection.queries.trees import hands_sentence, last_hands
from collection.usecases.sittings import TaskDone, Worked, record
from tests.factories import MemberFactory, TreeFactory, actor_of
from tests.usecases.test_rounds import House

pytestmark = pytest.mark.django_db
BEGAN = datetime(2027, 3, 4, 9, tzinfo=UTC)


@pytest.fixture
def house() -> House:
    return House()


def work(house: House, trees: int, minutes: list[float], **more: object) -> str:
    """What the first tree's last hands say after some people worked on some trees."""
    people = [MemberFactory(club=house.club) for _ in minutes]
    told = {
        "tasks": [TaskDone("TRIM")],
        "started": BEGAN,
        "ended": BEGAN + timedelta(hours=2),
        "request_key": "w",
    }
    record(
        actor=actor_of(people[0]), trees=[tree.pk for tree in house.trees[:trees]],
        people=[Worked(p.pk, m) for p, m in zip(people, minutes, strict=True)], **(told | more),
    )  # fmt: skip
    return hands_sentence(last_hands([house.trees[0].pk])[house.trees[0].pk])


@pytest.mark.parametrize(
    ("trees", "minutes", "more", "said"),
    [
        (1, [40], {}, "Trimming, 40 min"),
        (1, [40, 40], {}, "Trimming, 40 min each"),
        (1, [50, 40], {}, "Trimming, 1 h 30 between them"),
        (2, [40], {}, "Trimming, about 20 min, shared out by estimate"),
        (2, [40, 40], {}, "Trimming, about 20 min each, shared out by estimate"),
        (4, [60, 20], {}, "Trimming, about 20 min between them, shared out by estimate"),
        (4, [1], {}, "Trimming, about a minute, shared out by estimate"),
        (1, [75, 75], {"by_estimate": True}, "Trimming, about 1 h 15 each, shared out by estimate"),
    ],
)
def test_the_minutes_are_said_as_they_are_known(
    house: House, trees: int, minutes: list[float], more: dict, said: str
):
    assert work(house, trees, minutes, **more) == said


def test_work_beside_a_round_is_work_and_a_round_alone_is_not(house: House):
    house.tick()
    assert last_hands([tree.pk for tree in house.trees]) == {}
    both = [TaskDone("TRIM"), TaskDone("TURN", job_id=house.job.pk)]
    assert work(house, 1, [30], tasks=both, request_key="b") == "Trimming, turning, 30 min"


def test_the_newest_real_work_stands_however_many_rounds_came_after(house: House):
    said = work(house, 1, [40])
    house.tick(started=BEGAN + timedelta(days=9), ended=BEGAN + timedelta(days=9, hours=1))
    tree = house.trees[0].pk
    assert hands_sentence(last_hands([tree])[tree]) == said
    assert TreeFactory(site=house.bench.site).pk not in last_hands([tree])
