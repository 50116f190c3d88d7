"""Kinds of notices: what somebody can be told of. Once released a kind is never renamed."""

from __future__ import annotations

from enum import StrEnum


class NoticeKind(StrEnum):
    """What a notice is about; the comment names its subject, its period and its values."""

    # subject "workday:ID" for all four; values always hold date, opens, closes and site as text.
    DAY_OPEN = "day_open"  # period: date; values also least_people and bring
    PLAN_OUT = "plan_out"  # period: "plan N"; values also plan, first (start of the first job), jobs, newer
    DAY_MOVED = "day_moved"  # period: "DATE vN"; values also was: date, opens, closes and site before
    DAY_CANCELLED = "day_cancelled"  # period: "DATE vN"; values also why


def workday_subject(workday_id: int) -> str:
    """The subject of a notice about a workday."""
    return f"workday:{workday_id}"
