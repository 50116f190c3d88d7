"""What somebody is told: facts, and the messages that carried them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from collection.models import Message, Notice
from collection.queries.access import Actor
from collection.queries.records.base import records
from collection.queries.slices import Slice, Wanted


@dataclass(frozen=True, slots=True)
class NoticeRecord:
    """A fact somebody is told of."""

    id: int
    kind: str
    subject: str
    period: str
    due_at: datetime
    expires_at: datetime | None
    message_id: int | None


@dataclass(frozen=True, slots=True)
class MessageRecord:
    """A message as it was sent."""

    id: int
    channel: str
    local_day: date
    number: int
    subject: str
    text: str
    sent_at: datetime | None


def notice_records(actor: Actor, wanted: Wanted) -> Slice[NoticeRecord]:
    """What the actor himself is told of, newest first."""
    rows = Notice.objects.filter(club_id=actor.club_id, member_id=actor.member_id or 0)
    return records(NoticeRecord, rows, ("-due_at", "-id"), wanted)


def message_records(actor: Actor, wanted: Wanted) -> Slice[MessageRecord]:
    """Messages to the actor himself, newest first."""
    rows = Message.objects.filter(club_id=actor.club_id, member_id=actor.member_id or 0)
    return records(MessageRecord, rows, ("-local_day", "-id"), wanted)
