"""Kinds of notices: what somebody can be told of. Once released a kind is never renamed."""

from __future__ import annotations

from enum import StrEnum


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

    # subject "place:ID", period "DATE vN"; values hold bend, tree, what, date, starts, ends, site and lead.
    PLACE_ASKED = "place_asked"  # to the person asked to help at a heavy bend; values also invitation
    PLACE_GIVEN = "place_given"  # to the one who has the place and to those who lead; values also who
    PLACE_BACK = "place_back"  # the place was given back, to those who lead; values also who


def place_subject(place_id: int) -> str:
    """The subject of a notice about a place."""
    return f"place:{place_id}"


def workday_subject(workday_id: int) -> str:
    """The subject of a notice about a workday."""
    return f"workday:{workday_id}"
