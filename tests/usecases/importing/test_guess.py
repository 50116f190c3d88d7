"""U16: twelve made-up club sheets, each in its own manner; 90 % of their columns are guessed right."""

from __future__ import annotations

from datetime import date

import pytest

from collection.queries.sentences import say
from collection.usecases.importing.guess import Guess, guess, heading_words
from collection.usecases.importing.numbers import CannotRead
from collection.usecases.importing.sheet import read_grid
from tests.usecases.importing.sheets import TODAY, book, text

# Each sheet: name -> (file, kind, the right field of each column).
SHEETS: dict[str, tuple[bytes, str, list[str]]] = {
    "trees in rows": (
        text(
            [
                [
                    "Accession",
                    "Species",
                    "Height (cm)",
                    "Trunk (mm)",
                    "Stage",
                    "Bench",
                    "Owner",
                    "Notes",
                    "Price",
                ],
                ["2019.001", "Acer palmatum", "62", "45", "refining", "Bench A", "Ana Bell", "tall", "40"],
                ["2019.002", "Larch", "45", "30", "raw", "Bench B", "Ben Cole", "", "25"],
            ]
        ),
        "trees",
        ["accession", "species", "height", "trunk", "stage", "bench", "owner", "note", ""],
    ),
    "title, blank row, totals": (
        text(
            [
                ["Autumn count of our trees"],
                [],
                [
                    "Tag",
                    "Tree",
                    "How many",
                    "Primary branches",
                    "Secondary branches",
                    "Twigs",
                    "Last repotted",
                ],
                ["T1", "Trident maple", "1", "6", "24", "90", "14/3/2021"],
                ["T2", "Scots pine", "1", "5", "20", "60", "2/4/2020"],
                ["Total", "", "2", "11", "44", "150", ""],
            ]
        ),
        "trees",
        ["accession", "species", "batch", "count_primary", "count_secondary", "count_fine", "last_repot"],
    ),
    "trees in columns": (
        text(
            [
                ["Tree number", "11", "12", "13"],
                ["Type of tree", "Chinese elm", "Hornbeam", "Japanese maple"],
                ["Height", "45 cm", "60 cm", "52 cm"],
                ["Weight", "6 kg", "14 kg", "9 kg"],
                ["Pot volume", "3 l", "8 l", "5,5 l"],
                ["Looked after by", "Ana", "Ben", "Cleo"],
            ]
        ),
        "trees",
        ["accession", "species", "height", "mass", "pot_litres", "carer"],
    ),
    "one sheet per member": (
        book(
            {
                "Ana Bell": [["No", "Variety", "Ht", "Development"], [1, "Shimpaku", "30 cm", "in training"]],
                "Ben Cole": [["No", "Variety", "Ht", "Development"], [2, "Larch", "55 cm", "show"]],
            }
        ),
        "trees",
        ["accession", "species", "height", "stage", "owner"],
    ),
    "dates as text": (
        text(
            [
                [
                    "ID",
                    "Latin name",
                    "Common name",
                    "In collection since",
                    "Repotted",
                    "Health",
                    "Can travel",
                ],
                ["a1", "Ulmus parvifolia", "Chinese elm", "3 May 2019", "March 2022", "good", "yes"],
                ["a2", "Acer buergerianum", "Trident maple", "1st June 2015", "April 2023", "weak", "no"],
            ]
        ),
        "trees",
        ["accession", "species", "common_name", "acquired_on", "last_repot", "condition", "may_travel"],
    ),
    "two units and a unit row": (
        text(
            [
                ["Label", "Species", "Height", "Spread", "Trunk diameter", "Weight", "Remarks"],
                ["", "", "in", "in", "in", "lb", ""],
                ["1", "Scots pine", "24", "18 1/2", "2", "22", "shed"],
                ["2", "Juniperus rigida", "60 cm", "45 cm", "50 mm", "9 kg", ""],
            ]
        ),
        "trees",
        ["accession", "species", "height", "spread", "trunk", "mass", "note"],
    ),
    "German": (
        text(
            [
                [
                    "Nr.",
                    "Baumart",
                    "H\u00f6he",
                    "Stammst\u00e4rke",
                    "Gewicht",
                    "Besitzer",
                    "Standort",
                    "Zustand",
                    "Bemerkungen",
                ],
                [
                    "1",
                    "M\u00e4dchenkiefer",
                    "62 cm",
                    "4,5 cm",
                    "12,5 kg",
                    "Uta",
                    "Regal 2",
                    "gesund",
                    "schief",
                ],
                ["2", "F\u00e4cherahorn", "48 cm", "3,8 cm", "9 kg", "Jens", "Regal 1", "schwach", ""],
            ],
            ";",
            "cp1252",
        ),
        "trees",
        ["accession", "species", "height", "trunk", "mass", "owner", "bench", "condition", "note"],
    ),
    "Spanish": (
        text(
            [
                [
                    "C\u00f3digo",
                    "Especie",
                    "Altura (cm)",
                    "Di\u00e1metro del tronco (mm)",
                    "Propietario",
                    "Fecha de compra",
                    "Notas",
                ],
                ["A-1", "Olivo", "55", "80", "In\u00e9s", "3 de mayo de 2018", "bonito"],
                ["A-2", "Olmo chino", "40", "35", "Luis", "12 de enero de 2020", ""],
            ],
            ";",
        ),
        "trees",
        ["accession", "species", "height", "trunk", "owner", "acquired_on", "note"],
    ),
    "Japanese": (
        text(
            [
                [
                    "\u756a\u53f7",
                    "\u6a39\u7a2e",
                    "\u6a39\u9ad8\uff08cm\uff09",
                    "\u5e79\u5f84",
                    "\u6240\u6709\u8005",
                    "\u690d\u3048\u66ff\u3048\u65e5",
                    "\u68da",
                    "\u5099\u8003",
                ],
                [
                    "1",
                    "\u9ed2\u677e",
                    "62",
                    "4.5cm",
                    "\u5c71\u4e0b",
                    "2019\u5e745\u67083\u65e5",
                    "\u4e00\u306e\u68da",
                    "\u3088\u3044",
                ],
                [
                    "2",
                    "\u3082\u307f\u3058",
                    "45",
                    "3cm",
                    "\u5ddd\u53e3",
                    "\u4ee4\u548c2\u5e743\u6708",
                    "\u4e8c\u306e\u68da",
                    "",
                ],
            ],
            ",",
            "cp932",
        ),
        "trees",
        ["accession", "species", "height", "trunk", "owner", "last_repot", "bench", "note"],
    ),
    "French, misspelt and without a number": (
        text(
            [
                [
                    "Esp\u00e8ce",
                    "Hauteur",
                    "Diam\u00e8tre du tronc",
                    "Propri\u00e9taire",
                    "Remarque",
                    "Branches primaires",
                ],
                ["H\u00eatre", "70 cm", "6 cm", "Zo\u00e9", "grand", "8"],
                ["\u00c9rable du Japon", "50 cm", "4 cm", "Paul", "", "6"],
            ]
        ),
        "trees",
        ["species", "height", "trunk", "owner", "note", "count_primary"],
    ),
    "people": (
        text(
            [
                [
                    "First name",
                    "Surname",
                    "E-mail",
                    "Mobile",
                    "Role",
                    "Member since",
                    "Wiring",
                    "Repotting",
                    "Can lift",
                    "First aid",
                    "Hobby",
                ],
                [
                    "Ana",
                    "Bell",
                    "ana@example.org",
                    "01632 960001",
                    "coordinator",
                    "2015",
                    "expert",
                    "practised",
                    "yes",
                    "no",
                    "chess",
                ],
                [
                    "Ben",
                    "Cole",
                    "ben@example.org",
                    "01632 960002",
                    "member",
                    "2020",
                    "novice",
                    "learning",
                    "no",
                    "yes",
                    "",
                ],
            ]
        ),
        "people",
        [
            "first_name",
            "last_name",
            "email",
            "telephone",
            "role",
            "active_from",
            "skill_wiring",
            "skill_repotting",
            "can_lift",
            "first_aid",
            "",
        ],
    ),
    "who comes when": (
        text(
            [
                ["Who", "5 Dec 2026", "12 Dec 2026", "Weekday", "Hours a week"],
                ["Ana Bell", "yes", "10-13", "Tuesday", "3"],
                ["Ben Cole", "no", "maybe", "", ""],
            ]
        ),
        "offers",
        ["member", "day:2026-12-05", "day:2026-12-12", "weekday", "minutes"],
    ),
}


