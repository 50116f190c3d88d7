"""The sweep: finds rows that wait, with or without a message."""

from __future__ import annotations

from celery import shared_task

from collection.usecases import sweep


@shared_task(name="workers.sweep.run", acks_late=True, time_limit=600)
def run() -> int:
    """Work out what waits; mails have a task of their own."""
    return sweep.work_out()
