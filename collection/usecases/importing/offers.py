"""Rows of a sheet as hours offered: answers for dated workdays, and hours given most weeks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, time
from typing import Any

from collection.craft.reasons import Reason
from collection.models import Change, Club, Habit, Offer, Workday
from collection.queries.access import Actor
from collection.usecases.edit import change_of
from collection.usecases.importing.headings import DAY
from collection.usecases.importing.made import Made
from collection.usecases.importing.numbers import CannotRead
from collection.usecases.importing.people_names import Directory
from collection.usecases.importing.trees import BATCH, Checked
from collection.usecases.importing.values import Draft
from collection.usecases.workdays import out_of_date

CLOSED = ("held", "cancelled")


@dataclass(frozen=True, slots=True)
class DayAnswer:
    """A member's answer for one workday; wall times of the club."""

    workday_id: int
    member_id: int
    answer: str
    arrives: time
    leaves: time


@dataclass(frozen=True, slots=True)
class Weekly:
    """Minutes a member gives most weeks; weekday 0 is Monday."""

    member_id: int
    weekday: int
    every_weeks: int
    minutes: int
    starts: date
    ends: date | None


def check(drafts: Sequence[Draft], club: Club, today: date) -> Checked:
    """Match every row with a member and a workday; problems are added to the drafts. Writes nothing."""
    directory = Directory(club)
    known = _Known(club)
    checked = Checked()
    for draft in drafts:
        member_id = _member(draft, directory)
        if member_id is not None and not draft.problems:
            draft.values["items"] = list(_items(draft, member_id, known, today))
        if draft.problems:
            continue
        (checked.ready if draft.values["items"] else checked.unchanged).append(draft)
    items = [item for draft in checked.ready for item in draft.values["items"]]
    answers = sum(isinstance(item, DayAnswer) for item in items)
    checked.makes = [Reason.of("import_makes_offers", answers=answers, habits=len(items) - answers)]
    return checked


class _Known:
    """Workdays, offers and habits of the club in three queries, and what the file has said so far."""

    def __init__(self, club: Club) -> None:
        self.days: dict[date, list[Workday]] = {}
        for day in Workday.objects.filter(club=club).exclude(state="cancelled").order_by("date", "pk"):
            self.days.setdefault(day.date, []).append(day)
        self.offers = {
            (offer.member_id, offer.workday_id): (offer.answer, offer.arrives, offer.leaves)
            for offer in Offer.objects.filter(club=club)
        }
        self.habits: dict[tuple[int, int], tuple[int, int, date | None]] = {}
        for habit in Habit.objects.filter(club=club).order_by("starts"):
            self.habits[habit.member_id, habit.weekday] = (habit.minutes, habit.every_weeks, habit.ends)
        self.from_file: set[tuple[str, int, int]] = set()


def _member(draft: Draft, directory: Directory) -> int | None:
    name = draft.values.get("member", "")
    if not name:
        draft.wrong("member", Reason.of("import_name_missing"))
        return None
    try:
        return directory.find(name).pk
    except CannotRead as error:
        draft.wrong("member", error.reason, name)
        return None


def _items(draft: Draft, member_id: int, known: _Known, today: date) -> Iterator[DayAnswer | Weekly]:
    """What a row offers that is not on record yet."""
    wanted = _day_answers(draft)
    for name, day, answer, arrives, leaves in wanted:
        item = _day_item(draft, member_id, known, (name, day, answer, arrives, leaves))
        if item is not None:
            yield item
    if "weekday" in draft.values:
        habit = _weekly(draft, member_id, known, today)
        if habit is not None:
            yield habit
    elif not wanted and not draft.problems and not _has_day_columns(draft):
        draft.wrong("date", Reason.of("import_no_day"))


def _has_day_columns(draft: Draft) -> bool:
    return any(name.startswith(DAY) for name in draft.columns)


def _day_answers(draft: Draft) -> list[tuple[str, date, str, time | None, time | None]]:
    values = draft.values
    answers = [
        (name, date.fromisoformat(name[len(DAY) :]), *value)
        for name, value in values.items()
        if name.startswith(DAY)
    ]
    if "date" in values:
        times = (values.get("arrives"), values.get("leaves"))
        answers.append(("date", values["date"], values.get("answer", "yes"), *times))
    return answers


