"""A long file comes in piece by piece, so that nobody waits for it; what is in stays written down."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from collection.models import Accepted, Change, Club
from collection.usecases.importing.made import Made

# Rows of one transaction: a page's write waits for no more than these.
PIECE = 200
# Looks in a row that may find the register changed under them.
MOST_LOOKS = 20
# By kind, the tables of the trail that decide what a row of the file would do.
WATCHED: Mapping[str, tuple[str, ...]] = {
    "trees": ("tree", "site", "bench", "member"),
    "people": ("member",),
    "offers": ("member", "workday", "offer", "habit"),
}


@dataclass(frozen=True, slots=True)
class Step:
    """What one piece left: the record of the file, and whether it is all in."""

    accepted_id: int
    whole: bool
    created: int
    unchanged: int
    aside: int


# Called inside each piece's transaction; it may raise to take the piece back.
Keep = Callable[[Step], None]


class Overtaken(Exception):
    """Another process went on with the file."""


def keep_nothing(step: Step) -> None:
    """For a file that nobody waits for: the record of what came in is enough."""


def newest_change(club: Club, kind: str) -> int:
    """The newest line in the trail that matters to such a file: what was looked up holds while it stays."""
    rows = Change.objects.filter(club=club, table__in=WATCHED[kind])
    return rows.order_by("-pk").values_list("pk", flat=True).first() or 0


def half_way(club: Club, kind: str, accepted_id: int | None) -> Accepted | None:
    """The record of a file that is half in, or None."""
    if accepted_id is None:
        return None
    rows = Accepted.objects.filter(club=club, kind=kind, pk=accepted_id, half=True, undone_at=None)
    return rows.first()


def go_on(row: Accepted, through: int, made: Made, digest: str = "") -> None:
    """Write down one more piece; with the digest of what came in, the last one.

    Raises:
        Overtaken: When somebody else wrote a piece, or took the file back, since the row was read.
    """
    mine = Accepted.objects.filter(pk=row.pk, half=True, undone_at=None, rows=row.rows)
    row.made = {
        table: [*row.made.get(table, []), *made.ids.get(table, [])] for table in (*row.made, *made.ids)
    }
    row.way = row.way | {"through": through}
    row.rows += made.rows
    row.half, row.digest = not digest, digest or row.digest
    fields = {name: getattr(row, name) for name in ("made", "way", "rows", "half", "digest")}
    if not mine.update(**fields):
        raise Overtaken
