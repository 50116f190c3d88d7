"""Workbooks (.xlsx): measured and repacked before the reader sees them.

A workbook is a zip file, and a small zip can hold a huge sheet. So each part is unpacked with a
counter running, each sheet is walked once to see how far it reaches, and only then is a fresh copy
of the needed parts handed to the reader. Macros, links and pictures stay behind.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections import Counter
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from xml.parsers import expat

from python_calamine import CalamineError, CalamineSheet, CalamineWorkbook, SheetVisibleEnum

from collection.craft.reasons import Reason
from collection.usecases.importing.tabs import MOST_BYTES, NO_RESULT, SheetError, Tab, refuse_if_too_big, tidy

MOST_PARTS = 2_000
CHUNK = 1 << 16
WANTED = re.compile(
    r"^(\[Content_Types\]\.xml|_rels/\.rels|xl/_rels/[^/]+\.rels|xl/(workbook|styles|sharedStrings)\.xml"
    r"|xl/worksheets/[^/]+\.xml|xl/worksheets/_rels/[^/]+\.rels)$"
)
CELL = re.compile(r"^([A-Z]{1,3})([0-9]{1,7})$")

Attributes = dict[str, str]


def read_workbook(data: bytes) -> tuple[Tab, ...]:
    """Every visible sheet of a workbook that holds anything; hidden ones are named in the notes.

    Raises:
        SheetError: If the file is broken, locked, too big, or carries definitions no sheet needs.
    """
    parts = _parts(data)
    walks = {name: _walk(name, body) for name, body in parts.items() if "worksheets/sheet" in name.lower()}
    _refuse_much_text(parts.get("xl/sharedStrings.xml", b""), walks)
    sheet_parts = _sheet_parts(parts)
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(_packed(parts)))
        return _tabs(book, {name: walks.get(part, _Walk(name)) for name, part in sheet_parts.items()})
    except CalamineError:
        raise SheetError("import_not_a_sheet") from None


def _tabs(book: CalamineWorkbook, walks: dict[str, _Walk]) -> tuple[Tab, ...]:
    hidden = [meta.name for meta in book.sheets_metadata if meta.visible != SheetVisibleEnum.Visible]
    notes = tuple(Reason.of("import_hidden_sheet", sheet=name) for name in hidden)
    tabs: list[Tab] = []
    for name in book.sheet_names:
        if name in hidden:
            continue
        sheet = book.get_sheet_by_name(name)
        rows = _text_rows(sheet, walks.get(name, _Walk(name)))
        if any(any(row) for row in rows):
            merged = tuple((*first, *last) for first, last in sheet.merged_cell_ranges or ())
            tabs.append(Tab(name, rows, merged, notes if not tabs else ()))
    if not tabs:
        raise SheetError("import_empty", file="")
    return tuple(tabs)


def _text_rows(sheet: CalamineSheet, walk: _Walk) -> tuple[tuple[str, ...], ...]:
    rows = [[cell_text(cell) for cell in row] for row in sheet.to_python(skip_empty_area=False)]
    for (row, column), text in walk.broken.items():
        if row < len(rows) and column < len(rows[row]):
            rows[row][column] = text
    while rows and not any(rows[-1]):
        rows.pop()
    return tuple(tuple(row) for row in rows)


def cell_text(value: object) -> str:
    """A cell as people would type it; dates as 2019-05-03, times as 9:30, whole numbers without a point."""
    if isinstance(value, str):
        return tidy(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    return _moment_text(value)


def _moment_text(value: object) -> str:
    if isinstance(value, datetime):
        if (value.hour, value.minute) == (0, 0):
            return value.date().isoformat()
        return value.strftime("%Y-%m-%d %H:%M")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, time):
        return f"{value.hour}:{value.minute:02d}"
    if isinstance(value, timedelta):
        minutes = int(value.total_seconds()) // 60
        return f"{minutes // 60}:{minutes % 60:02d}"
    return str(value)


def _parts(data: bytes) -> dict[str, bytes]:
    """The parts the reader needs, each unpacked while counting, because the zip directory may lie."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            entries = archive.infolist()
            if len(entries) > MOST_PARTS or sum(entry.file_size for entry in entries) > MOST_BYTES:
                raise SheetError("import_file_too_big", most_mib=MOST_BYTES // 2**20)
            if any(entry.flag_bits & 1 for entry in entries):
                raise SheetError("import_locked")
            wanted = [entry for entry in entries if WANTED.match(entry.filename)]
            return _unpacked(archive, wanted)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError):
        raise SheetError("import_not_a_sheet") from None


