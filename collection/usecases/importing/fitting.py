"""Whether a column's cells could be what its heading says: readers that ask no more than that."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date

from collection.usecases.importing import numbers, species, words
from collection.usecases.importing.dates import (
    day_order,
    read_date,
    read_past_date,
    read_time,
    read_weekday,
)
from collection.usecases.importing.headings import TABLES, Field
from collection.usecases.importing.numbers import CannotRead, Style
from collection.usecases.importing.tabs import CELL_ERRORS


def fit(field: Field, cells: list[str], today: date, unit: str) -> float:
    """Share of the cells that could be such a thing, from 0 to 1."""
    reader = _loose_reader(field, unit, today)
    good = 0
    for cell in cells:
        try:
            reader(cell)
            good += 1
        except CannotRead:
            continue
    return good / len(cells) if cells else 0.0


def _loose_reader(field: Field, unit: str, today: date) -> Callable[[str], object]:
    """A reader that asks only whether a cell could be such a thing."""
    if field.reads in TABLES:
        table = TABLES[field.reads]
        style = Style(unit if unit in table else next(iter(table)), ".")
        return lambda cell: numbers.read_amount(cell, table, style, "import_not_a_size")
    day = Style(day_first=True)
    readers: dict[str, Callable[[str], object]] = {
        "text": _text,
        "species": _known_species,
        "group": species.read_group if not unit else _never,
        "stage": words.read_stage,
        "condition": words.read_condition,
        "level": _level_or_yes,
        "role": words.read_role,
        "skills": words.read_skills,
        "answer": words.read_answer,
        "yes_no": words.read_yes_no,
        "count": numbers.read_count,
        "date": lambda cell: read_date(cell, _order(cell, day), today),
        "past_date": lambda cell: read_past_date(cell, _order(cell, day), today),
        "time": read_time,
        "weekday": read_weekday,
        "email": read_email,
        "phone": read_phone,
    }
    return readers[field.reads]


def _order(cell: str, style: Style) -> Style:
    order = day_order([cell])
    return style if order is None else replace(style, day_first=order)


def _text(cell: str) -> str:
    if cell in CELL_ERRORS:
        raise CannotRead("import_cell_error", value=cell)
    return cell


def _never(cell: str) -> str:
    raise CannotRead("import_no_such_group", value=cell)


def _known_species(cell: str) -> tuple[str, ...]:
    found = species.groups_named(cell)
    if not found:
        raise CannotRead("import_species_unknown", value=cell)
    return found


def _level_or_yes(cell: str) -> str:
    return words.look_up(cell, "levels") or str(words.read_yes_no(cell))


def read_email(text: str) -> str:
    """An e-mail address, in lower case.

    Raises:
        CannotRead: If it is none.
    """
    if not re.fullmatch(r"[^@\s,;<>\"]+@[^@\s,;<>\"]+\.[^@\s,;<>\".]{2,}", text.strip()) or len(text) > 254:
        raise CannotRead("import_not_an_email", value=text)
    return text.strip().lower()


def read_phone(text: str) -> str:
    """A telephone number as written, 5 to 15 digits.

    Raises:
        CannotRead: If it is none.
    """
    digits = re.sub(r"\D", "", text)
    if (
        not re.fullmatch(r"[+(]?[\d\s()./\-+]+(?:\s*(?:ext|x)\.?\s*\d+)?", text.strip())
        or not 5 <= len(digits) <= 19
    ):
        raise CannotRead("import_not_a_phone", value=text)
    return text.strip()
