"""What whoever asks is told."""

from __future__ import annotations

from typing import Any

from api.operations import Asked, Noun, reads
from api.shapes import shown
from collection.queries.records import told as records
from collection.queries.slices import Slice


class Notices(Noun):
    noun = "notices"

    @reads(shown(records.NoticeRecord), paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Facts that whoever asks is told of, newest first."""
        return records.notice_records(asked.actor, asked.wanted)


class Messages(Noun):
    noun = "messages"

    @reads(shown(records.MessageRecord), paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Messages to whoever asks, newest first, as they were sent."""
        return records.message_records(asked.actor, asked.wanted)
