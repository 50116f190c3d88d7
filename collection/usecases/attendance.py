"""The day itself: who came, and that it was held."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, time
from typing import Any

from django.db import transaction

from collection.models import Attendance, Change, Member, Offer, Workday
from collection.queries.access import Actor, must_plan, workday_for
from collection.queries.day_after import has_come
from collection.queries.errors import Refused
from collection.usecases.edit import change_of, edit
from collection.usecases.locks import lock

Hours = tuple[time | None, time | None]


def mark_came(
    *,
    actor: Actor,
    workday_id: int,
    member_ids: Iterable[int],
    today: date,
    hours: Mapping[int, Hours] | None = None,
    held: bool = False,
) -> None:
    """Say who came; everybody else who had said yes, or was ticked before, did not.

    The later word on somebody holds, and the trail of changes keeps both.

    Args:
        today: The day it is in the club; nobody came to a day that is still ahead.
        hours: From when to when somebody was there, by member; left out where nobody noted it.
        held: Also says that the day took place, which ends it.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``day_cancelled``, ``day_not_yet`` or
            ``came_times``.
    """
    must_plan(actor)
    day = workday_for(actor, workday_id)
    has_come(day, today)
    came, noted = set(member_ids), dict(hours or {})
    known = Member.objects.filter(club_id=actor.club_id, pk__in=came)
    if set(known.values_list("pk", flat=True)) != came:
        raise Refused("not_found", kind="not_found")
    for arrived, left in noted.values():
        if arrived and left and left <= arrived:
            raise Refused("came_times", field="left")
    with transaction.atomic():
        lock(Workday.objects.filter(pk=day.pk))
        _write(actor, day, came, noted)
        if held:
            edit(day, day.version, {"state": Workday.State.HELD}, actor)


def _write(actor: Actor, day: Workday, came: set[int], noted: Mapping[int, Hours]) -> None:
    rows = {row.member_id: row for row in Attendance.objects.filter(workday=day)}
    expected = Offer.objects.filter(workday=day, answer="yes").values_list("member_id", flat=True)
    changes = []
    for member_id in sorted({*came, *expected, *rows}):
        row = rows.get(member_id) or Attendance(club_id=day.club_id, workday=day, member_id=member_id)
        before = _facts(row) if row.pk else {}
        row.came = member_id in came
        row.arrived, row.left = noted.get(member_id, (None, None)) if row.came else (None, None)
        if before != _facts(row):
            row.save()
            changes.append(change_of(row, actor, before=before, after=_facts(row)))
    Change.objects.bulk_create(changes)


def _facts(row: Attendance) -> dict[str, Any]:
    return {"member": row.member_id, "came": row.came, "arrived": row.arrived, "left": row.left}


def hold(*, actor: Actor, workday_id: int, today: date) -> None:
    """The day took place.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``day_cancelled`` or ``day_not_yet``.
    """
    must_plan(actor)
    day = workday_for(actor, workday_id)
    has_come(day, today)
    edit(day, day.version, {"state": Workday.State.HELD}, actor)
