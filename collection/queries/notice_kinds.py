"""Kinds of notices: what somebody can be told of, and what each may do. A kind is never renamed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal


class NoticeKind(StrEnum):
    """What a notice is about; the comment names its period and its values.

    The subject of all these is "workday:ID", and their values always hold ``date`` ("2027-03-06"),
    ``opens`` and ``closes`` ("09:30") and ``site`` (its name).
    """

    DAY_OPEN = "day_open"  # period: the date; values also least_people, bring
    PLAN_OUT = "plan_out"  # period: "plan N"; values also plan, jobs (how many), first ("" or "09:45"), newer
    DAY_MOVED = "day_moved"  # period: "DATE vN"; values also was (date, opens, closes, site), answer_again
    DAY_CANCELLED = "day_cancelled"  # period: "DATE vN"; values also why
    # To coordinators, once the plan is out. Period: "offer ID vN"; values also name, answer, arrives, leaves.
    ANSWER_CHANGED = "answer_changed"
    # Subject "place:ID", period "DATE vN"; values hold bend, tree, what, date, starts, ends, site and lead.
    PLACE_ASKED = "place_asked"  # to the person asked to help at a heavy bend; values also invitation
    PLACE_GIVEN = "place_given"  # to the one who has the place and to those who lead; values also who
    PLACE_BACK = "place_back"  # the place was given back, to those who lead; values also who
    # Found in the rows, see due_notices; their values are read again whenever they are written out.
    DAY_AHEAD = "day_ahead"  # subject "workday:ID", period: date
    WINDOW_OPENS = "window_opens"  # subject "task:CODE", period: first day
    WINDOW_CLOSES = "window_closes"  # subject "task:CODE", period: last day
    WIRE_LOOK = "wire_look"  # subject "wire:ID" or "guy:ID", period: the look date
    WIRE_TODAY = "wire_today"  # the same, on the look date itself
    TREE_OPEN = "tree_open"  # subject "tree:ID", period: "sitting N"


# Whether a notice may start a message of its own: it waits for the weekly round-up, it has its time and
# may be the second of the week, or it is urgent and may always be the one of the day.
Starts = Literal["weekly", "timed", "urgent"]
Section = Literal["days", "trees", "wire", "places"]


@dataclass(frozen=True, slots=True)
class Way:
    """How a kind travels: its part of the round-up, and what it may do.

    ``in_quiet`` breaks the quiet weeks; ``at_once`` comes besides the round-up when its day is near.
    """

    section: Section
    starts: Starts
    in_quiet: bool = False
    at_once: bool = False


WAYS: dict[str, Way] = {
    NoticeKind.DAY_OPEN: Way("days", "weekly"),
    NoticeKind.PLAN_OUT: Way("days", "timed", in_quiet=True),
    NoticeKind.DAY_MOVED: Way("days", "urgent", in_quiet=True, at_once=True),
    NoticeKind.DAY_CANCELLED: Way("days", "urgent", in_quiet=True, at_once=True),
    NoticeKind.ANSWER_CHANGED: Way("days", "urgent", in_quiet=True),
    NoticeKind.PLACE_ASKED: Way("places", "urgent", in_quiet=True, at_once=True),
    NoticeKind.PLACE_GIVEN: Way("places", "timed", in_quiet=True),
    NoticeKind.PLACE_BACK: Way("places", "urgent", in_quiet=True, at_once=True),
    NoticeKind.DAY_AHEAD: Way("days", "timed", in_quiet=True),
    NoticeKind.WINDOW_OPENS: Way("trees", "weekly"),
    NoticeKind.WINDOW_CLOSES: Way("trees", "urgent", in_quiet=True),
    NoticeKind.WIRE_LOOK: Way("wire", "weekly"),
    NoticeKind.WIRE_TODAY: Way("wire", "urgent", in_quiet=True),
    NoticeKind.TREE_OPEN: Way("trees", "weekly"),
}
# Told by a use case at the moment something happens; all others are found in the rows.
TOLD = frozenset(
    {
        NoticeKind.PLAN_OUT,
        NoticeKind.DAY_MOVED,
        NoticeKind.DAY_CANCELLED,
        NoticeKind.ANSWER_CHANGED,
        NoticeKind.PLACE_ASKED,
        NoticeKind.PLACE_GIVEN,
        NoticeKind.PLACE_BACK,
    }
)


def place_subject(place_id: int) -> str:
    """The subject of a notice about a place."""
    return f"place:{place_id}"


def workday_subject(workday_id: int) -> str:
    """The subject of a notice about a workday."""
    return f"workday:{workday_id}"


def row_of(subject: str) -> int:
    """The id in a subject: 12 of "workday:12", 0 where it names no row."""
    number = subject.partition(":")[2]
    return int(number) if number.isdigit() else 0
