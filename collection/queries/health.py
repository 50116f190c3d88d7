"""Whether this process can do its work: database, migrations, plans that wait."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor

from collection.models import Plan


@dataclass(frozen=True, slots=True)
class Health:
    """What a watcher needs to know.

    Attributes:
        database: The database answers.
        migrated: Every migration of this version has been run.
        oldest_waiting_s: Seconds the oldest waiting plan has waited, None when none waits.
    """

    database: bool
    migrated: bool
    oldest_waiting_s: int | None

    @property
    def ready(self) -> bool:
        """May be sent people. A late plan is shown but never takes the pages down."""
        return self.database and self.migrated


def health(*, now: datetime) -> Health:
    """Look at the database; a database that does not answer is a finding, not an error."""
    try:
        if not _migrated():
            return Health(database=True, migrated=False, oldest_waiting_s=None)
        return Health(database=True, migrated=True, oldest_waiting_s=_oldest_waiting_s(now))
    except DatabaseError:
        return Health(database=False, migrated=False, oldest_waiting_s=None)


def _migrated() -> bool:
    executor = MigrationExecutor(connection)
    return not executor.migration_plan(executor.loader.graph.leaf_nodes())


def _oldest_waiting_s(now: datetime) -> int | None:
    waiting = Plan.objects.filter(state=Plan.State.WAITING).order_by("asked_at")
    asked_at = waiting.values_list("asked_at", flat=True).first()
    return None if asked_at is None else max(0, int((now - asked_at).total_seconds()))
