"""Preview a file, then take it in: nothing is written before it is accepted, and then all or nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from django.db import IntegrityError, transaction

from collection.craft.reasons import Reason
from collection.models import Accepted as AcceptedFile
from collection.models import Change, Club
from collection.queries.access import Actor, club_of, must_plan
from collection.queries.errors import Refused
from collection.usecases.importing import offers, people, trees
from collection.usecases.importing.guess import Guess
from collection.usecases.importing.headings import DAY, KINDS, TABLES
from collection.usecases.importing.made import Made
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
) -> Accepted:
    """Take a file in: every row that is not set aside, or none. The same file again changes nothing.

    Args:
        set_aside: "faulty" leaves out every row with a problem; a collection of (sheet, row) leaves
            out those rows; "none" leaves out nothing.

    Raises:
        Refused: As ``preview``; ``import_has_problems`` when a row that is not set aside has a problem;
            ``import_changed_meanwhile`` when somebody wrote the same rows at the same moment.
    """
    must_plan(actor)
    club = club_of(actor)
    found = _look(club, data, file_name, kind, today, Answers(told or {}, sheet, corrected or {}))
    file = _File(kind, file_name, found, today, set_aside)
    seen = _newest_change(club)
    batch = _check(actor, club, file)
    try:
        with transaction.atomic():
            # One file at a time for a club; SQLite's immediate transaction does the same for the file.
            lock(Club.objects.filter(pk=club.pk))
            if (before := taken_before(club, kind, found.digest)) is not None:
                return Accepted(before, 0, 0, 0, True)
            if _newest_change(club) != seen:
                batch = _check(actor, club, file)
            return _take_in(actor, club, file, batch)
    except IntegrityError:
        raise Refused("import_changed_meanwhile", kind="conflict") from None


def _newest_change(club: Club) -> int:
    """The club's newest line in the trail: nothing of the club was written while it stays the same."""
    newest = Change.objects.filter(club=club).order_by("-pk").values_list("pk", flat=True).first()
    return newest or 0


@dataclass(frozen=True, slots=True)
class _File:
    kind: str
    name: str
    found: Look
    today: date
    set_aside: SetAside


@dataclass(frozen=True, slots=True)
class _Batch:
    """Rows looked up in the club's register, and the rows that stay out."""

    checked: Checked
    aside: list[Place]


def _check(actor: Actor, club: Club, file: _File) -> _Batch:
    """Look every row up; refuse where one that is not set aside has a problem."""
    drafts = _drafts(actor, file.kind, file.today, file.found)
    left = file.set_aside
    kept = [draft for draft in drafts if isinstance(left, str) or _place(draft) not in left]
    checked = CHECKS[file.kind](kept, club, file.today)
    faulty = [draft for draft in kept if draft.problems]
    if faulty and left != "faulty":
        problem = faulty[0].problems[0]
        raise Refused("import_has_problems", rows=len(faulty), place=problem.place, column=problem.column)
    taken = {_place(draft) for draft in (*checked.ready, *checked.unchanged)}
    return _Batch(checked, [_place(draft) for draft in drafts if _place(draft) not in taken])


def _take_in(actor: Actor, club: Club, file: _File, batch: _Batch) -> Accepted:
    digest = _digest_without(file.found.digest, batch.aside)
    if (before := taken_before(club, file.kind, digest)) is not None:
        return Accepted(before, 0, 0, 0, True)
    made = WRITES[file.kind](batch.checked.ready, club, actor, file.today, file.name)
    row = AcceptedFile.objects.create(
        club=club,
        kind=file.kind,
        digest=digest,
        file_name=file.name[:200],
        rows=made.rows,
        headings=file.found.headings,
        told={column.heading: answer_of(column, file.kind) for column in file.found.columns},
        made=made.ids,
        by_id=actor.member_id,
    )
    return Accepted(row.pk, made.rows, len(batch.checked.unchanged), len(batch.aside), False)


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
    rows = AcceptedFile.objects.filter(club=club, kind=kind, digest=digest, undone_at=None)
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
