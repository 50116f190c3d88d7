"""From rows to their records."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields
from typing import Any, TypeVar

from django.db.models import Model, QuerySet

from collection.queries.slices import Slice, Wanted, slice_of

Record = TypeVar("Record")
Row = TypeVar("Row", bound=Model)


def record(shape: type[Record], row: Model, **more: Any) -> Record:
    """The row's columns that the shape names, and ``more`` that are worked out."""
    names = [field.name for field in fields(shape) if field.name not in more]  # type: ignore[arg-type]
    own = {name: row.pk if name == "id" else getattr(row, name) for name in names}
    return shape(**own, **more)


def records(
    shape: type[Record],
    rows: QuerySet[Row],
    order: Sequence[str],
    wanted: Wanted,
    more: Callable[[Row], dict[str, Any]] = lambda row: {},
) -> Slice[Record]:
    """A piece of the rows as records; ``more`` gives what is worked out for each."""
    found = slice_of(rows, order, wanted)
    return Slice(tuple(record(shape, row, **more(row)) for row in found.rows), found.next)
