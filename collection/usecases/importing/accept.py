"""Preview a file, then take it in: nothing is written before that, and a long one comes in by pieces."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from django.db import IntegrityError, transaction

from collection.craft.reasons import Reason
from collection.models import Accepted as AcceptedFile
from collection.models import Club
from collection.queries.access import Actor, club_of, must_plan
from collection.queries.errors import Refused
from collection.usecases.importing import offers, people, trees
from collection.usecases.importing.guess import Guess
from collection.usecases.importing.headings import DAY, KINDS, TABLES
from collection.usecases.importing.made import Made
from collection.usecases.importing.pieces import (
    MOST_LOOKS,
    PIECE,
    Keep,
    Step,
    go_on,
    half_way,
    keep_nothing,
    newest_change,
)
from collection.usecases.importing.reading import Answers, Look, look
from collection.usecases.importing.trees import Checked
from collection.usecases.importing.values import Draft, Problem, read_rows
from collection.usecases.locks import lock

Place = tuple[str, str]
SetAside = Literal["none", "faulty"] | Collection[Place]
Check = Callable[[Sequence[Draft], Club, date], Checked]
Write = Callable[[Sequence[Draft], Club, Actor, date, str], Made]
CHECKS: Mapping[str, Check] = {"trees": trees.check, "people": people.check, "offers": offers.check}
WRITES: Mapping[str, Write] = {"trees": trees.write, "people": people.write, "offers": offers.write}


@dataclass(frozen=True, slots=True)
class Preview:
    """What a file would do, before anything is written.

    Attributes:
        kind: "trees", "people" or "offers".
        file_name: As given.
        digest: SHA-256 of the file and of the answers given about its columns.
        columns: One guess a column, each with three samples and a question.
        notes: What was left out or filled in while reading.
        rows: Rows found below the headings.
        ready: (sheet, row) of rows that would be made.
        unchanged: (sheet, row) of rows that are there already with the same values.
        problems: By row and column, in the order of the sheet.
        makes: What accepting would make.
        already: The same file was taken in before.
    """

    kind: str
    file_name: str
    digest: str
    columns: tuple[Guess, ...]
    notes: tuple[Reason, ...]
    rows: int
    ready: tuple[Place, ...]
    unchanged: tuple[Place, ...]
    problems: tuple[Problem, ...]
    makes: tuple[Reason, ...]
    already: bool

    @property
    def faulty(self) -> tuple[Place, ...]:
        """(sheet, row) of every row with a problem, each once."""
        return tuple(dict.fromkeys((problem.sheet, problem.place) for problem in self.problems))


@dataclass(frozen=True, slots=True)
class Accepted:
    """Rows made, rows there already, rows set aside; ``already`` when the file was taken in before.

    ``id`` is of the record that it was taken in.
    """

    id: int
    created: int
    unchanged: int
    set_aside: int
    already: bool


def preview(
    *,
    actor: Actor,
    data: bytes,
    file_name: str,
    kind: str,
    today: date,
    told: Mapping[str, str] | None = None,
    sheet: str = "",
    corrected: Mapping[str, str] | None = None,
) -> Preview:
    """Read a file and say what it would do. Writes nothing.

    Args:
        actor: Who asks; a coordinator or club admin.
        data: The file.
        file_name: Its name.
        kind: "trees", "people" or "offers".
        today: The club's date.
        told: Answers about columns: heading -> field, or field:unit, or "" to leave the column out.
        sheet: Take this sheet only.
        corrected: Cells put right, by ``reading.cell_key``.

    Raises:
        Refused: ``coordinators_only``, or an ``import_...`` code when the file cannot be read at all.
    """
    must_plan(actor)
    club = club_of(actor)
    found = _look(club, data, file_name, kind, today, Answers(told or {}, sheet, corrected or {}))
    return preview_of(actor, club, file_name, kind, today, found)


def preview_of(actor: Actor, club: Club, file_name: str, kind: str, today: date, found: Look) -> Preview:
    """What a file that was read would do if this person took it in. Writes nothing."""
    drafts = _drafts(actor, kind, today, found)
    checked = CHECKS[kind](drafts, club, today)
    partly = _digest_without(found.digest, [_place(draft) for draft in drafts if draft.problems])
    return Preview(
        kind=kind,
        file_name=file_name,
        digest=found.digest,
        columns=found.columns,
        notes=found.grid.notes,
        rows=len(found.grid.rows),
        ready=_places(checked.ready),
        unchanged=_places(checked.unchanged),
        problems=tuple(problem for draft in drafts for problem in draft.problems),
        makes=tuple(checked.makes),
        already=any(taken_before(club, kind, known) is not None for known in (found.digest, partly)),
    )


def _drafts(actor: Actor, kind: str, today: date, found: Look) -> list[Draft]:
    """The rows as read; what this person may not write is a fault."""
    drafts = read_rows(found.grid, found.columns, kind, today)
    if kind == "people" and not actor.administers:
        people.refuse_higher_roles(drafts)
    return drafts


def _look(club: Club, data: bytes, file_name: str, kind: str, today: date, answers: Answers) -> Look:
    """Read a file of which rows can be taken."""
    found = look(club, data, file_name, kind, today, answers)
    if found.missing is not None:
        refusal = Refused(found.missing.code, field="file")
        refusal.reason = found.missing
        raise refusal
    return found


def accept(
    *,
    actor: Actor,
    data: bytes,
    file_name: str,
    kind: str,
    today: date,
    told: Mapping[str, str] | None = None,
    sheet: str = "",
    corrected: Mapping[str, str] | None = None,
    set_aside: SetAside = "none",
    half_in: int | None = None,
    keep: Keep = keep_nothing,
) -> Accepted:
    """Take a file in: every row that is not set aside. The same file again changes nothing.

    Up to two hundred rows come in at once or not at all. More come in by pieces, each with the record of
    how far it is, so that the next try goes on where this one was killed.

    Args:
        set_aside: "faulty" leaves out every row with a problem; a collection of (sheet, row) leaves
            out those rows; "none" leaves out nothing.
        half_in: Id of the record of this file where an earlier try left it half in.
        keep: Called inside each piece's transaction with how far it is.

    Raises:
        Refused: As ``preview``; ``import_has_problems`` when a row that is not set aside has a problem;
            ``import_changed_meanwhile`` when somebody wrote the same rows at the same moment.
        Overtaken: When another process goes on with the file.
    """
    must_plan(actor)
    club = club_of(actor)
    found = _look(club, data, file_name, kind, today, Answers(told or {}, sheet, corrected or {}))
    file = _File(kind, file_name, found, today, set_aside)
    taking = _Taking(actor, club, file, keep, half_way(club, kind, half_in))
    try:
        looks = 0
        while looks < MOST_LOOKS:
            before = taking.through
            if (done := taking.look_and_write()) is not None:
                return done
            looks = 0 if taking.through > before else looks + 1
    except IntegrityError:
        pass
    raise Refused("import_changed_meanwhile", kind="conflict")


@dataclass(frozen=True, slots=True)
class _File:
    kind: str
    name: str
    found: Look
    today: date
    set_aside: SetAside


@dataclass(frozen=True, slots=True)
class _Batch:
    """Rows looked up in the club's register that are still to come, by their number in the file."""

    ready: list[tuple[int, Draft]]
    rows: int
    unchanged: int
    aside: list[Place]


