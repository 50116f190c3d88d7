"""Files on their way in, and files that were taken in, as pages and the API show them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils import timezone

from collection.craft.reasons import Reason
from collection.models import Accepted, Upload
from collection.queries.access import Actor, must_plan
from collection.queries.errors import not_found
from collection.queries.import_words import where
from collection.queries.sentences import say
from collection.queries.take_back import UNDO_FOR, accepted_for, standing

MOST_TAKEN = 50


@dataclass(frozen=True, slots=True)
class Column:
    """A column with what it seems to be: ``answer`` is a field, or field:unit, or ""."""

    heading: str
    answer: str
    question: str
    samples: tuple[str, ...]
    told: bool


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with one cell or row, in words; ``column`` is "" where the whole row is meant."""

    sheet: str
    place: str
    column: str
    value: str
    where: str
    said: str
    code: str


@dataclass(frozen=True, slots=True)
class UploadSheet:
    """A file as it stands: what was found in it, and what was answered.

    ``state`` is reading, read, unreadable, taking or taken. ``refused`` says why it could not be read or
    taken in, ``missing`` what has to be said first. Counts are of rows of the file; ``rows_in`` are those
    that are in while the rest is coming.
    """

    id: int
    kind: str
    file_name: str
    state: str
    version: int
    sheet: str
    tabs: tuple[str, ...]
    columns: tuple[Column, ...]
    told: Mapping[str, str]
    corrected: Mapping[str, str]
    notes: tuple[str, ...]
    notes_left: int
    rows: int
    ready: int
    unchanged: int
    faulty: int
    faults: tuple[Fault, ...]
    faults_left: int
    makes: tuple[str, ...]
    already: bool
    as_last_time: bool
    refused: str
    missing: str
    created: int
    aside: int
    rows_in: int
    accepted_id: int | None
    good_until: datetime


@dataclass(frozen=True, slots=True)
class UploadRow:
    """A file that waits, for a list."""

    id: int
    kind: str
    file_name: str
    state: str
    at: datetime
    who: str


@dataclass(frozen=True, slots=True)
class TakenRow:
    """A file that was taken in; ``undo_until`` is None when it cannot be taken back any more.

    ``half``: only part of it is in, so far or for good.
    """

    id: int
    kind: str
    file_name: str
    rows: int
    at: datetime
    who: str
    undone: bool
    half: bool
    undo_until: datetime | None


@dataclass(frozen=True, slots=True)
class TakeBackSheet:
    """What taking a file back would do."""

    taken: TakenRow
    goes: int
    stays: tuple[tuple[str, str], ...]
    gone: int


def upload_sheet(actor: Actor, upload_id: int) -> UploadSheet:
    """One file of the actor's club.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_plan(actor)
    rows = Upload.objects.defer("data").select_related("accepted")
    upload = rows.filter(club_id=actor.club_id, pk=upload_id).first()
    if upload is None:
        raise not_found()
    found = upload.shown
    return UploadSheet(
        id=upload.pk,
        kind=upload.kind,
        file_name=upload.file_name,
        state=upload.state,
        version=upload.version,
        sheet=upload.sheet,
        tabs=tuple(found.get("tabs", ())),
        columns=tuple(_column(column) for column in found.get("columns", ())),
        told=upload.told,
        corrected=upload.corrected,
        notes=tuple(map(_said, found.get("notes", ()))),
        notes_left=found.get("notes_left", 0),
        rows=found.get("rows", 0),
        ready=found.get("ready", 0),
        unchanged=found.get("unchanged", 0),
        faulty=found.get("faulty", 0),
        faults=tuple(_fault(fault, found["several"]) for fault in found.get("problems", ())),
        faults_left=found.get("problems_left", 0),
        makes=tuple(map(_said, found.get("makes", ()))),
        already=found.get("already", False),
        as_last_time=found.get("as_last_time", False),
        refused=_said(found["refused"]) if found.get("refused") else "",
        missing=_said(found["missing"]) if found.get("missing") else "",
        created=found.get("created", 0),
        aside=found.get("aside", 0),
        rows_in=upload.accepted.rows if upload.accepted else 0,
        accepted_id=upload.accepted_id,
        good_until=upload.good_until,
    )


def upload_state(actor: Actor, upload_id: int) -> dict[str, str]:
    """How a file stands, for the page that waits: "waiting" while it is read or taken in, else "ready".

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_plan(actor)
    rows = Upload.objects.filter(club_id=actor.club_id, pk=upload_id)
    state = rows.values_list("state", flat=True).first()
    if state is None:
        raise not_found()
    return {"state": "waiting" if state in (Upload.State.READING, Upload.State.TAKING) else "ready"}


def waiting_files(actor: Actor) -> tuple[UploadRow, ...]:
    """Files of the club that are not in yet, newest first."""
    must_plan(actor)
    rows = Upload.objects.defer("data", "shown").filter(club_id=actor.club_id).select_related("by")
    return tuple(
        UploadRow(row.pk, row.kind, row.file_name, row.state, row.made_at, row.by.name if row.by else "")
        for row in rows.exclude(state=Upload.State.TAKEN).order_by("-pk")
    )


def taken_files(actor: Actor) -> tuple[TakenRow, ...]:
    """Files the club has taken in, newest first, fifty at most."""
    must_plan(actor)
    rows = Accepted.objects.filter(club_id=actor.club_id).select_related("by").order_by("-pk")
    return tuple(map(_taken, rows[:MOST_TAKEN]))


def take_back_sheet(actor: Actor, accepted_id: int) -> TakeBackSheet:
    """What taking a file back would do now.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    row = accepted_for(actor, accepted_id)
    taken = _taken(row)
    if taken.undo_until is None:
        return TakeBackSheet(taken, 0, (), 0)
    found = standing(row)
    stays = tuple((name, say(Reason.of(code))) for name, code in found.stays)
    return TakeBackSheet(taken, sum(map(len, found.goes.values())), stays, found.gone)


def _taken(row: Accepted) -> TakenRow:
    until = row.at + UNDO_FOR
    open_ = row.undone_at is None and bool(row.made) and until > timezone.now()
    return TakenRow(
        row.pk,
        row.kind,
        row.file_name,
        row.rows,
        row.at,
        row.by.name if row.by else "",
        row.undone_at is not None,
        row.half,
        until if open_ else None,
    )


def _said(reason: dict[str, Any]) -> str:
    return say(Reason.from_json(reason))


def _column(column: dict[str, Any]) -> Column:
    return Column(
        column["heading"],
        column["answer"],
        _said(column["asked"]),
        tuple(column["samples"]),
        column["told"],
    )


def _fault(fault: dict[str, Any], several: bool) -> Fault:
    place = where(fault["sheet"] if several else "", fault["place"], fault["column"])
    return Fault(
        fault["sheet"],
        fault["place"],
        fault["column"],
        fault["value"],
        place,
        _said(fault["reason"]),
        fault["reason"]["code"],
    )
