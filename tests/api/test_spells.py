"""A spell of work as a program tells it: what the forms refuse, the API refuses in the same words."""

from __future__ import annotations

from typing import Any

import pytest

from collection.models import Member, Sitting
from tests.api.conftest import Program
from tests.factories import SiteFactory, TreeFactory

NOON = "2027-03-03T12:00:00+00:00"


@pytest.fixture
def told(planner: Member, time_machine: Any) -> dict[str, Any]:
    """An hour before noon, as it is told at noon."""
    time_machine.move_to(NOON, tick=False)
    return {
        "trees": [TreeFactory(site=SiteFactory(club=planner.club)).pk],
        "tasks": [{"task": "TRIM"}],
        "people": [{"member_id": planner.pk, "minutes": 60}],
        "started": "2027-03-03T11:00:00Z",
        "ended": NOON,
    }


def problem(answer: Any) -> tuple[int, str]:
    return answer.status_code, answer.json()["code"]


def test_an_hour_that_fits_is_kept_and_one_that_ends_as_it_is_written_down_too(planner: Member, told: Any):
    program = Program(planner)
    assert program.post("sittings", told).status_code == 201
    assert program.post("sittings", told | {"ended": "2027-03-03T12:15:00Z"}).status_code == 201
    assert Sitting.objects.count() == 2


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"ended": "2027-03-03T12:16:00Z"}, "sitting_ahead"),
        ({"started": "2027-03-03T11:02:00Z"}, "minutes_over_span"),
        ({"ended": "2027-03-03T10:00:00Z"}, "sitting_times"),
    ],
)
def test_what_cannot_have_been_is_refused_and_nothing_is_written(
    planner: Member, told: Any, changed: Any, code: str
):
    assert problem(Program(planner).post("sittings", told | changed)) == (400, code)
    assert not Sitting.objects.exists()


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"ended": "2027-03-03T12:16:00Z"}, "sitting_ahead"),
        ({"started": "2027-03-03T11:02:00Z"}, "minutes_over_span"),
    ],
)
def test_a_sitting_is_not_put_right_to_what_cannot_have_been(
    planner: Member, told: Any, changed: Any, code: str
):
    program = Program(planner)
    [old] = program.post("sittings", told).json()["sittings"]
    body = {k: v for k, v in told.items() if k != "trees"} | {"tree_id": told["trees"][0]} | changed
    assert problem(program.post(f"sittings/{old['id']}/corrections", body)) == (400, code)
    assert Sitting.objects.count() == 1
