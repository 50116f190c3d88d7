"""A list in pieces that stay put while rows come and go: each piece starts after the last row seen."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Generic, TypeVar

from django.core.exceptions import ValidationError
from django.db.models import Model, Q, QuerySet

from collection.queries.errors import Refused

Row = TypeVar("Row", bound=Model)
Shape = TypeVar("Shape")
Other = TypeVar("Other")
Scalar = str | int | float | bool


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which piece: at most ``limit`` rows after the row with these values."""

    limit: int = 50
    after: tuple[Scalar, ...] = ()


@dataclass(frozen=True, slots=True)
class Slice(Generic[Shape]):
    """A piece of a list, and where the next one starts; () at the end."""

    rows: tuple[Shape, ...]
    next: tuple[Scalar, ...] = ()

    def shaped(self, shape: Callable[[Sequence[Shape]], Sequence[Other]]) -> Slice[Other]:
        """The same piece in another shape."""
        return Slice(tuple(shape(self.rows)), self.next)


def slice_of(rows: QuerySet[Row], order: Sequence[str], wanted: Wanted) -> Slice[Row]:
    """A piece of the rows.

    Args:
        order: Names of columns that are never null; the last one is unique. "-" turns one round.

    Raises:
        Refused: ``cursor_unreadable`` when the cursor's values do not fit the order.
    """
    try:
        if wanted.after:
            rows = rows.filter(_after(order, wanted.after))
        found = list(rows.order_by(*order)[: wanted.limit + 1])
    except (ValidationError, ValueError, TypeError):
        raise Refused("cursor_unreadable", field="cursor") from None
    page = tuple(found[: wanted.limit])
    return Slice(page, _key(order, page[-1]) if len(found) > wanted.limit else ())


def _after(order: Sequence[str], values: Sequence[Scalar]) -> Q:
    if len(order) != len(values):
        raise Refused("cursor_unreadable", field="cursor")
    found, same = Q(pk__in=[]), Q()
    for name, value in zip(order, values, strict=True):
        column = name.lstrip("-")
        past = f"{column}__lt" if name.startswith("-") else f"{column}__gt"
        found |= same & Q(**{past: value})
        same &= Q(**{column: value})
    return found


def _key(order: Sequence[str], row: Model) -> tuple[Scalar, ...]:
    values: list[Any] = []
    for name in order:
        value: Any = row
        for part in name.lstrip("-").split("__"):
            value = getattr(value, part)
        values.append(value.isoformat() if isinstance(value, (date, datetime)) else value)
    return tuple(values)