def _day_item(
    draft: Draft, member_id: int, known: _Known, wanted: tuple[str, date, str, time | None, time | None]
) -> DayAnswer | None:
    name, on, answer, arrives, leaves = wanted
    day = _workday(draft, name, on, known)
    if day is None:
        return None
    item = DayAnswer(day.pk, member_id, answer, arrives or day.opens, leaves or day.closes)
    if not day.opens <= item.arrives < item.leaves <= day.closes:
        span = {"opens": f"{day.opens:%H:%M}", "closes": f"{day.closes:%H:%M}"}
        given = f"{item.arrives:%H:%M}-{item.leaves:%H:%M}"
        draft.wrong(name, Reason.of("import_offer_outside", on=on, value=given, **span), given)
        return None
    there = known.offers.get((member_id, day.pk))
    if there is not None and there != (answer, item.arrives, item.leaves):
        draft.wrong(name, Reason.of("import_offer_differs", on=on, there=there[0], here=answer), answer)
    elif there is None and _first_time(draft, name, known, ("day", member_id, day.pk)):
        return item
    return None


def _workday(draft: Draft, name: str, on: date, known: _Known) -> Workday | None:
    days = known.days.get(on, [])
    if len(days) == 1 and days[0].state not in CLOSED:
        return days[0]
    code = "import_no_workday" if not days else "import_two_workdays" if len(days) > 1 else "import_day_over"
    draft.wrong(name, Reason.of(code, on=on), on.isoformat())
    return None


def _first_time(draft: Draft, name: str, known: _Known, item: tuple[str, int, int]) -> bool:
    if item in known.from_file:
        draft.wrong(name, Reason.of("import_offer_twice"))
        return False
    known.from_file.add(item)
    return True


def _weekly(draft: Draft, member_id: int, known: _Known, today: date) -> Weekly | None:
    values: dict[str, Any] = draft.values
    minutes = _minutes(values)
    every = values.get("every_weeks", 1)
    if not 0 < minutes <= 900 or not 1 <= every <= 52:
        draft.wrong("minutes", Reason.of("import_hours_missing"))
        return None
    starts, ends = values.get("starts", today), values.get("ends")
    if ends is not None and ends < starts:
        draft.wrong("ends", Reason.of("import_ends_early", starts=starts, ends=ends), ends.isoformat())
        return None
    there = known.habits.get((member_id, values["weekday"]))
    if there == (minutes, every, ends):
        return None
    if there is not None and (there[2] is None or there[2] >= starts):
        draft.wrong("weekday", Reason.of("import_habit_differs", there=there[0], here=minutes), str(minutes))
        return None
    if not _first_time(draft, "weekday", known, ("week", member_id, values["weekday"])):
        return None
    return Weekly(member_id, values["weekday"], every, minutes, starts, ends)


def _minutes(values: dict[str, Any]) -> int:
    if "minutes" in values:
        return round(float(values["minutes"]))
    arrives, leaves = values.get("arrives"), values.get("leaves")
    if not isinstance(arrives, time) or not isinstance(leaves, time):
        return 0
    return (leaves.hour - arrives.hour) * 60 + leaves.minute - arrives.minute


def write(drafts: Sequence[Draft], club: Club, actor: Actor, today: date, source: str) -> Made:
    """Write the answers and habits, inside the caller's transaction; returns what the rows became."""
    items = [item for draft in drafts for item in draft.values["items"]]
    offers = [
        Offer(
            club=club,
            workday_id=item.workday_id,
            member_id=item.member_id,
            answer=item.answer,
            arrives=item.arrives,
            leaves=item.leaves,
            by_id=actor.member_id,
        )
        for item in items
        if isinstance(item, DayAnswer)
    ]
    habits = [
        Habit(
            club=club,
            member_id=item.member_id,
            weekday=item.weekday,
            every_weeks=item.every_weeks,
            minutes=item.minutes,
            starts=item.starts,
            ends=item.ends,
        )
        for item in items
        if isinstance(item, Weekly)
    ]
    Offer.objects.bulk_create(offers, batch_size=BATCH)
    Habit.objects.bulk_create(habits, batch_size=BATCH)
    _write_down(offers, habits, actor)
    for workday_id in sorted({offer.workday_id for offer in offers}):
        out_of_date(workday_id)
    made = Made(len(drafts))
    made.add((*offers, *habits))
    return made


def _write_down(offers: Sequence[Offer], habits: Sequence[Habit], actor: Actor) -> None:
    lines: list[Change] = []
    for offer in offers:
        after = {
            "answer": offer.answer,
            "arrives": offer.arrives,
            "leaves": offer.leaves,
            "member": offer.member_id,
        }
        lines.append(change_of(offer, actor, before={}, after=after))
    for habit in habits:
        after = {"weekday": habit.weekday, "minutes": habit.minutes, "member": habit.member_id}
        lines.append(change_of(habit, actor, before={}, after=after))
    Change.objects.bulk_create(lines, batch_size=BATCH)
