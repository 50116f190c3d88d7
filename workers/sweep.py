"""The sweep: finds rows that wait, with or without a message."""

from __future__ import annotations

from celery import shared_task

from collection.usecases import sweep


@shared_task(name="workers.sweep.run", acks_late=True, time_limit=600)
def run() -> int:
    """Do everything that waits."""
    return sweep.run()
