"""Rows that are written together are locked first, always in one order, so that no two writers meet head-on.

Across tables the order is: club, bend, workday, account, member, then whatever hangs below them (trees, jobs,
offers, places, plans). Within a table it is that of the ids. Others may still point at a locked row. SQLite
lets one writer in at a time and needs none of it: there a lock is a plain read.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from django.db import models
from django.db.models import QuerySet

from collection.models import Account, Member, Workday
from collection.queries.errors import Refused

Row = TypeVar("Row", bound=models.Model)
OVER = (Workday.State.HELD, Workday.State.CANCELLED)


def lock(rows: QuerySet[Row]) -> list[Row]:
    """Lock these rows until the transaction ends; as they are once whoever else writes them is done."""
    return list(rows.select_for_update(of=("self",), no_key=True).order_by("pk"))


def lock_day(day_id: int) -> Workday:
    """A day that is not over, as it is now, locked before anything of it is written.

    Raises:
        Refused: ``day_over``.
    """
    [day] = lock(Workday.objects.filter(pk=day_id))
    if day.state in OVER:
        raise Refused("day_over", kind="conflict", on=day.date)
    return day


def lock_people(keys: Iterable[str]) -> None:
    """Lock people by what names them across clubs: whoever books the same ones waits here."""
    named = [key.split(":") for key in keys]
    for kind, table in (("account", Account), ("member", Member)):
        lock(table._default_manager.filter(pk__in=[int(row) for found, row in named if found == kind]))
