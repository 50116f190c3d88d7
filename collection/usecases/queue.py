"""The one door to the queue: rows are the truth, a message is only a wake-up call."""

from __future__ import annotations

import logging
from enum import StrEnum

from celery import current_app
from django.conf import settings
from django.db import transaction

log = logging.getLogger(__name__)


class Task(StrEnum):
    """Names of the tasks in ``workers``."""

    WORK_OUT_PLAN = "workers.plans.work_out"


def enqueue(task: Task, *args: int) -> None:
    """Wake a worker once the surrounding transaction has committed.

    Without Redis nothing is sent: the child process of the server sweeps the rows. A Redis that is
    down only means that the sweep finds the row a little later.
    """
    if not settings.CELERY_BROKER_URL:
        return
    transaction.on_commit(lambda: _send(task, args), robust=True)


def _send(task: Task, args: tuple[int, ...]) -> None:
    try:
        current_app.signature(task.value, args=args).apply_async(retry=False)
    except OSError:
        log.warning("queue unreachable; the sweep will find the row", extra={"task": task.value})
