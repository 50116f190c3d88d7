"""The one error a person can cause: a refusal with a stable code.

Every edge turns it into its own answer by ``kind``; the sentence comes from ``sentences.say``.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from collection.craft.reasons import Reason, Value

KINDS = ("not_found", "forbidden", "invalid", "stale", "conflict")


class Refused(Exception):
    """A request the club's rules refuse.

    Attributes:
        reason: Code and values; the code is stable, the wording is not.
        kind: One of ``KINDS``; decides the HTTP status at the edge.
        field: The form or column the refusal is about, "" when it is about the whole.
    """

    def __init__(self, code: str, *, kind: str = "invalid", field: str = "", **values: Value) -> None:
        if kind not in KINDS:
            raise ValueError(f"no such kind of refusal: {kind}")
        super().__init__(code)
        self.reason = Reason.of(code, **values)
        self.kind = kind
        self.field = field


class Stale(Refused):
    """Somebody changed the row after the person who writes had read it; nothing was written.

    ``collection.queries.two_answers`` turns it into both values, each with who and when.

    Attributes:
        table: The table's name, such as "tree".
        row: The row's id.
        seen: The version the person had read; 0 when he had read none.
        now: The version that is there.
        wanted: What he wrote, by column; nothing when he wanted the row gone.
    """

    def __init__(self, table: str, row: int, *, seen: int, now: int, wanted: Mapping[str, Any]) -> None:
        super().__init__("stale", kind="stale", version=seen)
        self.table = table
        self.row = row
        self.seen = seen
        self.now = now
        self.wanted = dict(wanted)


def not_found() -> Refused:
    """The same answer for a row that is missing and a row of another club."""
    return Refused("not_found", kind="not_found")
