"""From a file to one table: which row holds the headings, which rows hold trees or people.

Clubs put titles above the headings, totals below the rows, units in a second heading row, trees side
by side instead of one below the other, or one sheet for each member. What is left out is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from collection.craft.reasons import Reason
from collection.usecases.importing.delimited import read_delimited
from collection.usecases.importing.guess import heading_words, is_heading
from collection.usecases.importing.headings import SHEET_NAME
from collection.usecases.importing.numbers import UNIT_WORDS, CannotRead, read_number
from collection.usecases.importing.tabs import MOST_COLUMNS, SheetError, Tab, refuse_if_too_big
from collection.usecases.importing.vocabulary import unaccented, vocabulary
from collection.usecases.importing.workbook import read_workbook

SEARCHED = 20

Cells = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """One tree, person or offer. ``place`` is what the program shows: a row number, or a column letter."""

    sheet: str
    place: str
    cells: Cells


@dataclass(frozen=True, slots=True)
class Grid:
    """One table: headings and rows of equal width, and what was left out or filled in on the way."""

    headings: Cells
    rows: tuple[Row, ...]
    notes: tuple[Reason, ...] = field(default=())
    turned: bool = False

    def __post_init__(self) -> None:
        if any(len(row.cells) != len(self.headings) for row in self.rows):
            raise ValueError("every row needs one cell for each heading")

    def columns(self) -> list[list[str]]:
        """The cells of each column."""
        return [[row.cells[place] for row in self.rows] for place in range(len(self.headings))]


def read_tabs(data: bytes, filename: str) -> tuple[Tab, ...]:
    """The tabs of a CSV or XLSX file, told apart by what is in it, not by its name.

    Raises:
        SheetError: If it is neither, or is unsafe to open.
    """
    if not data.strip():
        raise SheetError("import_empty", file=filename)
    if data[:4] == b"PK\x03\x04":
        return read_workbook(data)
    if data[:4] == b"\xd0\xcf\x11\xe0":
        raise SheetError("import_old_or_locked")
    if data[:4] in (b"%PDF", b"\x89PNG", b"GIF8", b"{\\rt") or data[:2] in (b"\xff\xd8", b"\x1f\x8b"):
        raise SheetError("import_not_a_sheet")
    return (read_delimited(data, filename),)


def read_grid(data: bytes, filename: str, kind: str, sheet: str = "") -> Grid:
    """The table in a file: ``grid_of`` its tabs.

    Raises:
        SheetError: If the file cannot be read or holds no table.
    """
    return grid_of(read_tabs(data, filename), kind, sheet)


def grid_of(tabs: Sequence[Tab], kind: str, sheet: str = "") -> Grid:
    """The table on the tabs of a file.

    Args:
        tabs: As ``read_tabs`` gives them.
        kind: "trees", "people" or "offers": whose headings to look for.
        sheet: Take this sheet only.

    Raises:
        SheetError: If no tab holds a table, or there is no such sheet.
    """
    notes = tuple(note for tab in tabs for note in tab.notes)
    if sheet:
        chosen = [tab for tab in tabs if unaccented(tab.name) == unaccented(sheet)]
        if not chosen:
            raise SheetError("import_no_such_sheet", sheet=sheet, sheets=", ".join(tab.name for tab in tabs))
        tabs = chosen
    found = [(tab, find_table(tab, kind)) for tab in tabs]
    grids = [(tab, grid) for tab, grid in found if grid is not None]
    if not grids:
        raise SheetError("import_no_headings")
    skipped = [Reason.of("import_sheet_skipped", sheet=tab.name) for tab, grid in found if grid is None]
    joined = _joined([grid for _, grid in grids], [tab.name for tab, _ in grids])
    return Grid(joined.headings, joined.rows, notes + tuple(skipped) + joined.notes, joined.turned)


def find_table(tab: Tab, kind: str) -> Grid | None:
    """The table on one tab, or None when no row or column of headings is found."""
    filled, note = _fill_merged(tab)
    rows = _square(filled)
    down = _heading_line(rows, kind)
    # Side by side, the things to know of a tree run down the side: never more than a sheet has columns.
    turnable = len(rows) <= MOST_COLUMNS
    across_rows = [tuple(column) for column in zip(*rows, strict=True)] if turnable else []
    across = _heading_line(across_rows[:3], kind)
    if _known(across_rows, across, kind) >= 3 and _known(across_rows, across, kind) > _known(
        rows, down, kind
    ):
        turned = _table(tab.name, across_rows, across, kind, turned=True)
        return Grid(
            turned.headings,
            turned.rows,
            (Reason.of("import_turned", sheet=tab.name), *note, *turned.notes),
            True,
        )
    if down is None:
        return None
    grid = _table(tab.name, rows, down, kind, turned=False)
    return Grid(grid.headings, grid.rows, (*note, *grid.notes))


def _square(rows: Sequence[Sequence[str]]) -> list[Cells]:
    width = max((len(row) for row in rows), default=0)
    return [tuple(row) + ("",) * (width - len(row)) for row in rows]


def _fill_merged(tab: Tab) -> tuple[list[list[str]], tuple[Reason, ...]]:
    rows = [list(row) for row in _square(tab.rows)]
    tall = 0
    for top, left, bottom, right in tab.merged:
        if top >= len(rows) or left >= len(rows[top]):
            continue
        refuse_if_too_big(tab.name, 0, right - left + 1)
        tall += bottom > top
        for row in range(top, min(bottom + 1, len(rows))):
            for column in range(left, min(right + 1, len(rows[row]))):
                rows[row][column] = rows[top][left]
    return rows, (Reason.of("import_merged_filled", sheet=tab.name, areas=tall),) if tall else ()


def _distinct(row: Sequence[str]) -> int:
    return len({cell for cell in row if cell})


def _known(rows: Sequence[Cells], line: int | None, kind: str) -> int:
    return 0 if line is None else sum(is_heading(cell, kind) for cell in set(rows[line]))


def _heading_line(rows: Sequence[Cells], kind: str) -> int | None:
    """The line with most known headings among the first; else the first line of words above anything."""
    best, most = None, 0
    for place, row in enumerate(rows[:SEARCHED]):
        known = _known(rows, place, kind) if _distinct(row) > 1 else 0
        if known > most and not any(_is_number(cell) for cell in row):
            best, most = place, known
    if best is not None:
        return best
    for place, row in enumerate(rows[:SEARCHED]):
        if _distinct(row) > 1:
            worded = all(not cell or not _is_number(cell) for cell in row)
            return (
                place
                if worded and _distinct(row) >= max(2, len(row) // 2) and len(rows) > place + 1
                else None
            )
    return None


def _is_number(cell: str) -> bool:
    try:
        read_number(cell)
    except CannotRead:
        return False
    return True


def _table(name: str, rows: Sequence[Cells], line: int | None, kind: str, *, turned: bool) -> Grid:
    if line is None:
        raise ValueError("a table needs its line of headings")
    headings, first = _headings(rows, line, kind)
    kept = [place for place in range(len(headings)) if any(row[place] for row in rows[line:])]
    names = _named([headings[place] for place in kept], kept)
    body: list[Row] = []
    notes: list[Reason] = []
    for place in range(first, len(rows)):
        cells = tuple(rows[place][column] for column in kept)
        if not any(cells):
            continue
        shown = column_letter(place) if turned else str(place + 1)
        left_out = _left_out(cells, rows[line], kept, body)
        if left_out:
            notes.append(Reason.of(left_out, sheet=name, place=shown, turned=turned))
        else:
            body.append(Row(name, shown, cells))
    return Grid(names, tuple(body), tuple(notes), turned)


def _headings(rows: Sequence[Cells], line: int, kind: str) -> tuple[list[str], int]:
    """Headings joined over one, two or three rows, and the first row below them."""
    headings = list(rows[line])
    above = rows[line - 1] if line else ()
    if above and _distinct(above) > 1:
        headings = [
            text if is_heading(text, kind) or not over or over == text else f"{over} {text}".strip()
            for over, text in zip(above, headings, strict=True)
        ]
    first = line + 1
    if first < len(rows) and _is_units(rows[first]):
        headings = [
            f"{text} ({unit.strip('()[]')})" if unit else text
            for text, unit in zip(headings, rows[first], strict=True)
        ]
        return headings, first + 1
    if first < len(rows) and _completes(rows[line], rows[first], kind):
        headings = [under if under and not (text and is_heading(text, kind) and under == text) and not text
                    else (f"{text} {under}".strip() if under != text else text)
                    for text, under in zip(headings, rows[first], strict=True)]  # fmt: skip
        return headings, first + 1
    return headings, first


def _is_units(row: Cells) -> bool:
    filled = [unaccented(cell).strip("()[] .") for cell in row if cell]
    return bool(filled) and all(cell in UNIT_WORDS for cell in filled)


def _completes(line: Cells, below: Cells, kind: str) -> bool:
    """Whether the row below is a second row of headings: known words under empty or repeated ones."""
    repeated = {cell for cell in line if cell and line.count(cell) > 1}
    under = [text for over, text in zip(line, below, strict=True) if text and (not over or over in repeated)]
    filled = [cell for cell in below if cell]
    return (
        len(under) >= 2
        and not any(_is_number(cell) for cell in filled)
        and all(is_heading(cell, kind) or cell in line for cell in filled)
    )


def _named(headings: list[str], places: list[int]) -> Cells:
    """Every column gets a name of its own; a nameless one is called by its letter."""
    names: list[str] = []
    for heading, place in zip(headings, places, strict=True):
        name = " ".join(heading.split()) or f"Column {column_letter(place)}"
        names.append(name if name not in names else f"{name} ({column_letter(place)})")
    return tuple(names)


def column_letter(place: int) -> str:
    """The letter a spreadsheet shows above a column: 0 is A, 26 is AA."""
    letters = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def _left_out(cells: Cells, headings: Cells, kept: list[int], body: list[Row]) -> str:
    filled = [cell for cell in cells if cell]
    start = unaccented(filled[0]).rstrip(":. ")
    if start in vocabulary()["totals"] or (
        start.startswith(("total ", "summe ", "gesamt ")) and len(filled) <= len(cells) // 2 + 1
    ):
        return "import_totals_row"
    if cells == tuple(headings[place] for place in kept):
        return "import_heading_again"
    if len(filled) > 1 and _distinct(cells) == 1 and len(cells) > 2:
        return "import_line_of_words"
    return "import_totals_row" if _adds_up(cells, body) else ""


def _adds_up(cells: Cells, body: list[Row]) -> bool:
    """A last row of sums: nothing but numbers, the first cell empty, one of them the sum of what is above."""
    if cells[0] or len(body) < 2 or not all(_is_number(cell) for cell in cells if cell):
        return False
    for place, cell in enumerate(cells):
        above = [row.cells[place] for row in body if row.cells[place]]
        if (
            cell
            and above
            and all(map(_is_number, above))
            and abs(sum(map(read_number, above)) - read_number(cell)) < 1e-6
        ):
            return True
    return False


def _joined(grids: list[Grid], names: list[str]) -> Grid:
    """Sheets that share most headings become one table with a column for the name of the sheet."""
    base = max(grids, key=lambda grid: len(grid.rows))
    keys = {heading_words(heading)[0] for heading in base.headings}
    alike = [
        grid for grid in grids if len(keys & {heading_words(h)[0] for h in grid.headings}) >= 0.6 * len(keys)
    ]
    skipped = [
        Reason.of("import_sheet_skipped", sheet=name)
        for grid, name in zip(grids, names, strict=True)
        if grid not in alike
    ]
    if len(alike) == 1:
        return Grid(base.headings, base.rows, (*base.notes, *skipped), base.turned)
    headings: dict[str, str] = {}
    for grid in alike:
        for heading in grid.headings:
            headings.setdefault(unaccented(heading), heading)
    rows = [
        Row(row.sheet, row.place, (*_aligned(headings, grid.headings, row.cells), row.sheet))
        for grid in alike
        for row in grid.rows
    ]
    refuse_if_too_big("", len(rows), len(headings) + 1)
    notes = [note for grid in alike for note in grid.notes]
    joined = Reason.of("import_sheets_joined", sheets=tuple(dict.fromkeys(row.sheet for row in rows)))
    return Grid((*headings.values(), SHEET_NAME), tuple(rows), (joined, *notes, *skipped), base.turned)


def _aligned(order: dict[str, str], headings: Cells, cells: Cells) -> Cells:
    by_heading = {unaccented(heading): cell for heading, cell in zip(headings, cells, strict=True)}
    return tuple(by_heading.get(key, "") for key in order)
