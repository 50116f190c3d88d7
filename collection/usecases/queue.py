"""The one door to the queue: rows are the truth, a message is only a wake-up call."""

from __future__ import annotations

import logging
from enum import StrEnum

from celery import current_app
from django.conf import settings
from django.db import transaction
from kombu.exceptions import KombuError
from redis.exceptions import RedisError

# Seconds until a Redis that is gone, or hangs, is given up.
PATIENCE = {"socket_connect_timeout": 1, "socket_timeout": 1, "retry_on_timeout": False, "max_retries": 0}

log = logging.getLogger(__name__)


class Task(StrEnum):
    """Names of the tasks in ``workers``."""

    WORK_OUT_PLAN = "workers.plans.work_out"
    WORK_ON_FILE = "workers.files.work_on"
    WORK_OUT_SEASON = "workers.seasons.work_out"


def enqueue(task: Task, *args: int) -> None:
    """Wake a worker once the surrounding transaction has committed.

    Without Redis nothing is sent: the child process of the server sweeps the rows. A Redis that is
    down only means that the sweep finds the row a little later.
    """
    if not settings.CELERY_BROKER_URL:
        return
    transaction.on_commit(lambda: _send(task, args), robust=True)


def _send(task: Task, args: tuple[int, ...]) -> None:
    """Send on a connection of its own that gives up soon: a person waits for the page behind it."""
    try:
        with current_app.connection_for_write() as line:
            line.transport_options = {**(line.transport_options or {}), **PATIENCE}
            current_app.signature(task.value, args=args).apply_async(connection=line, retry=False)
    except (OSError, KombuError, RedisError):
        log.warning("queue unreachable; the sweep will find the row", extra={"task": task.value})
