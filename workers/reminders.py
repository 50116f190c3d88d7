"""Reminders: found, gathered and sent, apart from the plans, so that a slow mail server holds none up."""

from __future__ import annotations

from celery import shared_task

from collection.usecases import sweep


@shared_task(name="workers.reminders.run", acks_late=True, time_limit=120)
def run() -> int:
    """Tell people what they are to be told; a second one at the same time finds the messages claimed."""
    return sweep.remind(longest_s=60.0)
