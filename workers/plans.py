"""Working out day plans."""

from __future__ import annotations

from celery import shared_task

from collection.usecases import plans


@shared_task(name="workers.plans.work_out", acks_late=True, time_limit=120)
def work_out(plan_id: int) -> bool:
    """Work one waiting plan out; a second delivery finds it claimed and stops."""
    return plans.work_out(plan_id)
