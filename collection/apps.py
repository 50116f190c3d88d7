"""The one Django app that holds every table."""

from __future__ import annotations

from typing import Any

from django.apps import AppConfig
from django.core.management import call_command
from django.db.models.signals import post_migrate, pre_migrate


class CollectionConfig(AppConfig):
    name = "collection"
    verbose_name = "Teire"

    def ready(self) -> None:
        from collection.models.walls import put_back, take_down

        # Table rebuilds on SQLite stumble over triggers and drop them: down before, up again after.
        pre_migrate.connect(take_down, sender=self)
        post_migrate.connect(put_back, sender=self)
        post_migrate.connect(make_cache_tables, sender=self)


def make_cache_tables(using: str = "default", **_: Any) -> None:
    """Make the table of counts where one is used; quick when it is there."""
    call_command("createcachetable", database=using, verbosity=0)
