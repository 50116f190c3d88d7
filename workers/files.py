"""Reading files that wait, and taking them in."""

from __future__ import annotations

from celery import shared_task

from collection.usecases import uploads


@shared_task(name="workers.files.work_on", acks_late=True, time_limit=240)
def work_on(upload_id: int) -> bool:
    """Read one file or take it in; a second delivery finds it claimed and stops."""
    return uploads.work_on(upload_id)
