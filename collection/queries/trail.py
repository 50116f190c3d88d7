"""The trail of changes: who changed which column of a row, and what it was before."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time
from typing import Any

from django.db import models

from collection.models import Change

# Tables of which the trail holds the names of the columns only.
PRIVATE = frozenset({"contact"})


def column(row: models.Model, name: str) -> str:
    """A column of a row as one word: "tree:12:mass_kg"."""
    return f"{row._meta.model_name}:{row.pk}:{name}"


def plain(value: Any) -> Any:
    """A value as the trail keeps it: rows as ids, days and times as ISO text."""
    if isinstance(value, models.Model):
        return value.pk
    if isinstance(value, (date, datetime, time)):
        return value.isoformat()
    if value is None or isinstance(value, (str, int, float, bool, list, dict)):
        return value
    return str(value)


def edits_since(row: models.Model, seen: int) -> tuple[list[Change], bool]:
    """The edits after a version, newest first; False when the trail does not say what was before.

    Each edit counts the version up by one, so the newest so many lines are the ones.
    """
    wanted = row.version - seen  # type: ignore[attr-defined]
    lines = _edits(row)[: max(wanted, 0)]
    told = row._meta.model_name not in PRIVATE
    return list(lines), told and seen > 0 and len(lines) == wanted


def last_edit(row: models.Model, names: Sequence[str]) -> Change | None:
    """The newest line of the trail, the making of the row included, that wrote one of some columns."""
    every = Change.objects.filter(table=row._meta.model_name, row=row.pk).select_related("who")
    return next((line for line in every.order_by("-id")[:50] if set(names) & set(line.after)), None)


def _edits(row: models.Model) -> models.QuerySet[Change]:
    rows = Change.objects.filter(table=row._meta.model_name, row=row.pk).exclude(before={})
    return rows.select_related("who").order_by("-id")
