"""Taking back what a file made: every row that nobody has touched since, in one transaction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import models, transaction
from django.db.models import ProtectedError
from django.utils import timezone

from collection.models import Accepted, Bench, Change, Offer, Site, Workday
from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.queries.take_back import accepted_for, must_be_undoable, standing
from collection.usecases.edit import change_of
from collection.usecases.locks import lock
from collection.usecases.season_asked import ask_again
from collection.usecases.workdays import out_of_date

CHUNK = 500
# What the trail says of a row that goes.
SAID = {
    "tree": ("accession", "group", "stage"),
    "member": ("name", "role"),
    "offer": ("answer", "member_id"),
    "habit": ("weekday", "minutes", "member_id"),
    "site": ("name",),
    "bench": ("name",),
}


@dataclass(frozen=True, slots=True)
class TakenBack:
    """Rows that went, and rows that stay because somebody touched them."""

    gone: int
    stayed: int


def take_back(*, actor: Actor, accepted_id: int) -> TakenBack:
    """Take back what a file made, within thirty days; the file can be taken in again afterwards.

    Sites and benches it made go too where nothing else stands there. The trail of changes keeps a line of
    every row that went.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``import_undone``, ``import_undo_running`` or
            ``import_undo_late``.
    """
    file = accepted_for(actor, accepted_id)
    must_be_undoable(file)
    with transaction.atomic():
        fresh = Accepted.objects.filter(pk=file.pk, undone_at=None, rows=file.rows)
        if not fresh.update(undone_at=timezone.now()):
            raise Refused("import_undone", kind="conflict")
        found = standing(file)
        days = set(
            Offer.objects.filter(pk__in=found.goes.get("offer", [])).values_list("workday_id", flat=True)
        )
        lock(Workday.objects.filter(pk__in=days))
        for table, ids in found.goes.items():
            _remove(table, ids, actor)
        _remove_empty_places(file, actor)
        for day in sorted(days):
            out_of_date(day)
        if found.goes.get("tree"):
            ask_again(actor.club_id)
    return TakenBack(sum(map(len, found.goes.values())), len(found.stays))


def _remove(table: str, ids: Sequence[int], actor: Actor) -> None:
    model = apps.get_model("collection", table)
    for start in range(0, len(ids), CHUNK):
        rows: Any = model._default_manager.filter(pk__in=ids[start : start + CHUNK])
        Change.objects.bulk_create(_lines(list(rows), table, actor))
        rows.delete()


def _lines(rows: Sequence[models.Model], table: str, actor: Actor) -> list[Change]:
    return [
        change_of(row, actor, before={name: getattr(row, name) for name in SAID[table]}, after={})
        for row in rows
    ]


def _remove_empty_places(file: Accepted, actor: Actor) -> None:
    """Benches before sites; one that something stands on or points at stays."""
    for model, table in ((Bench, "bench"), (Site, "site")):
        for pk in file.made.get(table, []):
            row = model._default_manager.filter(pk=pk, club_id=actor.club_id, version=1).first()
            if row is None:
                continue
            try:
                with transaction.atomic():
                    [line] = _lines([row], table, actor)
                    row.delete()
                    line.save()
            except ProtectedError:
                continue
