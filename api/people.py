"""Who asks through the API."""

from __future__ import annotations

from rest_framework.request import Request

from collection.queries.access import Actor, actor_of
from collection.queries.clock import today_in


def actor_for(request: Request) -> Actor:
    """The signed-in account's membership.

    Raises:
        Refused: ``not_a_member``.
    """
    return actor_of(request.user, today=today_in("UTC"), club_id=request.session.get("club"), door="api")
