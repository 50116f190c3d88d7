"""What people are to be told on a day, found in the rows: one due-query a kind.

A fact is computed for an instant and never kept: the same query that finds it says later whether it
still holds, and holds the values for its sentence. Each kind costs the same number of queries whatever
the number of rows.
"""

from __future__ import annotations

from datetime import datetime

from collection.models import Club
from collection.queries import due_days, due_trees, due_wire
from collection.queries.notice_facts import Fact, asking


def facts_on(club: Club, now: datetime) -> list[Fact]:
    """Everything that is to be told in a club now, one fact a person, kind, subject and period."""
    asked = asking(club, now)
    return [
        *due_days.ahead(asked),
        *due_days.unanswered(asked),
        *due_trees.opening(asked),
        *due_trees.closing(asked),
        *due_trees.left_open(asked),
        *due_wire.looks(asked),
    ]