def guesses(data: bytes, kind: str, told: dict[str, str] | None = None) -> tuple[Guess, ...]:
    grid = read_grid(data, "club.csv", kind)
    people = frozenset({"ana bell", "ben cole"})
    return guess(grid.headings, grid.columns(), kind, today=TODAY, told=told, people=people)


def test_U16_at_least_nine_in_ten_columns_of_twelve_sheets_are_guessed_right() -> None:
    assert len(SHEETS) == 12
    wrong, total = [], 0
    for name, (data, kind, right) in SHEETS.items():
        found = [column.field for column in guesses(data, kind)]
        assert len(found) == len(right), name
        total += len(right)
        wrong += [(name, want, got) for want, got in zip(right, found, strict=True) if want != got]
    assert total >= 80
    assert len(wrong) <= total // 10, wrong


@pytest.mark.parametrize("name", SHEETS)
def test_U16_every_guess_is_a_question_with_up_to_three_different_samples(name: str) -> None:
    data, kind, _ = SHEETS[name]
    grid = read_grid(data, "club.csv", kind)
    for column, cells in zip(guesses(data, kind), grid.columns(), strict=True):
        filled = list(dict.fromkeys(cell for cell in cells if cell))
        assert list(column.samples) == filled[:3]
        sentence = say(column.asked)
        assert sentence.startswith("Is this" if column.field else "We do not know")


