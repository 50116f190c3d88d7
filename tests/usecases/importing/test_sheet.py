from __future__ import annotations

import io
import struct
import zipfile
from datetime import date, datetime

import pytest

from collection.usecases.importing.sheet import column_letter, read_grid, read_tabs
from collection.usecases.importing.tabs import SheetError
from tests.usecases.importing.sheets import Rows, book, sheet_xml, text, with_part

HEAD = ["No", "Species", "Height (cm)"]
TREES: Rows = [HEAD, ["007", "Larch", "62"], ["NA", "Trident maple", "45"]]


def codes(data: bytes, kind: str = "trees", sheet: str = "") -> list[str]:
    return [note.code for note in read_grid(data, "club.csv", kind, sheet).notes]


def refused(data: bytes, sheet: str = "") -> str:
    with pytest.raises(SheetError) as caught:
        read_grid(data, "club.csv", "trees", sheet)
    return caught.value.reason.code


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_text_is_read_in_every_usual_encoding_and_delimiter(encoding: str, delimiter: str) -> None:
    rows = [["Nr", "Art", "H\u00f6he"], ["1", "M\u00e4dchenkiefer", "4,5 cm"], ["2", "L\u00e4rche", "12 cm"]]
    grid = read_grid(text(rows, delimiter, encoding), "club.csv", "trees")
    assert grid.headings == ("Nr", "Art", "H\u00f6he")
    assert grid.rows[0].cells == ("1", "M\u00e4dchenkiefer", "4,5 cm")


def test_japanese_text_of_an_old_program_is_read() -> None:
    rows = [["\u756a\u53f7", "\u6a39\u7a2e", "\u5099\u8003"], ["1", "\u9ed2\u677e", "\u3055\u304f\u3089"]]
    assert read_grid(text(rows, ",", "cp932"), "a.csv", "trees").rows[0].cells[1] == "\u9ed2\u677e"


def test_NA_and_leading_noughts_stay_text() -> None:
    for data in (text(TREES), book({"Trees": TREES})):
        assert [row.cells[0] for row in read_grid(data, "a", "trees").rows] == ["007", "NA"]


def test_rows_are_numbered_as_the_program_shows_them() -> None:
    rows = [
        ["Our trees, 2026"],
        [],
        HEAD,
        ["1", "Larch", "62"],
        [],
        ["2", "Larch\nin two lines", "45"],
        ["3", "Elm", "4"],
    ]
    for data in (text(rows), book({"Trees": rows})):
        assert [row.place for row in read_grid(data, "a", "trees").rows] == ["4", "6", "7"]


def test_a_line_that_names_its_delimiter_is_obeyed_and_not_counted() -> None:
    data = b"sep=;\nNo;Species\n1;Larch, old\n"
    assert read_grid(data, "a.csv", "trees").rows[0].cells == ("1", "Larch, old")
    assert read_grid(data, "a.csv", "trees").rows[0].place == "2"


def test_dates_times_and_yes_come_as_people_write_them() -> None:
    rows = [
        ["No", "Acquired", "When", "May travel"],
        [1, date(2019, 5, 3), datetime(2019, 5, 3, 10, 30), True],  # noqa: DTZ001
    ]
    assert read_grid(book({"T": rows}), "a", "trees").rows[0].cells == (
        "1",
        "2019-05-03",
        "2019-05-03 10:30",
        "yes",
    )


def test_dates_of_workbooks_that_count_from_1904_are_right() -> None:
    rows = [["No", "Acquired"], [1, date(2019, 5, 3)]]
    assert read_grid(book({"T": rows}, from_1904=True), "a", "trees").rows[0].cells[1] == "2019-05-03"


def test_totals_repeated_headings_and_lines_of_words_are_left_out_and_named() -> None:
    rows = [HEAD, ["1", "Larch", "62"], ["Junipers"] * 3, HEAD, ["2", "Elm", "45"], ["Total", "", "107"]]
    grid = read_grid(text(rows), "a.csv", "trees")
    assert [row.place for row in grid.rows] == ["2", "5"]
    assert [(note.code, note.values["place"]) for note in grid.notes] == [
        ("import_line_of_words", "3"),
        ("import_heading_again", "4"),
        ("import_totals_row", "6"),
    ]


def test_a_last_row_of_sums_without_a_word_is_left_out() -> None:
    rows = [["Species", "Height (cm)", "Branches"], ["Larch", "62", "5"], ["Elm", "45", "7"], ["", "", "12"]]
    assert len(read_grid(text(rows), "a.csv", "trees").rows) == 2
    rows[-1] = ["", "", "13"]  # not the sum of 5 and 7, so it may be a tree
    assert len(read_grid(text(rows), "a.csv", "trees").rows) == 3