def _unpacked(archive: zipfile.ZipFile, entries: list[zipfile.ZipInfo]) -> dict[str, bytes]:
    parts: dict[str, bytes] = {}
    left = MOST_BYTES
    for entry in entries:
        pieces = []
        with archive.open(entry) as stream:
            while piece := stream.read(CHUNK):
                left -= len(piece)
                if left < 0:
                    raise SheetError("import_file_too_big", most_mib=MOST_BYTES // 2**20)
                pieces.append(piece)
        parts[entry.filename] = b"".join(pieces)
    return parts


def _packed(parts: dict[str, bytes]) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as archive:
        for name, body in parts.items():
            archive.writestr(name, body)
    return target.getvalue()


def _sheet_parts(parts: dict[str, bytes]) -> dict[str, str]:
    """Which part holds which sheet."""
    targets: dict[str, str] = {}
    names: dict[str, str] = {}

    def relation(tag: str, attributes: Attributes) -> None:
        if tag == "Relationship":
            target = attributes.get("Target", "").lstrip("/")
            targets[attributes.get("Id", "")] = target if target.startswith("xl/") else f"xl/{target}"

    def sheet(tag: str, attributes: Attributes) -> None:
        if tag == "sheet":
            key = next((value for name, value in attributes.items() if name.endswith(":id")), "")
            names[attributes.get("name", "")] = targets.get(key, "")

    _parse(parts.get("xl/_rels/workbook.xml.rels", b""), start=relation)
    _parse(parts.get("xl/workbook.xml", b""), start=sheet)
    return names


class _Walk:
    """One pass over a sheet: how far it reaches, which cells failed, which shared texts it uses."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.broken: dict[tuple[int, int], str] = {}
        self.shared: Counter[str] = Counter()
        self._row = self._column = -1
        self._kind = ""
        self._text: list[str] = []
        self._inside = self._formula = self._filled = False

    def start(self, tag: str, attributes: Attributes) -> None:
        if tag == "row":
            self._row = int(attributes["r"]) - 1 if attributes.get("r", "").isdigit() else self._row + 1
            self._column = -1
        elif tag == "c":
            self._open_cell(attributes)
        elif tag in ("v", "t"):
            self._inside = True
        elif tag == "f":
            self._formula = True

    def _open_cell(self, attributes: Attributes) -> None:
        place = attributes.get("r")
        if place is None:
            self._column += 1
        else:
            match = CELL.match(place)
            if match is None:
                raise SheetError("import_not_a_sheet")
            self._row, self._column = int(match[2]) - 1, _column_number(match[1])
        self._kind = attributes.get("t", "n")
        self._text, self._formula, self._filled = [], False, False

    def text(self, text: str) -> None:
        if self._inside:
            self._filled = True
            if self._kind in ("e", "s"):
                self._text.append(text)

    def end(self, tag: str) -> None:
        if tag in ("v", "t"):
            self._inside = False
        elif tag == "c":
            self._close_cell()

    def _close_cell(self) -> None:
        if self._filled:
            refuse_if_too_big(self.name, self._row + 1, self._column + 1)
        if self._kind == "e" and self._filled:
            self.broken[self._row, self._column] = "".join(self._text)
        elif self._kind == "s":
            self.shared["".join(self._text)] += 1
        elif self._formula and not self._filled and self._kind != "str":
            self.broken[self._row, self._column] = NO_RESULT


def _walk(name: str, body: bytes) -> _Walk:
    walk = _Walk(name.rsplit("/", 1)[-1])
    _parse(body, start=walk.start, end=walk.end, text=walk.text)
    return walk


def _refuse_much_text(body: bytes, walks: dict[str, _Walk]) -> None:
    """A long text stored once may be shown a million times: count what it grows to."""
    lengths: list[int] = []

    def start(tag: str, _: Attributes) -> None:
        if tag == "si":
            lengths.append(0)

    def text(piece: str) -> None:
        if lengths:
            lengths[-1] += len(piece)

    _parse(body, start=start, text=text)
    used = sum((walk.shared for walk in walks.values()), Counter[str]())
    total = sum(
        lengths[int(key)] * times for key, times in used.items() if key.isdigit() and int(key) < len(lengths)
    )
    if total > MOST_BYTES:
        raise SheetError("import_file_too_big", most_mib=MOST_BYTES // 2**20)


def _parse(
    body: bytes,
    *,
    start: Callable[[str, Attributes], None],
    end: Callable[[str], None] | None = None,
    text: Callable[[str], None] | None = None,
) -> None:
    if not body:
        return
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler = lambda tag, attributes: start(tag.rsplit(":", 1)[-1], attributes)
    if end is not None:
        parser.EndElementHandler = lambda tag: end(tag.rsplit(":", 1)[-1])
    if text is not None:
        parser.CharacterDataHandler = text
    parser.StartDoctypeDeclHandler = _refuse_definitions
    try:
        parser.Parse(body, True)
    except expat.ExpatError:
        raise SheetError("import_not_a_sheet") from None


def _refuse_definitions(*_: object) -> None:
    raise SheetError("import_not_a_sheet")


def _column_number(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number - 1
