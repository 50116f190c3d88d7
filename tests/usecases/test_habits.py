"""Weekly hours: adding, changing, ending."""

from __future__ import annotations

from datetime import date

import pytest

from collection.models import Change, Habit
from collection.queries.errors import Refused
from collection.queries.sentences import say
from collection.usecases import habits
from tests.factories import MemberFactory, actor_of, coordinator

pytestmark = pytest.mark.django_db
MONDAY = date(2027, 3, 1)


def code(call) -> str:
    with pytest.raises(Refused) as caught:
        call()
    assert say(caught.value.reason)
    return caught.value.reason.code


def add(member, **fields) -> int:
    values = {"weekday": 2, "minutes": 150, "starts": MONDAY, **fields}
    return habits.add_habit(actor=actor_of(member), member_id=member.pk, **values)


def test_a_member_gives_changes_and_ends_his_own_hours():
    member = MemberFactory()
    me, pk = actor_of(member), add(member)
    habits.change_habit(actor=me, habit_id=pk, version=1, minutes=90, every_weeks=2)
    habits.end_habit(actor=me, habit_id=pk, version=2, last_day=date(2027, 5, 1))
    habit = Habit.objects.get(pk=pk)
    assert (habit.minutes, habit.every_weeks, habit.ends) == (90, 2, date(2027, 5, 1))
    assert Change.objects.filter(table="habit", row=pk).count() == 3
    assert code(lambda: habits.end_habit(actor=me, habit_id=pk, version=2, last_day=MONDAY)) == "stale"


def test_hours_that_have_not_begun_are_taken_off_the_books():
    member = MemberFactory()
    pk = add(member)
    habits.end_habit(actor=actor_of(member), habit_id=pk, version=1, last_day=date(2027, 2, 1))
    assert not Habit.objects.exists()


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"weekday": 7}, "habit_weekday"),
        ({"weekday": -1}, "habit_weekday"),
        ({"minutes": 0}, "habit_minutes"),
        ({"minutes": 901}, "habit_minutes"),
        ({"every_weeks": 0}, "habit_weeks"),
        ({"every_weeks": 9}, "habit_weeks"),
        ({}, "habit_there"),
    ],
)
def test_hours_are_refused(fields, expected):
    member = MemberFactory()
    if not fields:
        add(member)
    assert code(lambda: add(member, **fields)) == expected


def test_changed_hours_are_looked_at_like_new_ones():
    member = MemberFactory()
    me, pk = actor_of(member), add(member)
    other = add(member, weekday=4)
    change = {"actor": me, "habit_id": pk, "version": 1}
    assert code(lambda: habits.change_habit(**change, minutes=0)) == "habit_minutes"
    assert code(lambda: habits.change_habit(**change, ends=date(2027, 2, 1))) == "habit_ends"
    assert code(lambda: habits.change_habit(**change, member_id=1)) == "field_unknown"
    assert code(lambda: habits.change_habit(**change, weekday=4)) == "habit_there"
    assert Habit.objects.get(pk=other).version == Habit.objects.get(pk=pk).version == 1


def test_a_coordinator_writes_hours_down_for_a_member_and_a_member_for_nobody_else():
    member = MemberFactory()
    boss, friend = coordinator(member.club), actor_of(MemberFactory(club=member.club))
    pk = habits.add_habit(actor=boss, member_id=member.pk, weekday=0, minutes=60, starts=MONDAY)
    change = {"habit_id": pk, "version": 1, "minutes": 30}
    assert code(lambda: habits.change_habit(actor=friend, **change)) == "coordinators_only"
    assert code(lambda: habits.change_habit(actor=coordinator(), **change)) == "not_found"
    assert (
        code(
            lambda: habits.add_habit(actor=friend, member_id=member.pk, weekday=1, minutes=60, starts=MONDAY)
        )
        == "coordinators_only"
    )
