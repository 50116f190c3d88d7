"""Django's own migrate, with a copy of an embedded database before its tables change."""

from __future__ import annotations

from typing import Any

from django.core.management.commands import migrate
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from collection.management.house import refusals
from collection.usecases.keeping import embedded


class Command(migrate.Command):
    help = "Update the tables; an embedded database is copied first, and the copy is examined."

    def handle(self, *args: Any, **options: Any) -> None:
        if (
            connection.vendor == "sqlite"
            and options["database"] == "default"
            and embedded.live_path().is_file()
        ):
            executor = MigrationExecutor(connection)
            coming = executor.migration_plan(executor.loader.graph.leaf_nodes())
            if coming and executor.loader.applied_migrations:
                with refusals():
                    kept = embedded.copy_before_change(timezone.now())
                if kept and options["verbosity"]:
                    self.stdout.write(f"The database was copied to {kept} before this change.")
        super().handle(*args, **options)