def test_the_question_for_the_trunk_asks_and_says_how_plain_numbers_are_read() -> None:
    data = text([["No", "Species", "Trunk"], ["1", "Larch", "45"], ["2", "Elm", "30"]])
    assert say(guesses(data, "trees")[2].asked) == (
        "Is this the trunk thickness? Plain numbers are read as millimetres: is that right?"
    )


def test_an_answer_about_a_column_beats_the_guess_and_gives_the_unit() -> None:
    data = text([["No", "Species", "Girth", "Height"], ["1", "Larch", "12", "60"]])
    found = guesses(data, "trees", {"girth": "trunk:mm", "Height": ""})
    assert [(column.field, column.style.unit, column.told) for column in found[2:]] == [
        ("trunk", "mm", True),
        ("", "", True),
    ]


@pytest.mark.parametrize(
    ("told", "code"),
    [
        ({"Girth": "trunk"}, "import_no_such_column"),
        ({"No": "sparkle"}, "import_no_such_field"),
        ({"No": "trunk:yard"}, "import_no_such_unit"),
    ],
)
def test_an_answer_that_fits_nothing_is_refused(told: dict[str, str], code: str) -> None:
    with pytest.raises(CannotRead) as caught:
        guesses(text([["No", "Species"], ["1", "Larch"]]), "trees", told)
    assert caught.value.reason.code == code


def test_a_field_is_given_to_one_column_only_but_notes_to_many() -> None:
    data = text(
        [
            ["No", "Species", "Height", "Tree height", "Notes", "Remarks"],
            ["1", "Elm", "4 cm", "5 cm", "a", "b"],
        ]
    )
    assert [column.field for column in guesses(data, "trees")] == [
        "accession",
        "species",
        "height",
        "",
        "note",
        "note",
    ]


def test_a_column_of_species_is_known_by_its_cells_and_a_column_of_prices_by_nothing() -> None:
    data = text([["No", "Stuff", "Paid"], ["1", "Larch", "12"], ["2", "Chinese elm", "7"]])
    assert [column.field for column in guesses(data, "trees")] == ["accession", "species", ""]


def test_the_heading_may_say_the_order_of_day_and_month() -> None:
    rows = [["No", "Species", "Acquired (mm/dd/yyyy)"], ["1", "Elm", "3/5/2019"]]
    assert guesses(text(rows), "trees")[2].style.day_first is False


def test_days_without_a_year_are_the_coming_ones() -> None:
    data = text([["Name", "5 December", "16.1."], ["Ana Bell", "yes", "no"]])
    found = [column.field for column in guesses(data, "offers")]
    assert found[1:] == [f"day:{date(2026, 12, 5)}", f"day:{date(2027, 1, 16)}"]


def test_units_come_off_headings() -> None:
    assert heading_words("H\u00f6he in cm") == ("hohe", "cm")
    assert heading_words("Height (inches)") == ("height", "in")
    assert heading_words("\u6a39\u9ad8\uff08cm\uff09") == ("\u6a39\u9ad8", "cm")
    assert heading_words("Trunk_mm") == ("trunk", "mm")
