"""What every page shows: the club's name, the person, the words of the navigation."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest

NAVIGATION = (("season", "Season"), ("days", "Days"), ("trees", "Trees"))


def house(request: HttpRequest) -> dict[str, Any]:
    """Club, actor and navigation; empty for somebody not signed in."""
    actor = getattr(request, "actor", None)
    return {
        "actor": actor,
        "club_name": getattr(request, "club_name", ""),
        "navigation": NAVIGATION if actor else (),
    }
