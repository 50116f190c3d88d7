"""The list of workdays."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from types import SimpleNamespace

from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.labels import DAY_STATES, day, in_words
from collection.queries.requests import Request
from collection.queries.workdays import DayRow
from collection.web.pages.parts import Action, Empty, lead, page
from collection.web.pages.requests import asked_rows

ANSWERS = {"yes": "Yes", "perhaps": "Perhaps", "no": "No", "": "Not answered yet"}
RECENT = 10


def list_page(
    days: list[DayRow], today: date, actor: Actor, requests: Iterable[Request] = ()
) -> SimpleNamespace:
    """Everything ``day/list.html`` reads."""
    ahead = [row for row in days if row.date >= today]
    past = [row for row in reversed(days) if row.date < today][:RECENT]
    groups = [
        SimpleNamespace(title=title, days=[_row(row, actor) for row in rows])
        for title, rows in (("Ahead", ahead), ("Lately", past))
        if rows
    ]
    return page(
        title="Days",
        lead=lead(_opening(ahead)),
        asked=asked_rows(requests),
        groups=groups,
        empty=Empty("Workdays will be listed here.", "Saturday 28 November, 9:30 to 13:30, bench shed"),
        actions=[
            *([Action("A new workday", reverse("day-new"), main=not days)] if actor.plans else []),
            Action("Your messages", reverse("messages"), plain=True),
        ],
        foot_left="Times are the club's own.",
        foot_right="",
    )


def _opening(ahead: list[DayRow]) -> str:
    on = [row for row in ahead if row.state in ("open", "sent")]
    said = f"{in_words(len(on))} {'day is' if len(on) == 1 else 'days are'} ahead."
    asked = sum(row.state == "open" and not row.mine for row in on)
    if asked:
        said += f" {in_words(asked)} {'waits' if asked == 1 else 'wait'} for your answer."
    return said


def _row(row: DayRow, actor: Actor) -> SimpleNamespace:
    asked = row.state in ("open", "sent")
    return SimpleNamespace(
        title=day(row.date),
        url=reverse("day", args=[row.id]),
        when=f"{row.opens.hour}:{row.opens:%M} to {row.closes.hour}:{row.closes:%M}",
        where=row.site,
        people=room_words(row.people, row.least, row.most) if asked else str(row.people),
        state=_state(row, actor),
        answer=ANSWERS[row.mine] if asked else "",
    )


def _state(row: DayRow, actor: Actor) -> str:
    said = DAY_STATES[row.state]
    if row.state == "cancelled":
        return f"{said}: {row.why}" if row.why else said
    if row.state == "draft":
        return "Draft, only coordinators see it"
    if actor.plans and row.state == "open" and row.plan != "none yet":
        return f"{said}; plan {row.plan}"
    if actor.plans and row.state == "sent" and row.plan != "sent out":
        return f"{said}; a newer one is {row.plan}"
    return said


def room_words(people: int, least: int, most: int | None) -> str:
    """How many come, and what is missing or full: "3, two more needed"."""
    if people < least:
        return f"{people}, {in_words(least - people).lower()} more needed"
    return f"{people}, full" if most is not None and people >= most else str(people)
