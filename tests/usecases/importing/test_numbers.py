"""Sizes as people write them. An inch is 25.4 mm, a pound 0.45359237 kg (1959 agreement, from memory)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.usecases.importing.numbers import (
    KG_PER,
    LITRES_PER,
    MM_PER,
    CannotRead,
    Style,
    decimal_of,
    read_amount,
    read_count,
    read_number,
    unit_style,
)

CM = Style("cm")


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("62 cm", 620.0),
        ("62cm", 620.0),
        ("620 mm", 620.0),
        ("24 in", 24 * 25.4),
        ('24"', 24 * 25.4),
        ("2 ft 3", 27 * 25.4),  # 2 x 12 + 3 = 27 inches
        ("2'3\"", 27 * 25.4),
        ("2\u20323\u2033", 27 * 25.4),
        ("2 ft 3 1/2 in", 27.5 * 25.4),
        ("1\u00bd in", 1.5 * 25.4),
        ("1,2 m", 1200.0),
        ("1 m 20", 1200.0),  # what follows metres is centimetres
        ("about 60", 600.0),
        ("ca. 60 cm", 600.0),
        ("~60", 600.0),
        ("45", 450.0),  # the column's own unit
        ("\uff14\uff15 cm", 450.0),  # full-width digits
        ("45 Zentimeter", 450.0),
        ("10 Zoll", 254.0),
    ],
)
def test_lengths_in_many_spellings_become_mm(text: str, mm: float) -> None:
    assert read_amount(text, MM_PER, CM, "import_not_a_length") == pytest.approx(mm, abs=1e-6)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("tall", "import_not_a_length"),
        ("62 kg", "import_not_a_length"),
        ("62 cm or so", "import_not_a_length"),
        ("-5 cm", "import_not_a_length"),
        ("0", "import_not_a_length"),
        ("10-12 cm", "import_range"),
        ("10 to 12", "import_range"),
        ("10 cm x 12 cm", "import_not_a_length"),
        ("1/0", "import_not_a_number"),
    ],
)
def test_what_is_no_single_length_is_refused_with_a_reason(text: str, code: str) -> None:
    with pytest.raises(CannotRead) as caught:
        read_amount(text, MM_PER, CM, "import_not_a_length")
    assert caught.value.reason.code == code


def test_a_plain_number_without_any_unit_is_asked_about() -> None:
    with pytest.raises(CannotRead) as caught:
        read_amount("45", MM_PER, Style(), "import_not_a_length")
    assert caught.value.reason.code == "import_unit_unknown"


def test_weights_and_volumes() -> None:
    assert read_amount("10 lb", KG_PER, Style(), "x") == pytest.approx(4.5359237)
    assert read_amount("10 lb 8", KG_PER, Style(), "x") == pytest.approx(10.5 * 0.45359237)  # 8 oz = 1/2 lb
    assert read_amount("4,5 Liter", LITRES_PER, Style(), "x") == 4.5
    assert read_amount("750 ml", LITRES_PER, Style(), "x") == 0.75


@pytest.mark.parametrize(
    ("text", "decimal", "value"),
    [
        ("1.200,5", "", 1200.5),
        ("1,200.5", "", 1200.5),
        ("1'200", "", 1200.0),
        ("1 200", "", 1200.0),
        ("1,200", ",", 1.2),
        ("1,200", ".", 1200.0),
        ("0,125", "", 0.125),
        ("4.125", "", 4.125),
    ],
)
def test_decimal_and_thousands_marks(text: str, decimal: str, value: float) -> None:
    assert read_number(text, decimal) == value


def test_a_number_that_could_be_two_is_not_guessed() -> None:
    with pytest.raises(CannotRead) as caught:
        read_number("1,200")
    assert caught.value.reason.code == "import_number_two_ways"
    assert caught.value.reason.values == {"value": "1,200", "small": "1.200", "large": "1200"}


def test_one_cell_shows_the_decimal_mark_of_its_column() -> None:
    assert decimal_of(["1,200", "4,5"]) == ","
    assert decimal_of(["1,200", "4.5"]) == "."
    assert decimal_of(["1,200", "7"]) == ""
    assert decimal_of(["4,5", "4.5"]) == ""


def test_the_heading_beats_the_cells_and_the_cells_beat_the_sizes() -> None:
    assert unit_style(["45", "60 in"], "mm", MM_PER, (80, 1500), False) == Style("mm")
    assert unit_style(["45", "60 in"], "", MM_PER, (80, 1500), False) == Style("in", assumed=True)
    assert unit_style(["45", "60"], "", MM_PER, (80, 1500), False) == Style("cm", assumed=True)
    assert unit_style(["450", "600"], "", MM_PER, (80, 1500), False) == Style("mm", assumed=True)
    assert unit_style(["18", "24"], "", MM_PER, (80, 1500), True) == Style("in", assumed=True)


def test_two_units_in_one_column_leave_plain_numbers_open() -> None:
    assert unit_style(["45", "60 in", "30 cm"], "", MM_PER, (80, 1500), False).unit == ""


def test_a_size_that_fits_two_units_is_asked_about() -> None:
    # 12 mm and 12 cm are both common trunks (8 to 250 mm, assumption)
    assert unit_style(["12", "15"], "", MM_PER, (8, 250), False).unit == ""


@pytest.mark.parametrize("text", ["6.5", "-1", "many", "1000000", "1/3"])
def test_a_count_is_a_whole_number(text: str) -> None:
    with pytest.raises(CannotRead) as caught:
        read_count(text)
    assert caught.value.reason.code == "import_not_a_count"


def test_counts() -> None:
    assert [read_count(text) for text in ("0", "12", "about 40", "6.0")] == [0, 12, 40, 6]


@given(st.integers(1, 5_000_000))
def test_U20_a_length_shown_in_mm_reads_back_the_same_a_hundred_times(micrometres: int) -> None:
    value = micrometres / 1000
    for _ in range(100):
        value = read_amount(f"{value:.6f} mm", MM_PER, Style(), "import_not_a_length")
    assert value == micrometres / 1000


@given(st.integers(1, 4000))
def test_U20_sixteenths_of_an_inch_are_exact(sixteenths: int) -> None:
    whole, rest = divmod(sixteenths, 16)
    text = f"{whole} {rest}/16 in" if whole else f"{rest}/16 in"
    assert read_amount(text, MM_PER, Style(), "x") == pytest.approx(sixteenths * 25.4 / 16, abs=1e-6)
