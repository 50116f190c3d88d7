"""A season that waits to be worked out again: asked for by a change, done by the sweep."""

from __future__ import annotations

from datetime import datetime

from django.utils import timezone

from collection.models import Club
from collection.queries.access import house
from collection.queries.clock import today_in
from collection.usecases.season import regenerate


def ask_again(club_id: int) -> None:
    """Let the sweep work the club's season out again; asking twice is asking once."""
    Club.objects.filter(pk=club_id).update(season_asked_at=timezone.now())


def waiting_seasons() -> list[int]:
    """Ids of clubs whose season waits, the longest first."""
    rows = Club.objects.exclude(season_asked_at=None).order_by("season_asked_at")
    return list(rows.values_list("pk", flat=True)[:20])


def work_out_season(club_id: int) -> bool:
    """Work a waiting season out; False when nothing waits. Asked for again meanwhile, it waits on.

    A worker that is killed leaves the season waiting; working it out twice makes nothing double.
    """
    club = Club.objects.filter(pk=club_id).exclude(season_asked_at=None).first()
    if club is None:
        return False
    asked = club.season_asked_at
    try:
        regenerate(actor=house(club, door="worker"), today=today_in(club.zone))
    except (RuntimeError, ValueError):
        # Not tried for ever: the next change, or the button, asks again.
        _answered(club_id, asked)
        raise
    _answered(club_id, asked)
    return True


def _answered(club_id: int, asked: datetime | None) -> None:
    Club.objects.filter(pk=club_id, season_asked_at=asked).update(season_asked_at=None)
