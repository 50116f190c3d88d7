"""What counts as work on a tree: rounds do not."""

from __future__ import annotations

from django.db.models import QuerySet

from collection.models import Sitting


def real_work(rows: QuerySet[Sitting]) -> QuerySet[Sitting]:
    """Sittings that are more than a round: feeding or turning a bench makes nobody a tree's last hands."""
    return rows.exclude(tasks__job__round__isnull=False)
