"""Who asks through the API."""

from __future__ import annotations

from rest_framework.request import Request

from collection.queries.access import Actor, actor_of
from collection.queries.program_keys import KeyHolder


def actor_for(request: Request) -> Actor:
    """The signed-in account's membership: of the page's club, or of the key's.

    Raises:
        Refused: ``not_a_member``.
    """
    key = request.auth
    club = key.club_id if isinstance(key, KeyHolder) else request.session.get("club")
    return actor_of(request.user, club_id=club, door="api")


def may_write(request: Request) -> bool:
    """Whether the key, if one was sent, may write."""
    return not (isinstance(request.auth, KeyHolder) and request.auth.reads_only)
