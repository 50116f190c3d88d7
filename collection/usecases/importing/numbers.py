"""Numbers and sizes as people write them, into mm, kg and litres.

One inch is 25.4 mm and one pound 0.45359237 kg exactly (international yard and pound agreement of
1959, from memory). An imperial gallon is 4.54609 litres and a US one 3.785411784 (definitions, from
memory); a plain "gal" is not taken because the two differ.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from statistics import median

from collection.craft.reasons import Reason, Value
from collection.usecases.importing.vocabulary import plain, vocabulary

MM_PER: Mapping[str, float] = {"mm": 1.0, "cm": 10.0, "dm": 100.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
KG_PER: Mapping[str, float] = {"kg": 1.0, "g": 0.001, "lb": 0.45359237, "oz": 0.45359237 / 16}
LITRES_PER: Mapping[str, float] = {"l": 1.0, "ml": 0.001, "cl": 0.01, "dl": 0.1}
MINUTES_PER: Mapping[str, float] = {"min": 1.0, "h": 60.0}
SMALLER = {"ft": "in", "m": "cm", "lb": "oz", "kg": "g", "h": "min"}

UNIT_WORDS: Mapping[str, str] = vocabulary()["units"]

ABOUT = re.compile(
    r"^(about|approx\.?|approximately|around|roughly|ca\.?|circa|etwa|aprox\.?|env\.?|c\.|~|≈|約)\s*"
)
NUMBER = r"\d+\s+\d+/\d+|\d+/\d+|\d[\d.,'\u2019 ]*\d|\d"
TERM = re.compile(rf"\s*({NUMBER})\s*([^\W\d_]+\.?)?")
RANGE = re.compile(r"\d\s*[^\W\d_]*\s*(-|\u2013|\u2014|to|bis|hasta|à|~|〜)\s*\d")


class CannotRead(ValueError):
    """A cell that means nothing to us; ``reason`` says why, its values say what was there."""

    def __init__(self, code: str, **values: Value) -> None:
        super().__init__(code)
        self.reason = Reason.of(code, **values)


@dataclass(frozen=True, slots=True)
class Style:
    """How one column writes its values.

    Attributes:
        unit: What a plain number means ("cm", "kg" ...); "" when nothing says.
        decimal: "," or "." where the column shows which it uses, else "".
        day_first: Whether 3/5/2019 is 3 May; None when nothing says.
        assumed: The unit was inferred from the sizes only, so the preview asks.
    """

    unit: str = ""
    decimal: str = ""
    day_first: bool | None = None
    assumed: bool = False


def read_number(text: str, decimal: str = "") -> float:
    """The value of "12", "1,5", "1 1/2", "1.200,5", "1'200".

    Raises:
        CannotRead: If it is no number, or could be two numbers ("1,200").
    """
    text = text.strip()
    if "/" in text:
        return _fraction(text)
    digits = re.sub(r"[\s'\u2019]", "", text)
    if re.fullmatch(r"\d+", digits):
        return float(digits)
    if re.fullmatch(r"\d{1,3}(,\d{3})+\.\d+|\d{1,3}(,\d{3}){2,}", digits):
        return float(digits.replace(",", ""))
    if re.fullmatch(r"\d{1,3}(\.\d{3})+,\d+|\d{1,3}(\.\d{3}){2,}", digits):
        return float(digits.replace(".", "").replace(",", "."))
    if re.fullmatch(r"\d+[.,]\d+", digits):
        return _one_mark(digits, decimal)
    raise CannotRead("import_not_a_number", value=text)


def _one_mark(digits: str, decimal: str) -> float:
    mark = "," if "," in digits else "."
    whole, part = digits.split(mark)
    may_be_thousands = len(part) == 3 and 1 <= len(whole) <= 3 and whole != "0"
    if not may_be_thousands or decimal == mark or (mark == "." and not decimal):
        return float(f"{whole}.{part}")
    if mark == "," and decimal == ".":
        return float(whole + part)
    raise CannotRead("import_number_two_ways", value=digits, small=f"{whole}.{part}", large=whole + part)


def _fraction(text: str) -> float:
    match = re.fullmatch(r"(?:(\d+)\s+)?(\d+)/(\d+)", text)
    if match is None or match[3].strip("0") == "":
        raise CannotRead("import_not_a_number", value=text)
    return float(match[1] or 0) + float(match[2]) / float(match[3])


def read_amount(text: str, table: Mapping[str, float], style: Style, code: str) -> float:
    """A size in the base unit of ``table``: "62 cm", '24 in', "2 ft 3", "1,2 m", "about 60".

    Args:
        text: The cell.
        table: How much one of each unit is in the base unit (``MM_PER``, ``KG_PER``, ``LITRES_PER``).
        style: What a plain number of this column means.
        code: Reason code when the cell is not such a size.

    Raises:
        CannotRead: With ``code``, or when the cell is a range, has no known unit, or is not above zero.
    """
    body = ABOUT.sub("", plain(text))
    body = re.sub(r"''|\u2032\u2032", '"', body)
    if table is MM_PER:
        body = re.sub(r'["″\u201d]', " in ", body)
        body = re.sub(r"(?<=\d)\s*['\u2032\u2019](?!\d{3})", " ft ", body)
    body = " ".join(body.split())
    if RANGE.search(body):
        raise CannotRead("import_range", value=text)
    total, unit, place = 0.0, "", 0
    for match in TERM.finditer(body):
        if match.start() != place:
            break
        unit = _unit_of(match[2], unit, table, style, text, code)
        total += read_number(match[1], style.decimal) * table[unit]
        place = match.end()
    if place == 0 or body[place:].strip(" .") or total <= 0:
        raise CannotRead(code, value=text)
    return round(total, 6)


def _unit_of(
    word: str | None, before: str, table: Mapping[str, float], style: Style, text: str, code: str
) -> str:
    if word:
        unit = UNIT_WORDS.get(word.rstrip("."), "")
        if unit not in table:
            raise CannotRead(code, value=text)
        return unit
    if before:
        smaller = SMALLER.get(before, "")
        if smaller not in table:
            raise CannotRead(code, value=text)
        return smaller
    if style.unit not in table:
        raise CannotRead("import_unit_unknown", value=text)
    return style.unit


def unit_in(text: str) -> str:
    """The unit a cell or a heading names last, or ""."""
    body = plain(text)
    if re.search(r'\d\s*(["″\u201d]|\'\'|\u2032\u2032)', body):
        return "in"
    if re.search(r"\d\s*['\u2032\u2019]", body):
        return "ft"
    words = re.findall(r"[^\W\d_]+", body)
    return next((UNIT_WORDS[word] for word in reversed(words) if word in UNIT_WORDS), "")


def decimal_of(texts: Iterable[str]) -> str:
    """Which mark a column uses for decimals, when any cell shows it: ",", "." or ""."""
    seen: set[str] = set()
    for text in texts:
        body = plain(text)
        for mark in ",.":
            other = "." if mark == "," else ","
            if re.search(rf"\d\{other}\d{{3}}\{mark}\d", body) or (
                re.search(rf"\d\{mark}(\d{{1,2}}|\d{{4,}})(?!\d)", body) and other not in body
            ):
                seen.add(mark)
    return seen.pop() if len(seen) == 1 else ""


def unit_style(
    texts: Iterable[str],
    heading_unit: str,
    table: Mapping[str, float],
    usual: tuple[float, float],
    inches: bool,
) -> Style:
    """What plain numbers of a column mean: by heading, else by the one unit its cells name, else by size.

    Args:
        texts: The column's cells.
        heading_unit: Unit named by heading or by the person; "" when none.
        table: Units of this kind of size.
        usual: From and to, in the base unit: what such a size commonly is (assumption).
        inches: The club measures in inches.

    Returns:
        A style whose unit is "" when two units fit and nothing decides: the preview then asks.
    """
    cells = [text for text in texts if text]
    decimal = decimal_of(cells)
    if heading_unit in table:
        return Style(heading_unit, decimal)
    named = {unit for unit in map(unit_in, cells) if unit in table}
    if named:
        only = named.pop() if len(named) == 1 else ""
        return Style(only, decimal, assumed=bool(only))
    fitting = [
        unit for unit in _candidates(table, inches) if _median_fits(cells, table[unit], usual, decimal)
    ]
    if len(fitting) == 1:
        return Style(fitting[0], decimal, assumed=True)
    return Style("", decimal)


def _candidates(table: Mapping[str, float], inches: bool) -> tuple[str, ...]:
    if table is MM_PER:
        return ("in",) if inches else ("mm", "cm")
    if table is KG_PER:
        return ("lb",) if inches else ("kg",)
    return ("h", "min") if table is MINUTES_PER else ("l",)


def _median_fits(cells: list[str], factor: float, usual: tuple[float, float], decimal: str) -> bool:
    numbers = []
    for cell in cells:
        try:
            numbers.append(read_number(cell, decimal) * factor)
        except CannotRead:
            continue
    return bool(numbers) and usual[0] <= median(numbers) <= usual[1]


def read_count(text: str, style: Style = Style()) -> int:
    """A whole number of things, from 0 to 100,000.

    Raises:
        CannotRead: If it is not one.
    """
    try:
        number = read_number(ABOUT.sub("", plain(text)), style.decimal)
    except CannotRead:
        raise CannotRead("import_not_a_count", value=text) from None
    if not number.is_integer() or not 0 <= number <= 100_000:
        raise CannotRead("import_not_a_count", value=text)
    return int(number)