class _Taking:
    """One try of taking a file in: looked up outside any transaction, written piece by piece."""

    def __init__(self, actor: Actor, club: Club, file: _File, keep: Keep, row: AcceptedFile | None) -> None:
        self._actor, self._club, self._file, self._keep, self._row = actor, club, file, keep, row

    @property
    def through(self) -> int:
        """Rows of the file that are settled, from its first."""
        return self._row.way["through"] if self._row is not None else 0

    def look_and_write(self) -> Accepted | None:
        """Everything that is still to come; None when the register changed and has to be looked up again."""
        seen = newest_change(self._club, self._file.kind)
        batch = self._check()
        digest = _digest_without(self._file.found.digest, batch.aside)
        for start in range(0, max(1, len(batch.ready)), PIECE):
            piece = batch.ready[start : start + PIECE]
            whole = start + PIECE >= len(batch.ready)
            with transaction.atomic():
                # One file at a time for a club; SQLite's immediate transaction does the same for the file.
                lock(Club.objects.filter(pk=self._club.pk))
                if self._row is None and (before := self._before(digest)) is not None:
                    return Accepted(before, 0, 0, 0, True)
                if newest_change(self._club, self._file.kind) != seen:
                    return None
                step = self._write(batch, piece, digest, whole)
                self._keep(step)
                seen = newest_change(self._club, self._file.kind)
        return Accepted(step.accepted_id, step.created, step.unchanged, step.aside, False)

    def _before(self, digest: str) -> int | None:
        known = (
            taken_before(self._club, self._file.kind, each) for each in (self._file.found.digest, digest)
        )
        return next((pk for pk in known if pk is not None), None)

    def _check(self) -> _Batch:
        """Look every row up; refuse where one that is still to come and not set aside has a problem."""
        file, left = self._file, self._file.set_aside
        drafts = _drafts(self._actor, file.kind, file.today, file.found)
        number = {_place(draft): at for at, draft in enumerate(drafts)}
        kept = [draft for draft in drafts if isinstance(left, str) or _place(draft) not in left]
        checked = CHECKS[file.kind](kept, self._club, file.today)
        faulty = [d for d in kept if d.problems and number[_place(d)] >= self.through]
        if faulty and left != "faulty":
            problem = faulty[0].problems[0]
            raise Refused("import_has_problems", rows=len(faulty), place=problem.place, column=problem.column)
        ready = [(number[_place(d)], d) for d in checked.ready if number[_place(d)] >= self.through]
        taken = {_place(draft) for draft in (*checked.ready, *checked.unchanged)}
        aside = [_place(draft) for draft in drafts if _place(draft) not in taken]
        return _Batch(ready, len(drafts), len(checked.unchanged), aside)

    def _write(self, batch: _Batch, piece: list[tuple[int, Draft]], digest: str, whole: bool) -> Step:
        file, row = self._file, self._row
        drafts = [draft for _, draft in piece]
        made = WRITES[file.kind](drafts, self._club, self._actor, file.today, file.name)
        if row is None:
            row = self._begin(batch, digest)
        unchanged = row.way["unchanged"]
        aside = batch.rows - row.rows - made.rows - unchanged
        if whole and aside != row.way["aside"]:
            # Somebody's change kept a row out half-way: the file can be taken in again for it.
            digest = _digest_without(digest, [("", str(row.pk))])
        go_on(row, piece[-1][0] + 1 if piece else batch.rows, made, digest if whole else "")
        self._row = row
        return Step(row.pk, whole, row.rows, unchanged, aside)

    def _begin(self, batch: _Batch, digest: str) -> AcceptedFile:
        """The record of the file, before its first row: half in."""
        found, kind = self._file.found, self._file.kind
        return AcceptedFile.objects.create(
            club=self._club,
            kind=kind,
            digest=digest,
            file_name=self._file.name[:200],
            rows=0,
            headings=found.headings,
            told={column.heading: answer_of(column, kind) for column in found.columns},
            half=True,
            way={
                "through": 0,
                "due": len(batch.ready),
                "unchanged": batch.unchanged,
                "aside": len(batch.aside),
            },
            by_id=self._actor.member_id,
        )