def test_two_rows_of_headings_become_one() -> None:
    units = [["No", "Species", "Height", "Weight"], ["", "", "cm", "kg"], ["1", "Larch", "62", "9"]]
    assert read_grid(text(units), "a.csv", "trees").headings == (
        "No",
        "Species",
        "Height (cm)",
        "Weight (kg)",
    )
    above = [
        ["", "", "Branches", "Branches"],
        ["No", "Species", "primary", "secondary"],
        ["1", "Larch", "6", "20"],
    ]
    assert read_grid(text(above), "a.csv", "trees").headings[2:] == ("primary", "secondary")


def test_merged_cells_give_their_value_to_every_row_and_the_preview_says_so() -> None:
    rows = [["Owner", "No", "Species"], ["Ana", "1", "Larch"], [None, "2", "Elm"], ["Ben", "3", "Elm"]]
    data = book({"T": rows}, merged={"T": ["A2:A3"]})
    assert [row.cells[0] for row in read_grid(data, "a", "trees").rows] == ["Ana", "Ana", "Ben"]
    assert codes(data) == ["import_merged_filled"]


def test_hidden_and_foreign_sheets_are_left_out_and_named() -> None:
    data = book({"Trees": TREES, "Old": TREES, "Money": [["Paid", "Sum"], ["Jan", 5]]}, hidden=["Old"])
    grid = read_grid(data, "a", "trees")
    assert len(grid.rows) == 2
    assert [(note.code, note.values["sheet"]) for note in grid.notes] == [
        ("import_hidden_sheet", "Old"),
        ("import_sheet_skipped", "Money"),
    ]


def test_one_sheet_can_be_chosen_by_name() -> None:
    data = book({"A": TREES, "B": [HEAD, ["9", "Elm", "1"]]})
    assert [row.cells[0] for row in read_grid(data, "a", "trees", "b").rows] == ["9"]
    assert refused(data, "C") == "import_no_such_sheet"


def test_one_sheet_a_member_becomes_one_table_with_the_sheet_named() -> None:
    data = book({"Ana": TREES, "Ben": [["Species", "No", "Height (cm)", "Note"], ["Elm", "9", "30", "old"]]})
    grid = read_grid(data, "a", "trees")
    assert grid.headings == ("No", "Species", "Height (cm)", "Note", "(sheet name)")
    assert grid.rows[-1].cells == ("9", "Elm", "30", "old", "Ben")
    assert (grid.rows[-1].sheet, grid.rows[-1].place) == ("Ben", "2")


def test_trees_side_by_side_are_turned_and_named_by_their_column() -> None:
    rows = [
        ["No", "007", "008"],
        ["Species", "Larch", "Elm"],
        ["Height (cm)", "62", "45"],
        ["Owner", "Ana", "Ben"],
    ]
    grid = read_grid(text(rows), "a.csv", "trees")
    assert grid.headings == ("No", "Species", "Height (cm)", "Owner")
    assert [(row.place, row.cells[1]) for row in grid.rows] == [("B", "Larch"), ("C", "Elm")]
    assert codes(text(rows)) == ["import_turned"]


def test_cells_that_failed_are_kept_as_errors_and_a_formula_without_result_is_known() -> None:
    space = '<row r="1"><c r="A1" t="str"><v>No</v></c><c r="B1" t="str"><v>Species</v></c></row>'
    cells = '<row r="2"><c r="A2" t="e"><v>#N/A</v></c><c r="B2"><f>C1&amp;"x"</f><v></v></c></row>'
    data = with_part(book({"T": [["x"]]}), "xl/worksheets/sheet1.xml", sheet_xml(space + cells))
    assert read_grid(data, "a", "trees").rows[0].cells == ("#N/A", "#FORMULA?")


def test_the_mark_that_keeps_text_from_being_a_formula_is_taken_off_again() -> None:
    rows = [["No", "Species", "Notes"], ["1", "Larch", "'=1+1"], ["2", "Elm", "'tis small"]]
    assert [row.cells[2] for row in read_grid(text(rows), "a", "trees").rows] == ["=1+1", "'tis small"]


def test_column_letters_run_as_in_the_program() -> None:
    assert [column_letter(place) for place in (0, 25, 26, 51, 52, 701, 702)] == [
        "A",
        "Z",
        "AA",
        "AZ",
        "BA",
        "ZZ",
        "AAA",
    ]


def test_a_million_blank_rows_after_the_table_cost_nothing() -> None:
    cells = '<row r="1"><c r="A1" t="str"><v>No</v></c><c r="B1" t="str"><v>Species</v></c></row>'
    cells += '<row r="2"><c r="A2"><v>7</v></c><c r="B2" t="str"><v>Elm</v></c></row>'
    cells += '<row r="1048576"><c r="XFD1048576" s="0"/></row>'
    data = with_part(book({"T": [["x"]]}), "xl/worksheets/sheet1.xml", sheet_xml(cells))
    assert len(read_grid(data, "a", "trees").rows) == 1
    assert len(read_grid(text(TREES) + b",,\r\n" * 100_000, "a", "trees").rows) == 2


