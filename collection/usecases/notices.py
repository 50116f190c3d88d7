"""Telling people: one notice for each person, written in the transaction of whatever caused it.

A notice is the fact that somebody is to be told. Others gather the notices of a person and a day into
one message and send it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from collection.models import Notice
from collection.queries.notice_kinds import NoticeKind, place_subject, workday_subject
from collection.usecases.locks import lock

__all__ = ["NoticeKind", "place_subject", "take_back", "tell", "workday_subject"]


def tell(
    *,
    kind: NoticeKind | str,
    club_id: int,
    member_ids: Iterable[int],
    subject: str,
    period: str,
    due_at: datetime,
    expires_at: datetime | None = None,
    values: Mapping[str, Any] | None = None,
) -> int:
    """Write a notice for each of these members; who has one of that kind, subject and period gets no other.

    Args:
        subject: What it is about, as "workday:12"; 60 characters at most.
        period: Which time it is about, as "2027-03-06"; 20 characters at most.
        due_at: From when it may be sent.
        expires_at: From when it is no longer worth sending.
        values: Plain JSON values for the sentence.

    Returns:
        How many members the notice was for; a member named twice counts once.
    """
    wanted = sorted(set(member_ids))
    rows = [
        Notice(
            club_id=club_id,
            kind=str(kind),
            member_id=member_id,
            subject=subject,
            period=period,
            due_at=due_at,
            expires_at=expires_at,
            values=dict(values or {}),
        )
        for member_id in wanted
    ]
    Notice.objects.bulk_create(rows, ignore_conflicts=True)
    return len(wanted)


def take_back(*, club_id: int, subject: str, kinds: Iterable[NoticeKind | str]) -> int:
    """Drop the notices about a subject that nobody has been sent yet; returns how many."""
    waiting = Notice.objects.filter(
        club_id=club_id, subject=subject, kind__in=[str(kind) for kind in kinds], message=None
    )
    return Notice.objects.filter(pk__in=[row.pk for row in lock(waiting)]).delete()[0]