def answer_of(column: Guess, kind: str) -> str:
    """What a column was taken as, in the form in which a person says it: "height:cm", "" for left out."""
    field = KINDS[kind].get(column.field)
    sized = field is not None and field.reads in TABLES and column.style.unit
    return f"{column.field}:{column.style.unit}" if sized else column.field


def remembered(club: Club, kind: str, headings: str) -> dict[str, str]:
    """What was answered about the last file with the same headings; days of a year are not remembered."""
    rows = AcceptedFile.objects.filter(club=club, kind=kind, headings=headings, undone_at=None)
    last = rows.order_by("-pk").first() if headings else None
    told: dict[str, str] = last.told if last else {}
    return {heading: answer for heading, answer in told.items() if not answer.startswith(DAY)}


def taken_before(club: Club, kind: str, digest: str) -> int | None:
    """Id of the record that a file with this digest was taken in and not taken back, or None."""
    rows = AcceptedFile.objects.filter(club=club, kind=kind, digest=digest, half=False, undone_at=None)
    return rows.values_list("pk", flat=True).first()


def _digest_without(digest: str, aside: Sequence[Place]) -> str:
    """A file with rows set aside is not yet the whole file: it can be taken in again for the rest."""
    if not aside:
        return digest
    left = "\n".join(f"{sheet}\0{place}" for sheet, place in sorted(aside))
    return hashlib.sha256(f"{digest}\n{left}".encode()).hexdigest()


def _places(drafts: Sequence[Draft]) -> tuple[Place, ...]:
    return tuple(map(_place, drafts))


def _place(draft: Draft) -> Place:
    return draft.row.sheet, draft.row.place
