"""What taking a file in made, so that it can be taken back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db import models


@dataclass(slots=True)
class Made:
    """How many rows of the file were taken, and the ids of what they became, by table."""

    rows: int = 0
    ids: dict[str, list[int]] = field(default_factory=dict)

    def add(self, made: Iterable[models.Model]) -> None:
        """Take rows that were written into the account."""
        for row in made:
            self.ids.setdefault(row._meta.model_name or "", []).append(row.pk)
