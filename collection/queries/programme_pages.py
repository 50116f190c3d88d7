"""The club's season programme as people read it: rows by species group, and how a window was found."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from collection.craft import reference
from collection.craft.season import Climate, ProgrammeRow, window, window_lines
from collection.models import ClubRow, Tree
from collection.queries.access import Actor, club_of
from collection.queries.errors import not_found
from collection.queries.labels import dated, group_name, task_name
from collection.queries.programme import climate_of, programme_of
from collection.queries.speech import span_words

SPAN = re.compile(r"(\d\d-\d\d)\.\.(\d\d-\d\d)")
ANCHOR_WORDS = {
    "W": "moves with the end of spring frost",
    "G": "moves with the first frost of autumn, counted back",
    "A": "moves with the first frost of autumn",
    "D": "starts with autumn and ends with spring",
    "C": "stays on the calendar",
}
LINE_WORDS = {
    "baseline": "Baseline window, north, temperate",
    "size": "Size of tree",
    "own": "The club's own dates",
    "in_hemisphere": "In this half of the world",
    "wake_shift_days": "Spring here against the baseline, days later",
    "autumn_shift_days": "Autumn here against the baseline, days later",
    "club_weeks": "The club's own correction, weeks",
    "opens_shift_days": "The opening moves by, days",
    "closes_shift_days": "The closing moves by, days",
    "sign_only": "Opened by a tree sign only",
    "opens": "Opens",
    "closes": "Closes",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the programme with its next window."""

    key: str
    task: str
    group: str
    opens: date
    closes: date
    every: str
    stages: str
    own: bool
    label: str
    note: str


@dataclass(frozen=True, slots=True)
class RowSheet:
    """One row with everything behind it."""

    row: Row
    source: str
    lines: tuple[tuple[str, str], ...]
    anchor: str
    version: int | None
    opens_typed: str
    closes_typed: str
    why: str


def programme_rows(actor: Actor, today: date) -> list[tuple[str, list[Row]]]:
    """Rows of the species groups the club has trees of, by group; and those for all groups."""
    club = club_of(actor)
    present = set(Tree.objects.filter(club=club, archived_at=None).values_list("group", flat=True))
    climate = climate_of(club)
    by_group: dict[str, list[Row]] = {}
    for row in programme_of(club.pk):
        if row.task and (not row.group or row.group in present or not present):
            by_group.setdefault(row.group, []).append(_row(row, climate, today))
    return [
        (group_name(group) if group else "All trees", sorted(rows, key=lambda r: (r.opens, r.task)))
        for group, rows in sorted(by_group.items(), key=lambda pair: (not pair[0], pair[0]))
    ]


def _year(row: ProgrammeRow, climate: Climate, today: date) -> int:
    """The season whose window is open now or comes next."""
    for year in range(today.year - 2, today.year + 3):
        if window(row, climate, year).closes >= today:
            return year
    return today.year


def _row(row: ProgrammeRow, climate: Climate, today: date) -> Row:
    found = window(row, climate, _year(row, climate, today))
    return Row(
        row.key,
        task_name(row.task),
        row.group,
        found.opens,
        found.closes,
        _every(row),
        row.stages,
        row.own,
        row.label,
        in_words(row.note),
    )


def _every(row: ProgrammeRow) -> str:
    every = row.every
    span = f"{every.low:g}" if every.low == every.high else f"{every.low:g} to {every.high:g}"
    return {
        "once": "when somebody wants it",
        "yearly": "once a year",
        "years": f"every {span} years",
        "days": f"every {span} days in the window",
    }[every.kind]


def programme_row(actor: Actor, key: str, today: date) -> RowSheet:
    """One row, how its window was found, and the club's own version of it.

    Raises:
        Refused: ``not_found``.
    """
    club = club_of(actor)
    climate = climate_of(club)
    row = next((row for row in programme_of(club.pk) if row.key == key and row.task), None)
    if row is None:
        raise not_found()
    mine = ClubRow.objects.filter(club=club, table=ClubRow.Table.PROGRAMME, key=key).first()
    lines = _lines(row, climate, today)
    return RowSheet(
        row=_row(row, climate, today),
        source=row.source,
        lines=tuple((LINE_WORDS[code], _said(value)) for code, value in lines),
        anchor="" if row.own else ANCHOR_WORDS[row.anchor],
        version=mine.version if mine else None,
        opens_typed=str(mine.values.get("opens", "")) if mine else "",
        closes_typed=str(mine.values.get("closes", "")) if mine else "",
        why=mine.why if mine else "",
    )


def _lines(row: ProgrammeRow, climate: Climate, today: date) -> list[tuple[str, object]]:
    """How the window was found; under the club's own dates those of the programme, and its own as own."""
    lines = dict[str, object](window_lines(row, climate, _year(row, climate, today)))
    if row.own:
        first = next(one for one in reference.all_rows() if one.key == row.key)
        lines["own"], lines["baseline"] = lines["baseline"], f"{first.opens}..{first.closes}"
    return list(lines.items())


def in_words(text: str) -> str:
    """A text with its spans of days as words: "06-01..06-15" is "1 to 15 June"."""
    return SPAN.sub(lambda found: span_words(found[1], found[2]), text)


def _said(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return dated(value)
    return in_words(str(value))
