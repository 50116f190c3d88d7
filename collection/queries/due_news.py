"""News that a use case told of when it happened: whether it still holds, with its values as they are now."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from collection.models import Invitation, Job, Notice, Place, Plan, Workday
from collection.queries.due_days import day_values
from collection.queries.mail_times import CANNOT_WAIT, ends_at, starts_at
from collection.queries.notice_kinds import TOLD, WAYS, NoticeKind, row_of

# A link needs these as they are now; what was told keeps the values it was told with.
OF_THE_ROW = ("workday", "version", "until", "ends_at", "zone")


@dataclass(frozen=True, slots=True)
class _Now:
    """The rows that some notices are about, as they are now."""

    days: dict[int, Workday]
    places: dict[int, Place]
    asked: frozenset[int]
    sent_out: frozenset[tuple[int, int]]

    def day(self, notice: Notice) -> Workday | None:
        """The workday of a notice about a day or about a place on it."""
        row = row_of(notice.subject)
        if notice.subject.startswith("place:"):
            return self.places[row].workday if row in self.places else None
        return self.days.get(row)


def news(notices: Iterable[Notice], now: datetime) -> dict[int, dict[str, Any]]:
    """Values of each told notice that still holds, by its id; four queries whatever their number."""
    told = [notice for notice in notices if notice.kind in TOLD]
    if not told:
        return {}
    rows, found = _rows_of(told), {}
    for notice in told:
        day = rows.day(notice)
        if day is None or ends_at(day) <= now or not HOLDS[notice.kind](notice, day, rows):
            continue
        fresh = day_values(day, now)
        found[notice.pk] = dict(notice.values) | {name: fresh[name] for name in OF_THE_ROW}
        if day.state not in (Workday.State.OPEN, Workday.State.SENT):
            found[notice.pk]["until"] = ""
    return found


def cannot_wait(notices: Iterable[Notice], now: datetime) -> set[int]:
    """Ids of news of a day that begins within two days: it does not wait for the next morning."""
    urgent = [n for n in notices if n.kind in TOLD and WAYS[n.kind].at_once]
    if not urgent:
        return set()
    rows = _rows_of(urgent)
    return {n.pk for n in urgent if (day := rows.day(n)) and starts_at(day) - now < CANNOT_WAIT}


def _rows_of(notices: Iterable[Notice]) -> _Now:
    told = list(notices)
    of_places = {row_of(n.subject) for n in told if n.subject.startswith("place:")}
    of_days = {row_of(n.subject) for n in told if n.subject.startswith("workday:")}
    questions = {n.values.get("invitation") for n in told if n.kind == NoticeKind.PLACE_ASKED}
    plans = Plan.objects.filter(workday__in=of_days, sent_out=True)
    return _Now(
        Workday.objects.select_related("site").in_bulk(of_days),
        Place.objects.select_related("workday__site", "winner", "job").in_bulk(of_places),
        frozenset(
            Invitation.objects.filter(pk__in=questions - {None}, answer="").values_list("pk", flat=True)
        ),
        frozenset(plans.values_list("workday_id", "number")),
    )


Holds = Callable[[Notice, Workday, _Now], bool]


def _goes_on(notice: Notice, day: Workday, rows: _Now) -> bool:
    return day.state != Workday.State.CANCELLED


def _cancelled(notice: Notice, day: Workday, rows: _Now) -> bool:
    return day.state == Workday.State.CANCELLED


def _moved(notice: Notice, day: Workday, rows: _Now) -> bool:
    return _goes_on(notice, day, rows) and notice.values.get("date") == day.date.isoformat()


def _plan_out(notice: Notice, day: Workday, rows: _Now) -> bool:
    return _goes_on(notice, day, rows) and (day.pk, notice.values.get("plan", 0)) in rows.sent_out


def _wanted(place: Place) -> bool:
    """The work still waits: not so when the tree has left, or the bend was given up or done."""
    return place.job is None or place.job.state == Job.State.OPEN


def _asked(notice: Notice, day: Workday, rows: _Now) -> bool:
    place = rows.places[row_of(notice.subject)]
    free = place.winner_id is None and _wanted(place)
    return _goes_on(notice, day, rows) and free and notice.values.get("invitation") in rows.asked


def _given(notice: Notice, day: Workday, rows: _Now) -> bool:
    place = rows.places[row_of(notice.subject)]
    winner = place.winner if _wanted(place) else None
    return _goes_on(notice, day, rows) and winner is not None and winner.name == notice.values.get("who")


def _back(notice: Notice, day: Workday, rows: _Now) -> bool:
    place = rows.places[row_of(notice.subject)]
    return _goes_on(notice, day, rows) and place.winner_id is None and _wanted(place)


HOLDS: dict[str, Holds] = {
    NoticeKind.PLAN_OUT: _plan_out,
    NoticeKind.DAY_MOVED: _moved,
    NoticeKind.DAY_CANCELLED: _cancelled,
    NoticeKind.ANSWER_CHANGED: _goes_on,
    NoticeKind.PLACE_ASKED: _asked,
    NoticeKind.PLACE_GIVEN: _given,
    NoticeKind.PLACE_BACK: _back,
}
