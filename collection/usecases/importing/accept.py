"""Preview a file, then take it in: nothing is written before it is accepted, and then all or nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from django.db import IntegrityError, transaction
from django.db.models import Model

from collection.craft.reasons import Reason
from collection.models import Accepted as AcceptedFile
from collection.models import Bench, Club, Member, Site
from collection.queries.access import Actor, club_of, must_plan
from collection.queries.errors import Refused
from collection.usecases.importing import offers, people, trees
from collection.usecases.importing.guess import Guess, guess
from collection.usecases.importing.headings import KINDS
from collection.usecases.importing.numbers import CannotRead
from collection.usecases.importing.sheet import Grid, read_grid
from collection.usecases.importing.tabs import SheetError
from collection.usecases.importing.trees import Checked
from collection.usecases.importing.values import Draft, Problem, read_rows
from collection.usecases.importing.vocabulary import key

Place = tuple[str, str]
SetAside = Literal["none", "faulty"] | Collection[Place]
Check = Callable[[Sequence[Draft], Club, date], Checked]
Write = Callable[[Sequence[Draft], Club, Actor, date, str], int]
CHECKS: Mapping[str, Check] = {"trees": trees.check, "people": people.check, "offers": offers.check}
WRITES: Mapping[str, Write] = {"trees": trees.write, "people": people.write, "offers": offers.write}
# Columns without which no row of a kind can be taken; one of each set is enough.
NEEDED: Mapping[str, tuple[frozenset[str], ...]] = {
    "trees": (frozenset({"species", "common_name", "name", "group"}),),
    "people": (frozenset({"name", "first_name", "last_name"}),),
    "offers": (frozenset({"member"}),),
}


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
    """Rows made, rows there already, rows set aside; ``already`` when the file was taken in before."""

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

    Raises:
        Refused: ``coordinators_only``, or an ``import_...`` code when the file cannot be read at all.
    """
    must_plan(actor)
    club = club_of(actor)
    grid, columns, digest = _read(club, data, file_name, kind, today, told or {}, sheet)
    drafts = read_rows(grid, columns, kind, today)
    checked = CHECKS[kind](drafts, club, today)
    partly = _digest_without(digest, [_place(draft) for draft in drafts if draft.problems])
    return Preview(
        kind=kind,
        file_name=file_name,
        digest=digest,
        columns=columns,
        notes=grid.notes,
        rows=len(grid.rows),
        ready=_places(checked.ready),
        unchanged=_places(checked.unchanged),
        problems=tuple(problem for draft in drafts for problem in draft.problems),
        makes=tuple(checked.makes),
        already=any(_taken_before(club, kind, known) for known in (digest, partly)),
    )


def accept(
    *,
    actor: Actor,
    data: bytes,
    file_name: str,
    kind: str,
    today: date,
    told: Mapping[str, str] | None = None,
    sheet: str = "",
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
    grid, columns, digest = _read(club, data, file_name, kind, today, told or {}, sheet)
    drafts = read_rows(grid, columns, kind, today)
    try:
        with transaction.atomic():
            # One file at a time for a club; SQLite's immediate transaction does the same for the file.
            Club.objects.select_for_update().get(pk=club.pk)
            if _taken_before(club, kind, digest):
                return Accepted(0, 0, 0, True)
            file = _File(kind, file_name, digest)
            return _take_in(actor, club, file, today, drafts, set_aside)
    except IntegrityError:
        raise Refused("import_changed_meanwhile", kind="conflict") from None


@dataclass(frozen=True, slots=True)
class _File:
    kind: str
    name: str
    digest: str


def _take_in(
    actor: Actor, club: Club, file: _File, today: date, drafts: list[Draft], set_aside: SetAside
) -> Accepted:
    kept = [draft for draft in drafts if isinstance(set_aside, str) or _place(draft) not in set_aside]
    checked = CHECKS[file.kind](kept, club, today)
    faulty = [draft for draft in kept if draft.problems]
    if faulty and set_aside != "faulty":
        problem = faulty[0].problems[0]
        raise Refused("import_has_problems", rows=len(faulty), place=problem.place, column=problem.column)
    taken = {_place(draft) for draft in (*checked.ready, *checked.unchanged)}
    aside = [_place(draft) for draft in drafts if _place(draft) not in taken]
    digest = _digest_without(file.digest, aside)
    if _taken_before(club, file.kind, digest):
        return Accepted(0, 0, 0, True)
    made = WRITES[file.kind](checked.ready, club, actor, today, file.name)
    AcceptedFile.objects.create(
        club=club, kind=file.kind, digest=digest, file_name=file.name[:200], rows=made, by_id=actor.member_id
    )
    return Accepted(made, len(checked.unchanged), len(aside), False)


def _read(
    club: Club,
    data: bytes,
    file_name: str,
    kind: str,
    today: date,
    told: Mapping[str, str],
    sheet: str,
) -> tuple[Grid, tuple[Guess, ...], str]:
    if kind not in KINDS:
        raise ValueError(f"no such kind of file: {kind}")
    people, sites, benches = (_plain_names(model, club) for model in (Member, Site, Bench))
    try:
        grid = read_grid(data, file_name, kind, sheet)
        columns = guess(
            grid.headings,
            grid.columns(),
            kind,
            today=today,
            inches=club.inches,
            told=told,
            people=people,
            sites=sites,
            benches=benches,
        )
    except (SheetError, CannotRead) as error:
        raise _refused(error.reason) from None
    if not grid.rows:
        raise Refused("import_no_rows", field="file")
    _must_have(kind, {column.field for column in columns})
    return grid, columns, _digest(data, told, sheet)


def _plain_names(model: type[Model], club: Club) -> frozenset[str]:
    names = model._default_manager.filter(club=club).values_list("name", flat=True)
    return frozenset(map(key, names))


def _refused(reason: Reason) -> Refused:
    refusal = Refused(reason.code, field="file")
    refusal.reason = reason
    return refusal


def _must_have(kind: str, fields: set[str]) -> None:
    for wanted in NEEDED[kind]:
        if not wanted & fields:
            names = tuple(f"{kind}.{name}" for name in KINDS[kind] if name in wanted)
            raise Refused("import_column_missing", field="file", fields=names)


def _digest(data: bytes, told: Mapping[str, str], sheet: str) -> str:
    """The file and what was said about it: other answers make it another file."""
    said = "\n".join(f"{heading}={field}" for heading, field in sorted(told.items()))
    return hashlib.sha256(data + b"\0" + f"{said}\0{sheet}".encode()).hexdigest()


def _taken_before(club: Club, kind: str, digest: str) -> bool:
    return AcceptedFile.objects.filter(club=club, kind=kind, digest=digest).exists()


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
