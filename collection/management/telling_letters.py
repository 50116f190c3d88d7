"""The round-ups of a club as lines of text: one in full, and how many there are."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from collection.management import telling
from collection.queries.access import Actor
from collection.queries.labels import counted, day
from collection.queries.messages import letter_counts
from collection.queries.workdays import day_of
from collection.usecases.roundup_preview import preview


def letters(actor: Actor, now: datetime, folder: Path) -> Iterator[str]:
    """One round-up in full, then how many were made today and where their files lie."""
    workday = telling.next_day(actor)
    on = day_of(actor, workday).date if workday is not None else None
    found = preview(actor=actor, now=now, workday_on=on)
    yield ""
    if found is None:
        yield "Round-up: nobody has anything to be told."
    else:
        yield f"The round-up that {found.name} gets on {day(found.on)}"
        yield f"  Subject: {found.subject}"
        yield from (f"  | {line}".rstrip() for line in found.text.splitlines())
    made, to_telephone = letter_counts(actor)
    yield f"  {counted(made, 'message', 'messages')} made so far. Each goes out once, as a file in {folder}"
    if to_telephone:
        yield f"  {counted(to_telephone, 'of them', 'of them')} no mail can carry: tell those by telephone."
