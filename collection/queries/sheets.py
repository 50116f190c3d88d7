"""A table as a file: text with commas, or a workbook. No cell of either can become a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

Cell = str | int | float | bool | date | None
# Letters at which spreadsheet programs begin a formula, full-width ones too; the importer takes the mark off.
MARKED = "=+-@\t\r\n\x00\uff1d\uff0b\uff0d\uff20"
WIDTHS = (10, 40)


@dataclass(frozen=True, slots=True)
class Table:
    """Headings and rows of equal width; text stays text, numbers stay numbers."""

    name: str
    headings: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def as_text(table: Table) -> bytes:
    """The table with commas, in UTF-8 with its mark, every text in quotes."""
    out = io.StringIO()
    writer = csv.writer(out, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    writer.writerow([_safe(heading) for heading in table.headings])
    writer.writerows([_plain(cell) for cell in row] for row in table.rows)
    return out.getvalue().encode("utf-8-sig")


def as_workbook(table: Table) -> bytes:
    """The table as one sheet: headings in bold that stay in sight, texts as texts, dates as dates."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet(table.name[:31])
    sheet.freeze_panes = "A2"
    for number, width in enumerate(_widths(table), start=1):
        sheet.column_dimensions[get_column_letter(number)].width = width
    sheet.append([_text_cell(sheet, heading, bold=True) for heading in table.headings])
    for row in table.rows:
        sheet.append([_text_cell(sheet, cell) if isinstance(cell, str) else _value(cell) for cell in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _text_cell(sheet: object, text: str, *, bold: bool = False) -> WriteOnlyCell:
    cell = WriteOnlyCell(sheet, value=_printable(_safe(text) if _marked_twice(text) else text))
    cell.data_type = "s"  # never "f": a text that begins with = stays a text
    cell.number_format = "@"
    if bold:
        cell.font = Font(bold=True)
    return cell


def _value(cell: Cell) -> Cell:
    return ("yes" if cell else "no") if isinstance(cell, bool) else cell


def _plain(cell: Cell) -> str | int | float:
    """A cell of a text file: numbers bare, all else in quotes and safe."""
    if cell is None:
        return ""
    value = _value(cell)
    if isinstance(value, (int, float)):
        return value
    return _safe(value if isinstance(value, str) else str(value))


def _safe(text: str) -> str:
    """The text behind a mark where a spreadsheet program would take it for a formula."""
    return f"'{text}" if text and (text[0] in MARKED or _marked_twice(text)) else text


def _marked_twice(text: str) -> bool:
    """Whether the text itself begins with the mark and a formula's letter, so that it needs one more."""
    rest = text.lstrip("'")
    return text.startswith("'") and bool(rest) and rest[0] in MARKED


def _printable(text: str) -> str:
    """The text without control letters, which a workbook cannot hold."""
    return "".join(letter for letter in text if letter.isprintable() or letter in "\n\t")


def _widths(table: Table) -> Sequence[int]:
    least, most = WIDTHS
    sample = table.rows[:200]
    longest = (
        max([len(heading), *(len(str(row[place])) for row in sample if row[place] is not None)])
        for place, heading in enumerate(table.headings)
    )
    return [min(most, max(least, length + 2)) for length in longest]
