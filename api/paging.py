"""Cursors: where the next piece of a list starts, signed, and good only for the list it came from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.core import signing

from api.fields import Body, Text, Whole
from collection.queries.errors import Refused
from collection.queries.slices import Slice, Wanted

USUAL, MOST = 50, 200
SALT = "teire.cursor"


class Paged(Body):
    """The piece of a list that is wanted."""

    limit = Whole(
        required=False, default=USUAL, min_value=1, max_value=MOST, help_text="How many rows at most."
    )
    cursor = Text(
        required=False,
        allow_blank=True,
        max_length=2000,
        help_text="Where to go on: the last answer's `next`. Leave it out to start.",
    )


def wanted(place: str, query: dict[str, Any]) -> Wanted:
    """Take limit and cursor out of the validated query.

    Args:
        place: The list the cursor must come from: its path.

    Raises:
        Refused: ``cursor_unreadable``.
    """
    limit, cursor = query.pop("limit", USUAL), query.pop("cursor", "")
    if not cursor:
        return Wanted(limit)
    try:
        found = signing.loads(cursor, salt=SALT)
    except (signing.BadSignature, ValueError):
        raise Refused("cursor_unreadable", field="cursor") from None
    if found["list"] != _list(place, query):
        raise Refused("cursor_unreadable", field="cursor")
    return Wanted(limit, tuple(found["after"]))


def next_of(place: str, query: Mapping[str, Any], piece: Slice[Any]) -> str | None:
    """The cursor of the next piece, None at the end."""
    if not piece.next:
        return None
    return signing.dumps({"list": _list(place, query), "after": list(piece.next)}, salt=SALT)


def _list(place: str, query: Mapping[str, Any]) -> str:
    return "&".join([place, *(f"{name}={value}" for name, value in sorted(query.items()))])
