"""What counts as work on a tree: rounds do not."""

from __future__ import annotations

from django.db.models import Exists, OuterRef, QuerySet

from collection.models import Sitting, SittingTask


def real_work(rows: QuerySet[Sitting]) -> QuerySet[Sitting]:
    """Sittings that are more than a round: feeding or turning a bench makes nobody a tree's last hands."""
    own = SittingTask.objects.filter(sitting=OuterRef("pk"), job__round__isnull=True)
    return rows.filter(Exists(own))