class TestS09UnsafeFiles:
    def test_S09_a_small_file_that_unpacks_to_200_MB_is_refused(self) -> None:
        data = with_part(book({"T": TREES}), "xl/sharedStrings.xml", b" " * 200_000_000)
        assert len(data) < 1_000_000
        assert refused(data) == "import_file_too_big"

    def test_S09_a_directory_that_lies_about_the_size_is_found_out(self) -> None:
        data = with_part(book({"T": TREES}), "xl/sharedStrings.xml", b" " * 60_000_000)
        real = struct.pack("<I", 60_000_000)
        assert data.count(real) >= 1
        assert refused(data.replace(real, struct.pack("<I", 1000))) in (
            "import_not_a_sheet",
            "import_file_too_big",
        )

    def test_S09_one_filled_cell_far_away_is_refused_before_the_sheet_is_built(self) -> None:
        for place, code in (("XFD1", "import_too_many_columns"), ("A1048576", "import_too_many_rows")):
            cells = f'<row><c r="{place}"><v>1</v></c></row>'
            data = with_part(book({"T": [["x"]]}), "xl/worksheets/sheet1.xml", sheet_xml(cells))
            assert refused(data) == code

    def test_S09_a_long_text_shown_a_hundred_thousand_times_is_refused(self) -> None:
        space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
        strings = f'<sst xmlns="{space}"><si><t>{"x" * 30_000}</t></si></sst>'.encode()
        cells = "".join(
            f'<row r="{row}">' + "".join('<c t="s"><v>0</v></c>' for _ in range(50)) + "</row>"
            for row in range(1, 2001)
        )
        data = with_part(book({"T": [["x"]]}), "xl/worksheets/sheet1.xml", sheet_xml(cells))
        assert refused(with_part(data, "xl/sharedStrings.xml", strings)) == "import_file_too_big"

    def test_S09_definitions_that_grow_or_fetch_are_refused(self) -> None:
        for inside in ('<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">', '<!ENTITY a SYSTEM "file:///etc/hostname">'):
            body = f"<!DOCTYPE worksheet [{inside}]>".encode() + sheet_xml("<row><c><v>&a;</v></c></row>")
            assert (
                refused(with_part(book({"T": TREES}), "xl/worksheets/sheet1.xml", body))
                == "import_not_a_sheet"
            )

    def test_S09_macros_links_and_nested_zips_stay_behind(self) -> None:
        data = book({"Trees": TREES})
        for part in ("xl/vbaProject.bin", "xl/externalLinks/externalLink1.xml", "inner.zip"):
            data = with_part(data, part, b"PK\x03\x04 nothing we open")
        assert len(read_grid(data, "a", "trees").rows) == 2

    @pytest.mark.parametrize(
        ("data", "code"),
        [
            (b"", "import_empty"),
            (b"  \n ", "import_empty"),
            (b",,,\n,,\n", "import_empty"),
            (b"PK\x03\x04 not a zip at all", "import_not_a_sheet"),
            (b"\x89PNG\r\n\x1a\n\x00\x00", "import_not_a_sheet"),
            (b"%PDF-1.7 ...", "import_not_a_sheet"),
            (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1rest", "import_old_or_locked"),
            (bytes(range(256)) * 20, "import_not_a_sheet"),
            (b"1,2,3\n4,5,6\n", "import_no_headings"),
        ],
    )
    def test_S09_what_is_no_spreadsheet_is_refused_with_a_reason(self, data: bytes, code: str) -> None:
        assert refused(data) == code

    def test_S09_too_many_rows_or_columns_are_refused(self) -> None:
        assert refused(text([HEAD, *([["1", "Elm", "2"]] * 20_001)])) == "import_too_many_rows"
        assert refused(text([[f"c{n}" for n in range(101)]])) == "import_too_many_columns"

    def test_S09_a_cut_off_or_damaged_workbook_is_refused(self) -> None:
        data = book({"Trees": TREES})
        inside = data.index(b"xl/worksheets/sheet1.xml") + 40
        for broken in (data[: len(data) // 2], data[:inside] + b"\0" * 40 + data[inside + 40 :]):
            assert refused(broken) == "import_not_a_sheet"

    def test_S09_a_zip_without_a_workbook_is_refused(self) -> None:
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w") as archive:
            archive.writestr("hello.txt", "hello")
        assert refused(out.getvalue()) == "import_not_a_sheet"


def test_an_empty_workbook_is_said_to_be_empty() -> None:
    with pytest.raises(SheetError) as caught:
        read_tabs(book({"T": []}), "a")
    assert caught.value.reason.code == "import_empty"
