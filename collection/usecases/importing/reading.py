"""From the bytes of a file to its rows and what each column means; nothing is written."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from django.db.models import Model

from collection.craft.reasons import Reason
from collection.models import Bench, Club, Member, Site
from collection.queries.errors import Refused
from collection.usecases.importing.guess import Guess, guess
from collection.usecases.importing.headings import KINDS
from collection.usecases.importing.numbers import CannotRead
from collection.usecases.importing.sheet import Grid, Row, grid_of, read_tabs
from collection.usecases.importing.tabs import SheetError
from collection.usecases.importing.vocabulary import key, unaccented

# Columns without which no row of a kind can be taken; one of each set is enough.
NEEDED: Mapping[str, tuple[frozenset[str], ...]] = {
    "trees": (frozenset({"species", "common_name", "name", "group"}),),
    "people": (frozenset({"name", "first_name", "last_name"}),),
    "offers": (frozenset({"member"}),),
}


@dataclass(frozen=True, slots=True)
class Answers:
    """What a person said about a file.

    Attributes:
        told: Heading -> field, or field:unit, or "" to leave the column out.
        sheet: Take this sheet only.
        corrected: Cells put right, by ``cell_key``.
    """

    told: Mapping[str, str] = field(default_factory=dict)
    sheet: str = ""
    corrected: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Look:
    """A file as it was read.

    Attributes:
        tabs: Names of the sheets that hold anything.
        grid: Its rows, with corrected cells in their place.
        columns: One guess a column.
        digest: SHA-256 of the file and of the answers.
        headings: SHA-256 of the headings alone: the next file like it is known by it.
        missing: Why no row can be taken yet: no column holds a name, say; None when all is there.
    """

    tabs: tuple[str, ...]
    grid: Grid
    columns: tuple[Guess, ...]
    digest: str
    headings: str
    missing: Reason | None


def cell_key(sheet: str, place: str, heading: str) -> str:
    """The name of a cell among corrected ones."""
    return "\t".join((sheet, place, heading))


def look(club: Club, data: bytes, file_name: str, kind: str, today: date, answers: Answers) -> Look:
    """Read a file.

    Raises:
        Refused: An ``import_...`` code at the field "file" when it cannot be read at all.
        ValueError: If there is no such kind.
    """
    if kind not in KINDS:
        raise ValueError(f"no such kind of file: {kind}")
    people, sites, benches = (_plain_names(model, club) for model in (Member, Site, Bench))
    try:
        tabs = read_tabs(data, file_name)
        grid = _corrected(grid_of(tabs, kind, answers.sheet), answers.corrected)
        columns = guess(
            grid.headings,
            grid.columns(),
            kind,
            today=today,
            inches=club.inches,
            told=answers.told,
            people=people,
            sites=sites,
            benches=benches,
        )
    except (SheetError, CannotRead) as error:
        raise _refused(error.reason) from None
    if not grid.rows:
        raise Refused("import_no_rows", field="file")
    missing = _missing(kind, {column.field for column in columns})
    names = tuple(tab.name for tab in tabs)
    return Look(names, grid, columns, digest_of(data, answers), headings_digest(kind, grid.headings), missing)


def sheet_names(data: bytes, file_name: str) -> tuple[str, ...]:
    """Names of the sheets of a file; none when it cannot be read."""
    try:
        return tuple(tab.name for tab in read_tabs(data, file_name))
    except SheetError:
        return ()


def headings_digest(kind: str, headings: tuple[str, ...]) -> str:
    """The same for every file of a kind with the same headings in the same order."""
    words = "\n".join(unaccented(heading) for heading in headings)
    return hashlib.sha256(f"{kind}\n{words}".encode()).hexdigest()


def digest_of(data: bytes, answers: Answers) -> str:
    """The file and what was said about it: other answers make it another file."""
    said = "\n".join(f"{heading}={field}" for heading, field in sorted(answers.told.items()))
    cells = "".join(f"\n{cell}={text}" for cell, text in sorted(answers.corrected.items()))
    return hashlib.sha256(data + b"\0" + f"{said}\0{answers.sheet}{cells}".encode()).hexdigest()


def _corrected(grid: Grid, cells: Mapping[str, str]) -> Grid:
    if not cells:
        return grid
    rows = [
        Row(
            row.sheet,
            row.place,
            tuple(
                cells.get(cell_key(row.sheet, row.place, heading), cell)
                for heading, cell in zip(grid.headings, row.cells, strict=True)
            ),
        )
        for row in grid.rows
    ]
    return replace(grid, rows=tuple(rows))


def _plain_names(model: type[Model], club: Club) -> frozenset[str]:
    names = model._default_manager.filter(club=club).values_list("name", flat=True)
    return frozenset(map(key, names))


def _refused(reason: Reason) -> Refused:
    refusal = Refused(reason.code, field="file")
    refusal.reason = reason
    return refusal


def _missing(kind: str, fields: set[str]) -> Reason | None:
    for wanted in NEEDED[kind]:
        if not wanted & fields:
            names = tuple(f"{kind}.{name}" for name in KINDS[kind] if name in wanted)
            return Reason.of("import_column_missing", fields=names)
    return None
