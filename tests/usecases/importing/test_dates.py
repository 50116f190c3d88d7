from __future__ import annotations

from datetime import date, time

import pytest

from collection.usecases.importing.dates import (
    day_order,
    read_date,
    read_past_date,
    read_time,
    read_weekday,
)
from collection.usecases.importing.numbers import CannotRead, Style
from tests.usecases.importing.sheets import TODAY

MAY = date(2019, 5, 3)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2019-05-03", MAY),
        ("2019-05-03 10:30", MAY),
        ("3 May 2019", MAY),
        ("3rd of May, 2019", MAY),
        ("May 3, 2019", MAY),
        ("Fri 3 May 19", MAY),
        ("3.5.2019", MAY),
        ("3.5.19", MAY),
        ("3. Mai 2019", MAY),
        ("3 de mayo de 2019", MAY),
        ("3 mai 2019", MAY),
        ("2019\u5e745\u67083\u65e5", MAY),
        ("\u4ee4\u548c\u5143\u5e745\u67083\u65e5", MAY),  # first year of the era that began in May 2019
        ("\u5e73\u621031\u5e744\u670830\u65e5", date(2019, 4, 30)),  # last day of the era before
        ("1. M\u00e4rz 2020", date(2020, 3, 1)),
        ("May 2019", date(2019, 5, 1)),
        ("05/2019", date(2019, 5, 1)),
        ("2019", date(2019, 1, 1)),
        ("3/5/85", date(1985, 5, 3)),  # 2085 lies ahead
    ],
)
def test_days_in_many_spellings(text: str, day: date) -> None:
    assert read_date(text, Style(day_first=True), TODAY) == day


def test_the_column_decides_between_day_first_and_month_first() -> None:
    assert read_date("3/5/2019", Style(day_first=True), TODAY) == date(2019, 5, 3)
    assert read_date("3/5/2019", Style(day_first=False), TODAY) == date(2019, 3, 5)
    assert day_order(["3/5/2019", "14/3/2019"]) is True
    assert day_order(["3/5/2019", "3/14/2019"]) is False
    assert day_order(["3/5/2019", "4/6/2019"]) is None
    assert day_order(["14/3/2019", "3/14/2019"]) is None


def test_a_date_that_could_be_two_names_both() -> None:
    with pytest.raises(CannotRead) as caught:
        read_date("3/5/2019", Style(), TODAY)
    assert caught.value.reason.code == "import_date_two_ways"
    assert caught.value.reason.values["one"] == date(2019, 5, 3)
    assert caught.value.reason.values["two"] == date(2019, 3, 5)


def test_a_date_with_one_possible_reading_needs_no_column() -> None:
    assert read_date("14/3/2019", Style(), TODAY) == date(2019, 3, 14)
    assert read_date("3/14/2019", Style(), TODAY) == date(2019, 3, 14)
    assert read_date("5/5/2019", Style(), TODAY) == date(2019, 5, 5)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("last spring", "import_not_a_date"),
        ("31 April 2019", "import_no_such_day"),
        ("30.2.2019", "import_no_such_day"),
        ("29 Feb 2019", "import_no_such_day"),
        ("43588", "import_date_as_number"),
        ("3 May 0019", "import_not_a_date"),
        ("3 May", "import_not_a_date"),
    ],
)
def test_what_is_no_day_is_refused(text: str, code: str) -> None:
    with pytest.raises(CannotRead) as caught:
        read_date(text, Style(), TODAY)
    assert caught.value.reason.code == code


def test_a_leap_day_is_a_day() -> None:
    assert read_date("29 Feb 2020", Style(), TODAY) == date(2020, 2, 29)


def test_a_tree_cannot_come_tomorrow() -> None:
    assert read_past_date("25 Nov 2026", Style(), TODAY) == TODAY
    with pytest.raises(CannotRead) as caught:
        read_past_date("26 Nov 2026", Style(), TODAY)
    assert caught.value.reason.code == "import_date_ahead"


@pytest.mark.parametrize(
    ("text", "clock"),
    [
        ("9:30", time(9, 30)),
        ("9.30", time(9, 30)),
        ("9", time(9)),
        ("2 pm", time(14)),
        ("12 am", time(0)),
        ("12:15 pm", time(12, 15)),
        ("14h30", time(14, 30)),
        ("14 Uhr", time(14)),
        ("14\u664230\u5206", time(14, 30)),
    ],
)
def test_times_of_day(text: str, clock: time) -> None:
    assert read_time(text) == clock


@pytest.mark.parametrize("text", ["25:00", "13 pm", "noonish", "9:75", "0 am"])
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(CannotRead) as caught:
        read_time(text)
    assert caught.value.reason.code == "import_not_a_time"


def test_weekdays_from_monday_as_0() -> None:
    words = ["Mon", "every Tuesday", "mittwochs", "jueves", "vendredi", "s\u00e1bado", "\u65e5\u66dc\u65e5"]
    assert [read_weekday(word) for word in words] == list(range(7))
    with pytest.raises(CannotRead):
        read_weekday("Monday or Tuesday")
