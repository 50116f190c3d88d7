"""Comma, semicolon and tab separated text, in whatever encoding the club's program wrote it."""

from __future__ import annotations

import csv
import io
from collections import Counter

from collection.usecases.importing.tabs import (
    MOST_BYTES,
    MOST_ROWS,
    SheetError,
    Tab,
    refuse_if_too_big,
    tidy,
)

DELIMITERS = ",;\t"
LONGEST_CELL = 1_000_000


def read_delimited(data: bytes, name: str) -> Tab:
    """The one tab of a text file.

    Raises:
        SheetError: If this is no text, is empty, or is too big.
    """
    if len(data) > MOST_BYTES:
        raise SheetError("import_file_too_big", most_mib=MOST_BYTES // 2**20)
    text = decode(data)
    text, told = _told_delimiter(text)
    rows = _rows(text, told or sniff(text))
    while rows and not any(rows[-1]):
        rows.pop()
    if not rows:
        raise SheetError("import_empty", file=name)
    refuse_if_too_big(name, len(rows), max(_width(row) for row in rows))
    return Tab(name, tuple(tuple(row[: _width(row)]) for row in rows))


def decode(data: bytes) -> str:
    """Text of the bytes: by mark, as UTF-8, as UTF-16 without mark, as Japanese, else as Western Windows.

    Raises:
        SheetError: If the bytes are no text.
    """
    text = _decoded(data)
    odd = sum(1 for letter in text[:20_000] if ord(letter) < 32 and letter not in "\t\r\n\f\v")
    if odd > len(text[:20_000]) // 200 or "\x00" in text:
        raise SheetError("import_not_a_sheet")
    return text


def _decoded(data: bytes) -> str:
    try:
        if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            return data.decode("utf-16")
        if data[:3] == b"\xef\xbb\xbf":
            return data.decode("utf-8-sig")
        if data[1:4:2] == b"\x00\x00" or data[0:3:2] == b"\x00\x00":
            return data.decode("utf-16-le" if data[1:2] == b"\x00" else "utf-16-be")
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return _old_code_page(data)


def _old_code_page(data: bytes) -> str:
    try:
        japanese = data.decode("cp932")
    except UnicodeDecodeError:
        japanese = ""
    # Kana hardly ever appear by accident when Western text is read as Japanese.
    if sum(1 for letter in japanese if "\u3041" <= letter <= "\u30fc") >= 2:
        return japanese
    if sum(byte < 32 and byte not in b"\t\n\r\f\v" for byte in data[:20_000]) > len(data[:20_000]) // 200:
        raise SheetError("import_not_a_sheet")
    try:
        return data.decode("cp1252")
    except UnicodeDecodeError:
        raise SheetError("import_unknown_letters") from None


def _told_delimiter(text: str) -> tuple[str, str]:
    """Some programs write ``sep=;`` as the first line and hide it."""
    first, _, rest = text.partition("\n")
    if first.strip().lower().startswith("sep=") and len(first.strip()) == 5:
        return rest, first.strip()[4]
    return text, ""


def sniff(text: str) -> str:
    """The delimiter that cuts most lines of the start into the same number of cells, more than one."""
    best, best_score = ",", 0.0
    for delimiter in DELIMITERS:
        widths = _sample_widths(text, delimiter)
        if not widths:
            continue
        width, times = max(Counter(widths).items(), key=lambda item: (item[0] > 1, item[1], item[0]))
        score = (times / len(widths)) * min(width - 1, 20)
        if score > best_score:
            best, best_score = delimiter, score
    return best


def _sample_widths(text: str, delimiter: str) -> list[int]:
    widths: list[int] = []
    try:
        for row in csv.reader(io.StringIO(text[:50_000]), delimiter=delimiter):
            if any(row):
                widths.append(len(row))
            if len(widths) >= 60:
                break
    except csv.Error:
        return []
    return widths


def _rows(text: str, delimiter: str) -> list[list[str]]:
    rows: list[list[str]] = []
    before = csv.field_size_limit(LONGEST_CELL)
    try:
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter):
            cells = [tidy(cell) for cell in row]
            if len(rows) > MOST_ROWS and not any(cells):
                continue  # a long blank tail costs nothing
            rows.append(cells)
            refuse_if_too_big("", len(rows) if any(cells) else 0, _width(cells))
    except csv.Error:
        raise SheetError("import_broken_quotes", row=len(rows) + 1) from None
    finally:
        csv.field_size_limit(before)
    return rows


def _width(row: list[str]) -> int:
    return max((place for place, cell in enumerate(row, start=1) if cell), default=0)
