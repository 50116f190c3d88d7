"""The Celery app of the server profile; modules of tasks are named as text."""

from __future__ import annotations

from celery import Celery

from collection.conf.schedule import SCHEDULE

PARTS = ("files", "plans", "reminders", "seasons", "sweep")

app = Celery("teire", include=[f"workers.{part}" for part in PARTS])
app.config_from_object("django.conf:settings", namespace="CELERY")
app.conf.update(
    accept_content=["json"],
    beat_schedule=SCHEDULE,
    broker_connection_retry_on_startup=True,
    broker_transport_options={"visibility_timeout": 600},
    task_ignore_result=True,
    task_reject_on_worker_lost=False,
    worker_prefetch_multiplier=1,
)
app.set_default()
