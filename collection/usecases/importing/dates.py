"""Days, weekdays and times of day in the spellings clubs use."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from datetime import date, time

from collection.usecases.importing.numbers import CannotRead, Style
from collection.usecases.importing.vocabulary import plain, unaccented

_MONTH_WORDS = (
    "january jan januar jaenner janner enero ene janvier janv",
    "february feb februar febrero fevrier fevr",
    "march mar marz maerz mrz marzo mars",
    "april apr abril abr avril avr",
    "may mai mayo",
    "june jun juni junio juin",
    "july jul juli julio juillet juil",
    "august aug agosto ago aout",
    "september sep sept septiembre setiembre septembre",
    "october oct oktober okt octubre octobre",
    "november nov noviembre novembre",
    "december dec dezember dez diciembre dic decembre",
)
MONTHS = {word: number for number, words in enumerate(_MONTH_WORDS, start=1) for word in words.split()}
_WEEKDAY_WORDS = (
    "monday mondays mon montag montags mo lunes lundi 月曜日 月曜 月",
    "tuesday tuesdays tue tues dienstag dienstags di martes mardi 火曜日 火曜 火",
    "wednesday wednesdays wed mittwoch mittwochs mi miercoles mercredi 水曜日 水曜 水",
    "thursday thursdays thu thur thurs donnerstag donnerstags do jueves jeudi 木曜日 木曜 木",
    "friday fridays fri freitag freitags fr viernes vendredi 金曜日 金曜 金",
    "saturday saturdays sat samstag samstags sonnabend sa sabado sabados samedi 土曜日 土曜 土",
    "sunday sundays sun sonntag sonntags so domingo domingos dimanche 日曜日 日曜 日",
)
WEEKDAYS = {
    unicodedata.normalize("NFKC", word): number
    for number, words in enumerate(_WEEKDAY_WORDS)
    for word in words.split()
}
# First year of the Japanese eras, less one.
ERAS = {"明治": 1867, "大正": 1911, "昭和": 1925, "平成": 1988, "令和": 2018}
EARLIEST = 1700
NUMERIC = re.compile(r"^(\d{1,2})\s*([/.\-])\s*(\d{1,2})\s*\2\s*(\d{4}|\d{2})$")
ISO = re.compile(r"^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[ t]\d{1,2}:\d{2}.*)?$")
JAPANESE = re.compile(r"^(明治|大正|昭和|平成|令和)?(\d{1,4}|元)年(?:(\d{1,2})月(?:(\d{1,2})日)?)?$")
TIME = re.compile(r"^(\d{1,2})(?:[:.h時](\d{2})?分?)?\s*(am|pm|a\.m\.|p\.m\.|uhr|h|hrs)?$")


def read_date(text: str, style: Style, today: date) -> date:
    """A day: 2019-05-03, 3 May 2019, 3.5.19, 3/5/2019, May 2019, 2019, 2019年5月3日.

    A month alone means its first day and a year alone its first of January; two-digit years are the
    latest that is not after next year.

    Raises:
        CannotRead: If it is no day, is before 1700, or is 3/5/2019 in a column that shows no order.
    """
    body = unaccented(text).strip(" .,")
    parts = _iso(body) or _japanese(body) or _numeric(body, text, style, today) or _worded(body, today)
    if parts is None:
        raise CannotRead(
            "import_date_as_number" if re.fullmatch(r"\d{5}(\.\d+)?", body) else "import_not_a_date",
            value=text,
        )
    try:
        day = date(*parts)
    except ValueError:
        raise CannotRead("import_no_such_day", value=text) from None
    if day.year < EARLIEST:
        raise CannotRead("import_not_a_date", value=text)
    return day


def read_past_date(text: str, style: Style, today: date) -> date:
    """A day that is not after today.

    Raises:
        CannotRead: If it is no day or lies ahead.
    """
    day = read_date(text, style, today)
    if day > today:
        raise CannotRead("import_date_ahead", value=text)
    return day


def is_whole_day(text: str) -> bool:
    """Whether a readable date names its day, not only a month or a year."""
    body = unaccented(text).strip(" .,")
    if re.search(r"年", body):
        return "日" in body
    return len(re.findall(r"\d+", body)) >= 3 or bool(
        re.search(r"[a-z]", body) and len(re.findall(r"\d+", body)) == 2
    )


def _iso(body: str) -> tuple[int, int, int] | None:
    if match := ISO.match(body):
        return int(match[1]), int(match[2]), int(match[3])
    if match := re.fullmatch(r"(\d{4})(?:-(\d{2}))?", body):
        return int(match[1]), int(match[2] or 1), 1
    if match := re.fullmatch(r"(\d{1,2})[/.](\d{4})", body):
        return int(match[2]), int(match[1]), 1
    return None


def _japanese(body: str) -> tuple[int, int, int] | None:
    match = JAPANESE.match(body.replace(" ", ""))
    if match is None:
        return None
    year = 1 if match[2] == "元" else int(match[2])
    return ERAS.get(match[1], 0) + year, int(match[3] or 1), int(match[4] or 1)


def _numeric(body: str, text: str, style: Style, today: date) -> tuple[int, int, int] | None:
    match = NUMERIC.match(body)
    if match is None:
        return None
    one, two, year = int(match[1]), int(match[3]), _year(match[4], today)
    day_first = True if match[2] == "." else style.day_first
    if one > 12 or two > 12 or one == two:
        day_first = one > 12 or two <= 12
    if day_first is None:
        raise CannotRead(
            "import_date_two_ways", value=text, one=_shown(year, two, one), two=_shown(year, one, two)
        )
    return (year, two, one) if day_first else (year, one, two)


def _shown(year: int, month: int, day: int) -> date:
    return date(year, month, day)


def _year(text: str, today: date) -> int:
    if len(text) == 4:
        return int(text)
    year = today.year // 100 * 100 + int(text)
    return year if year <= today.year + 1 else year - 100


def _worded(body: str, today: date) -> tuple[int, int, int] | None:
    words = [
        word
        for word in re.findall(r"[^\W\d_]+|\d+", body)
        if word not in ("st", "nd", "rd", "th", "of", "de", "del", "the")
    ]
    words = [word for word in words if word not in WEEKDAYS or word in MONTHS]
    months = [MONTHS[word] for word in words if word in MONTHS]
    numbers = [word for word in words if word.isdigit()]
    if len(months) != 1 or len(words) != len(numbers) + 1 or not 1 <= len(numbers) <= 2:
        return None
    if len(numbers) == 1:
        return (_year(numbers[0], today), months[0], 1) if len(numbers[0]) in (2, 4) else None
    day, year = numbers if len(numbers[0]) <= 2 else reversed(numbers)
    return (_year(year, today), months[0], int(day)) if len(year) in (2, 4) else None


def day_order(texts: Iterable[str]) -> bool | None:
    """Whether a column writes the day first (True), the month first (False), or does not show it (None)."""
    first = second = False
    for text in texts:
        if match := NUMERIC.match(plain(text).strip(" .,")):
            first = first or (match[2] != "." and int(match[1]) > 12)
            second = second or (match[2] != "." and int(match[3]) > 12)
    return first if first != second else None


def read_time(text: str) -> time:
    """A time of day: 9:30, 9.30, 9, 2 pm, 14h, 14 Uhr, 14時30分.

    Raises:
        CannotRead: If it is none.
    """
    match = TIME.match(plain(text))
    if match is None:
        raise CannotRead("import_not_a_time", value=text)
    hour, minute, half = int(match[1]), int(match[2] or 0), (match[3] or "").replace(".", "")
    if half in ("am", "pm"):
        if not 1 <= hour <= 12:
            raise CannotRead("import_not_a_time", value=text)
        hour = hour % 12 + (12 if half == "pm" else 0)
    if hour > 23 or minute > 59:
        raise CannotRead("import_not_a_time", value=text)
    return time(hour, minute)


def read_weekday(text: str) -> int:
    """A weekday, Monday 0: "Tuesday", "every Tuesday", "dienstags", "火曜日".

    Raises:
        CannotRead: If none or more than one is named.
    """
    found = {WEEKDAYS[word] for word in re.findall(r"[^\W\d_]+", unaccented(text)) if word in WEEKDAYS}
    if len(found) != 1:
        raise CannotRead("import_not_a_weekday", value=text)
    return found.pop()
