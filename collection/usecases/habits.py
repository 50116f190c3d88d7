"""Hours that somebody gives most weeks, outside dated workdays."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import IntegrityError, transaction

from collection.models import Habit
from collection.queries.access import Actor, habit_for, member_for, must_be_or_plan
from collection.queries.errors import Refused
from collection.usecases.edit import created, edit

MOST_MINUTES, MOST_WEEKS = 900, 8
EDITABLE = frozenset({"weekday", "every_weeks", "minutes", "starts", "ends"})


def add_habit(
    *, actor: Actor, member_id: int, weekday: int, minutes: int, starts: date, every_weeks: int = 1
) -> int:
    """Write down hours a member gives on a weekday (0 is Monday): he himself, or a coordinator.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``habit_weekday``, ``habit_minutes``, ``habit_weeks``
            or ``habit_there``.
    """
    must_be_or_plan(actor, member_id)
    member = member_for(actor, member_id)
    fields = {"weekday": weekday, "minutes": minutes, "every_weeks": every_weeks, "starts": starts}
    _check(fields)
    try:
        with transaction.atomic():
            habit = Habit.objects.create(club_id=actor.club_id, member=member, **fields)
            created(habit, actor, *fields, "member")
    except IntegrityError:
        raise Refused("habit_there", kind="conflict", field="weekday") from None
    return habit.pk


def change_habit(*, actor: Actor, habit_id: int, version: int, **changes: Any) -> None:
    """Change weekly hours.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``stale``, ``field_unknown``, ``habit_weekday``,
            ``habit_minutes``, ``habit_weeks``, ``habit_ends`` or ``habit_there``.
    """
    habit = habit_for(actor, habit_id)
    if unknown := set(changes) - EDITABLE:
        raise Refused("field_unknown", field=sorted(unknown)[0], given=sorted(unknown)[0])
    _check(changes)
    ends = changes.get("ends", habit.ends)
    if ends is not None and ends < changes.get("starts", habit.starts):
        raise Refused("habit_ends", field="ends")
    try:
        with transaction.atomic():
            edit(habit, version, changes, actor)
    except IntegrityError:
        raise Refused("habit_there", kind="conflict", field="weekday") from None


def end_habit(*, actor: Actor, habit_id: int, version: int, last_day: date) -> None:
    """Let weekly hours end with a day; hours that have not begun by then are taken off the books.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``stale``.
    """
    habit = habit_for(actor, habit_id)
    with transaction.atomic():
        edit(habit, version, {"ends": last_day}, actor)
        if last_day < habit.starts:
            habit.delete()


def _check(fields: dict[str, Any]) -> None:
    if not 0 <= fields.get("weekday", 0) <= 6:
        raise Refused("habit_weekday", field="weekday")
    if not 1 <= fields.get("minutes", 1) <= MOST_MINUTES:
        raise Refused("habit_minutes", field="minutes")
    if not 1 <= fields.get("every_weeks", 1) <= MOST_WEEKS:
        raise Refused("habit_weeks", field="every_weeks", most=MOST_WEEKS)
