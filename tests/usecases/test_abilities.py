"""What people can do: a later word of the same day holds, and the trail has both."""

from __future__ import annotations

from datetime import date

import pytest

from collection.models import Change, Declaration, MemberSkill
from collection.usecases import abilities
from tests.factories import MemberFactory, actor_of

pytestmark = pytest.mark.django_db
DAY = date(2027, 3, 1)


def lines(table: str) -> list[tuple[dict, dict]]:
    return list(Change.objects.filter(table=table).order_by("id").values_list("before", "after"))


def test_a_level_said_twice_on_a_day_is_one_row_and_the_trail_keeps_both():
    planner = MemberFactory(coordinator=True)
    said = {"actor": actor_of(planner), "member_id": planner.pk, "family": "bending", "since": DAY}
    abilities.set_skill(**said, level="learning")
    abilities.set_skill(**said, level="expert")
    abilities.set_skill(**said, level="expert")
    assert MemberSkill.objects.get().level == "expert"
    first, second = lines("memberskill")
    assert (first[0], first[1]["level"]) == ({}, "learning")
    assert second == ({"level": "learning"}, {"level": "expert"})


def test_an_answer_said_twice_on_a_day_is_one_row_and_another_day_is_another():
    member = MemberFactory()
    said = {"actor": actor_of(member), "member_id": member.pk, "kind": "can_lift"}
    abilities.declare(**said, answer=True, on=DAY)
    abilities.declare(**said, answer=False, on=DAY)
    assert Declaration.objects.get().answer is False
    assert lines("declaration")[1] == ({"answer": True}, {"answer": False})
    abilities.declare(**said, answer=True, on=date(2027, 3, 2))
    assert Declaration.objects.count() == 2
