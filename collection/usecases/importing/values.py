"""One cell into one value, by what its column means; and what was wrong with a cell that has none."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, time
from typing import Any

from collection.craft.reasons import Reason
from collection.usecases.importing import numbers, species, words
from collection.usecases.importing.dates import read_date, read_past_date, read_time, read_weekday
from collection.usecases.importing.fitting import read_email, read_phone
from collection.usecases.importing.guess import Guess
from collection.usecases.importing.headings import DAY, KINDS, SHEET_NAME, TABLES, Field
from collection.usecases.importing.numbers import CannotRead, Style
from collection.usecases.importing.sheet import Grid, Row
from collection.usecases.importing.tabs import CELL_ERRORS, NO_RESULT

# Cells that people write for "nothing".
NOTHING = frozenset(
    {"-", "--", "\u2013", "\u2014", "?", "n/a", "na", "unknown", "none", "tbc", "unbekannt", "keine"}
)


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with one cell or row.

    Attributes:
        sheet: Name of the sheet, or of the file when it is plain text.
        place: Row number as the program shows it, or a column letter where trees stand side by side.
        column: Heading of the column, "" when the whole row is meant.
        value: What the cell holds.
        reason: Code and values; the sentence says what to do.
    """

    sheet: str
    place: str
    column: str
    value: str
    reason: Reason

    @property
    def code(self) -> str:
        """The stable code of the reason."""
        return self.reason.code


@dataclass(slots=True)
class Draft:
    """A row as it was read: values by field, cells of columns we do not know, and problems."""

    row: Row
    values: dict[str, Any] = field(default_factory=dict)
    extra: dict[str, str] = field(default_factory=dict)
    columns: dict[str, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def wrong(self, name: str, reason: Reason, value: str = "") -> None:
        """Add a problem about the column that holds ``name``."""
        column = self.columns.get(name, "")
        self.problems.append(Problem(self.row.sheet, self.row.place, column, value, reason))


def read_rows(grid: Grid, guesses: tuple[Guess, ...], kind: str, today: date) -> list[Draft]:
    """Every row read by the columns' meanings; nothing is looked up and nothing is written."""
    return [_draft(row, guesses, kind, today) for row in grid.rows]


def _draft(row: Row, guesses: tuple[Guess, ...], kind: str, today: date) -> Draft:
    draft = Draft(row)
    cells = zip(guesses, row.cells, strict=True)
    draft.values["cells"] = {guess.heading: cell for guess, cell in cells if cell}
    for guess in guesses:
        cell = row.cells[guess.column]
        draft.columns.setdefault(guess.field or guess.heading, guess.heading)
        if not cell:
            continue
        if not guess.field:
            if guess.heading != SHEET_NAME:
                draft.extra[guess.heading] = cell
            continue
        _take(draft, guess, cell, kind, today)
    return draft


def _take(draft: Draft, guess: Guess, cell: str, kind: str, today: date) -> None:
    field_ = Field("answer_or_hours") if guess.field.startswith(DAY) else KINDS[kind][guess.field]
    if cell.casefold() in NOTHING and field_.reads not in (
        "text",
        "answer",
        "answer_or_hours",
        "yes_no",
        "level",
    ):
        return
    try:
        value = read_cell(cell, field_, guess.style, today)
    except CannotRead as error:
        draft.problems.append(Problem(draft.row.sheet, draft.row.place, guess.heading, cell, error.reason))
        return
    if field_.many and guess.field in draft.values:
        value = f"{draft.values[guess.field]}\n{guess.heading}: {value}"
    draft.values[guess.field] = value


def read_cell(cell: str, field: Field, style: Style, today: date) -> Any:
    """The value of a cell: mm, kg, litres, minutes, a day, a time, a code or text.

    Raises:
        CannotRead: If the cell means nothing of the kind, is out of range, or is an error cell.
    """
    if cell in CELL_ERRORS:
        raise CannotRead("import_no_result" if cell == NO_RESULT else "import_cell_error", value=cell)
    if field.reads in TABLES:
        return _size(cell, field, style)
    if field.reads in ("text", "species"):
        return _text(cell, field)
    if field.reads == "count":
        return numbers.read_count(cell, style)
    if field.reads in ("date", "past_date"):
        return (read_date if field.reads == "date" else read_past_date)(cell, style, today)
    return READERS[field.reads](cell)


def _size(cell: str, field: Field, style: Style) -> float:
    value = numbers.read_amount(cell, TABLES[field.reads], style, f"import_not_a_{field.reads}")
    if value > field.most:
        raise CannotRead("import_size_too_large", value=cell, kind=field.reads, most=field.most, read=value)
    return value


def _text(cell: str, field: Field) -> str:
    if len(cell) > field.longest:
        raise CannotRead("import_too_long", value=cell[:40], most=field.longest, letters=len(cell))
    return cell if field.many else " ".join(cell.split())


def _level(cell: str) -> str:
    """A level; a bare "yes" counts as the lowest that is no beginner's: learning."""
    known = words.look_up(cell, "levels")
    if known:
        return known
    answer = words.look_up(cell, "answers")
    if answer == "yes":
        return "learning"
    return "" if answer == "no" else words.read_level(cell)


def _answer_or_hours(cell: str) -> tuple[str, time | None, time | None]:
    """An answer for a day: "yes", "no", or the hours "10-13", "from 10", "10:00 to 13:00"."""
    found = words.look_up(cell, "answers")
    if found:
        return found, None, None
    start, mark, end = _split_hours(cell)
    if not mark:
        raise CannotRead("import_not_an_answer", value=cell)
    arrives, leaves = read_time(start), read_time(end)
    if arrives >= leaves:
        raise CannotRead("import_times_order", value=cell)
    return "yes", arrives, leaves


def _split_hours(cell: str) -> tuple[str, str, str]:
    body = cell.replace("\u2013", "-").replace("\u2014", "-").replace(" to ", "-").replace(" bis ", "-")
    start, mark, end = body.partition("-")
    return start.strip(), mark, end.strip()


READERS: Mapping[str, Callable[[str], Any]] = {
    "group": species.read_group,
    "stage": words.read_stage,
    "condition": words.read_condition,
    "level": _level,
    "role": words.read_role,
    "skills": words.read_skills,
    "answer": words.read_answer,
    "answer_or_hours": _answer_or_hours,
    "yes_no": words.read_yes_no,
    "time": read_time,
    "weekday": read_weekday,
    "email": read_email,
    "phone": read_phone,
}
