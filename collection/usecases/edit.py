"""The one way to change a shared row: versioned, and written down in the same transaction."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db import models, transaction
from django.utils import timezone

from collection.models import Change
from collection.queries.access import Actor
from collection.queries.errors import Refused, Stale, not_found
from collection.queries.trail import PRIVATE, column, plain
from collection.usecases.locks import lock


def edit(row: models.Model, version: int, changes: dict[str, Any], actor: Actor) -> None:
    """Write ``changes`` to the row if it still has the version the person saw.

    What the actor settled before ("theirs", on the page of two answers) is left as it is.

    Raises:
        Refused: ``stale`` when somebody changed the row meanwhile, ``not_found`` when he took it away.
    """
    left = {name for name in changes if column(row, name) in actor.settled}
    before = {name: getattr(row, name) for name in changes if name not in left}
    changed = {name: changes[name] for name, value in before.items() if value != changes[name]}
    if not changed:
        return
    with transaction.atomic():
        fresh = type(row)._default_manager.filter(pk=row.pk, version=version)
        if fresh.update(**changed, version=version + 1) != 1:
            raise stale(row, version, changed)
        note(row, actor, before={name: before[name] for name in changed}, after=changed)
    for name, value in changed.items():
        setattr(row, name, value)
    row.version = version + 1  # type: ignore[attr-defined]


def remove(row: models.Model, version: int, actor: Actor, *names: str) -> None:
    """Take the row away if it still has the version the person saw; the trail keeps the named fields.

    Raises:
        Refused: As ``edit``.
    """
    before = {name: getattr(row, name) for name in names}
    with transaction.atomic():
        if type(row)._default_manager.filter(pk=row.pk, version=version).delete()[0] < 1:
            raise stale(row, version, {})
        note(row, actor, before=before, after={})


def stale(row: models.Model, version: int, wanted: dict[str, Any]) -> Refused:
    """The refusal of a write with a version that is not, or no longer, the row's."""
    versions = type(row)._default_manager.filter(pk=row.pk).values_list("version", flat=True)
    now = versions.first()
    if now is None:
        return not_found()
    return Stale(row._meta.model_name or "", row.pk, seen=version, now=now, wanted=wanted)


def edit_many(rows: Sequence[tuple[models.Model, dict[str, Any]]], actor: Actor) -> None:
    """Write changes of many rows of one table in a few statements, each with its line in the trail.

    For what follows from the club's facts, in the transaction of the change that caused it: nobody is asked
    for a version, but each row counts one on, so that whoever read it before is told that it is stale.
    """
    lines, names = [], {"version"}
    for row, changes in sorted(rows, key=lambda one: one[0].pk):
        changed = {name: value for name, value in changes.items() if getattr(row, name) != value}
        if changed:
            before = {name: getattr(row, name) for name in changed}
            lines.append((row, change_of(row, actor, before=before, after=changed)))
            for name, value in (changed | {"version": row.version + 1}).items():  # type: ignore[attr-defined]
                setattr(row, name, value)
            names |= {row._meta.get_field(name).name for name in changed}
    if len(lines) == 1:
        [(row, line)] = lines
        row.save(update_fields=sorted(names))
        line.save()
    elif lines:
        table = type(lines[0][0])._default_manager
        lock(table.filter(pk__in=[row.pk for row, _ in lines]).only("pk"))
        table.bulk_update([row for row, _ in lines], sorted(names), batch_size=200)
        Change.objects.bulk_create([line for _, line in lines])


def created(row: models.Model, actor: Actor, *names: str) -> None:
    """Write down that a row was made, with the named fields."""
    note(row, actor, before={}, after={name: getattr(row, name) for name in names})


def note(row: models.Model, actor: Actor, *, before: dict[str, Any], after: dict[str, Any]) -> None:
    """One line in the trail of changes; for contacts only the names of the fields."""
    change_of(row, actor, before=before, after=after).save()


def change_of(row: models.Model, actor: Actor, *, before: dict[str, Any], after: dict[str, Any]) -> Change:
    """The line, not yet saved, so that many can be written in one statement."""
    table = row._meta.model_name or ""
    private = table in PRIVATE
    return Change(
        club_id=actor.club_id,
        who_id=actor.member_id,
        door=actor.door,
        table=table,
        row=row.pk,
        before={name: None if private else plain(value) for name, value in before.items()},
        after={name: None if private else plain(value) for name, value in after.items()},
        at=timezone.now(),
    )
