"""A season that waits to be worked out again: asked for by a person or a change, done in the background."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone

from collection.models import Club
from collection.queries.access import Actor, house, must_plan
from collection.queries.clock import today_in
from collection.usecases import leases
from collection.usecases.queue import Task, enqueue
from collection.usecases.season import answered, regenerate

# Longer than the slowest season takes; a worker that was killed is waited for no longer (assumption).
LEASE = timedelta(minutes=5)


def ask(*, actor: Actor) -> None:
    """Ask for the season to be worked out again; the answer comes from the background.

    Raises:
        Refused: ``coordinators_only``.
    """
    must_plan(actor)
    ask_again(actor.club_id)


def ask_again(club_id: int) -> None:
    """Let the club's season be worked out again; asking twice is asking once."""
    with transaction.atomic():
        Club.objects.filter(pk=club_id).update(season_asked_at=timezone.now())
        enqueue(Task.WORK_OUT_SEASON, club_id)


def waiting_seasons() -> list[int]:
    """Ids of clubs whose season waits, the longest first."""
    rows = Club.objects.exclude(season_asked_at=None).order_by("season_asked_at")
    return list(rows.values_list("pk", flat=True)[:20])


def work_out_season(club_id: int) -> bool:
    """Work a waiting season out; False when nothing waits, or another worker is at it.

    Asked for again meanwhile, it waits on. A worker that is killed leaves the season waiting; working it out
    twice makes nothing double.
    """
    name, holder = f"season:{club_id}", uuid.uuid4().hex
    if not Club.objects.filter(pk=club_id).exclude(season_asked_at=None).exists():
        return False
    if not leases.take(name, holder, LEASE):
        return False
    try:
        return _work_out(club_id)
    finally:
        leases.give_back(name, holder)


def _work_out(club_id: int) -> bool:
    club = Club.objects.filter(pk=club_id).exclude(season_asked_at=None).first()
    if club is None:
        return False
    asked: datetime | None = club.season_asked_at
    try:
        regenerate(actor=house(club, door="worker"), today=today_in(club.zone))
    except (RuntimeError, ValueError):
        # Not tried for ever: the next change, or the button, asks again.
        answered(club_id, asked)
        raise
    return True
