"""Do the background work of a club without Redis: sweep the rows again and again."""

from __future__ import annotations

import os
import signal
import time
from argparse import ArgumentParser
from datetime import timedelta
from typing import Any

from django.core.management.base import BaseCommand
from django.db import OperationalError, connection

from collection.usecases import leases, sweep

LEASE = timedelta(seconds=30)
NAME = "sweep"


class Command(BaseCommand):
    help = "Do the background work: working out day plans. Stops with the process that started it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--once", action="store_true", help="do what waits now, then stop")
        parser.add_argument("--pause", type=float, default=1.0, help="seconds between looks")
        parser.add_argument("--parent", type=int, default=0, help="stop when this process is gone")

    def handle(self, *args: Any, once: bool, pause: float, parent: int, **options: Any) -> None:
        self.stopping = False
        signal.signal(signal.SIGTERM, self._stop)
        holder = f"{os.uname().nodename if hasattr(os, 'uname') else 'here'}:{os.getpid()}"
        while not self.stopping:
            try:
                if leases.take(NAME, holder, LEASE):
                    sweep.run()
            except OperationalError as error:
                self.stderr.write(f"The database does not answer, trying again: {error}")
                connection.close()
            if once or (parent and os.getppid() != parent):
                break
            time.sleep(pause)
        leases.give_back(NAME, holder)

    def _stop(self, *_: Any) -> None:
        self.stopping = True
