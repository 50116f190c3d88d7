"""Working out seasons that were asked for again."""

from __future__ import annotations

from celery import shared_task

from collection.usecases import season_asked


@shared_task(name="workers.seasons.work_out", acks_late=True, time_limit=240)
def work_out(club_id: int) -> bool:
    """Work one waiting season out; a second delivery finds it claimed or answered and stops."""
    return season_asked.work_out_season(club_id)
