"""Made-up club sheets, built in memory; no file of anybody's is used."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import openpyxl
from openpyxl.utils.datetime import CALENDAR_MAC_1904

TODAY = date(2026, 11, 25)
Rows = Sequence[Sequence[Any]]


def text(rows: Rows, delimiter: str = ",", encoding: str = "utf-8") -> bytes:
    """The rows as delimited text."""
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter).writerows(rows)
    return out.getvalue().encode(encoding)


def book(
    sheets: Mapping[str, Rows],
    *,
    hidden: Sequence[str] = (),
    merged: Mapping[str, Sequence[str]] | None = None,
    from_1904: bool = False,
) -> bytes:
    """A workbook with the given sheets."""
    workbook = openpyxl.Workbook()
    workbook.remove(workbook.worksheets[0])
    if from_1904:
        workbook.epoch = CALENDAR_MAC_1904
    for name, rows in sheets.items():
        sheet = workbook.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
        for area in (merged or {}).get(name, ()):
            sheet.merge_cells(area)
        if name in hidden:
            sheet.sheet_state = "hidden"
    out = io.BytesIO()
    workbook.save(out)
    return out.getvalue()


def with_part(data: bytes, part: str, body: bytes) -> bytes:
    """The workbook with one of its parts replaced or added."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            if entry.filename != part:
                new.writestr(entry.filename, old.read(entry.filename))
        new.writestr(part, body)
    return out.getvalue()


def sheet_xml(cells: str) -> bytes:
    """A worksheet part around the given cells."""
    space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    return f'<worksheet xmlns="{space}"><sheetData>{cells}</sheetData></worksheet>'.encode()
