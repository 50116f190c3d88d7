"""What a file gives before anybody asks what it means: tabs of text cells, and why a file is refused."""

from __future__ import annotations

from dataclasses import dataclass, field

from collection.craft.reasons import Reason

MOST_BYTES = 50 * 1024 * 1024
MOST_ROWS = 20_000
MOST_COLUMNS = 100

# Letters that begin a formula: a text that starts with one carries a mark before it.
MARKED = "=+-@\t\r\n\uff1d\uff0b\uff0d\uff20"
# What a cell shows when the spreadsheet program could not work it out.
NO_RESULT = "#FORMULA?"
CELL_ERRORS = frozenset(
    {"#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NUM!", "#NULL!", "#NV", "#WERT!", NO_RESULT}
)


class SheetError(ValueError):
    """A file that cannot be read at all. ``reason`` says why and what to do."""

    def __init__(self, code: str, **values: str | int) -> None:
        super().__init__(code)
        self.reason = Reason.of(code, **values)


@dataclass(frozen=True, slots=True)
class Tab:
    """One sheet as text. ``rows[0]`` is the row the program numbers 1.

    ``merged`` holds (first row, first column, last row, last column), all from 0.
    """

    name: str
    rows: tuple[tuple[str, ...], ...]
    merged: tuple[tuple[int, int, int, int], ...] = ()
    notes: tuple[Reason, ...] = field(default=())


def tidy(text: str) -> str:
    """Cell text without spaces at its ends, nor the mark that keeps it from being a formula."""
    text = text.replace("\u00a0", " ").replace("\u3000", " ").replace("\r\n", "\n").strip()
    bare = text.lstrip("'")
    return text[1:] if bare and text[0] == "'" and bare[0] in MARKED else text


def refuse_if_too_big(name: str, rows: int, columns: int) -> None:
    """Refuse more rows or columns than a club's list can have.

    Raises:
        SheetError: Above 20,000 rows or 100 columns (our own limits).
    """
    if rows > MOST_ROWS:
        raise SheetError("import_too_many_rows", sheet=name, most=MOST_ROWS, rows=rows)
    if columns > MOST_COLUMNS:
        raise SheetError("import_too_many_columns", sheet=name, most=MOST_COLUMNS, columns=columns)
