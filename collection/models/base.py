"""What every table of a club shares."""

from __future__ import annotations

from django.db import models


class InClub(models.Model):
    """A row that belongs to one club; ``walls`` keeps it from pointing into another."""

    club = models.ForeignKey("collection.Club", on_delete=models.CASCADE, related_name="+")

    class Meta:
        abstract = True


class Versioned(models.Model):
    """A row that people edit; the version tells a stale edit from a fresh one."""

    version = models.PositiveIntegerField(default=1)

    class Meta:
        abstract = True
