"""The one Django app that holds every table."""

from __future__ import annotations

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class CollectionConfig(AppConfig):
    name = "collection"
    verbose_name = "Teire"

    def ready(self) -> None:
        from collection.models.walls import put_back

        # Table rebuilds on SQLite drop triggers, so the walls are put back after every migrate.
        post_migrate.connect(put_back, sender=self)
