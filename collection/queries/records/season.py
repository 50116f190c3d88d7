"""The season's load, the programme, and numbers that open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from collection.craft.reference import all_rows
from collection.queries.access import Actor
from collection.queries.club_pages import season_waits
from collection.queries.find_number import find
from collection.queries.numbers import week_cautious, week_likely, week_missing, week_offered, weeks_of
from collection.queries.programme_pages import programme_row, programme_rows
from collection.queries.season import Season, season_of, windows_of


@dataclass(frozen=True, slots=True)
class WeekRecord:
    """A week of the season, in hours of a practised hand."""

    monday: date
    likely_h: float
    cautious_h: float
    offered_h: float
    missing_h: float


@dataclass(frozen=True, slots=True)
class SpellRecord:
    """A run of short weeks."""

    first_monday: date
    last_monday: date
    likely_h: float
    offered_h: float
    missing_h: float


@dataclass(frozen=True, slots=True)
class SeasonWindow:
    """Work of one kind on one group in one window."""

    task: str
    group: str
    opens: date
    closes: date
    trees: int
    hours: float


@dataclass(frozen=True, slots=True)
class SeasonQuestion:
    """Work whose last time nobody knows: it weighs its share as a guess."""

    tree_id: int
    task: str
    opens: date
    closes: date


@dataclass(frozen=True, slots=True)
class SeasonRecord:
    """The load of the season; every figure opens at /numbers.

    ``season_waits`` while it is being worked out again: until then these are the last one's figures.
    """

    today: date
    season_waits: bool
    weeks: tuple[WeekRecord, ...]
    short_weeks: tuple[SpellRecord, ...]
    windows: tuple[SeasonWindow, ...]
    questions: tuple[SeasonQuestion, ...]


@dataclass(frozen=True, slots=True)
class ProgrammeLine:
    """A row of the programme with its next window in this club."""

    key: str
    task: str
    group: str
    opens: date
    closes: date
    every: str
    stages: str
    own: bool
    label: str


@dataclass(frozen=True, slots=True)
class WindowStep:
    """A step of how a window was found."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class ProgrammeRecord:
    """A row of the programme and the club's own version of it; ``version`` 0 while it has none."""

    version: int
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
    source: str
    steps: tuple[WindowStep, ...]
    own_opens: str
    own_closes: str
    why: str


@dataclass(frozen=True, slots=True)
class NumberLine:
    """A line of a number: its exact value, and what people read."""

    label: str
    figure: str
    value: float
    weight: float
    trust: str


@dataclass(frozen=True, slots=True)
class NumberRecord:
    """A number with everything behind it; ``rule`` says how its lines make it."""

    title: str
    text: str
    value: float
    rule: Literal["sum", "difference", "weighted", "logistic", "p80"]
    lines: tuple[NumberLine, ...]
    total: str
    notes: tuple[str, ...]


def season_record(actor: Actor, *, today: date) -> SeasonRecord:
    """The season's load over the whole collection."""
    season = season_of(actor, today=today)
    return SeasonRecord(
        today=today,
        season_waits=season_waits(actor.club_id),
        weeks=tuple(_week(season, monday) for monday in weeks_of(season)),
        short_weeks=tuple(
            SpellRecord(s.mondays[0], s.mondays[-1], s.likely_h, s.offered_h, s.missing_h)
            for s in season.spells
        ),
        windows=tuple(
            SeasonWindow(row.task, row.group, row.opens, row.closes, row.trees, row.hours)
            for row in windows_of(season.dues)
        ),
        questions=tuple(
            SeasonQuestion(asked.tree, asked.task, asked.window.opens, asked.window.closes)
            for asked in season.questions
        ),
    )


def _week(season: Season, monday: date) -> WeekRecord:
    numbers = (week_likely, week_cautious, week_offered, week_missing)
    return WeekRecord(monday, *(number(season, monday).value for number in numbers))


def programme_lines(actor: Actor, *, today: date) -> tuple[ProgrammeLine, ...]:
    """Rows of the programme for the kinds of tree the club has, by key."""
    codes = {row.key: row.task for row in all_rows()}
    rows = [row for _, group in programme_rows(actor, today) for row in group]
    return tuple(
        ProgrammeLine(
            row.key,
            codes[row.key],
            row.group,
            row.opens,
            row.closes,
            row.every,
            row.stages,
            row.own,
            row.label,
        )
        for row in sorted(rows, key=lambda row: row.key)
    )


def programme_record(actor: Actor, key: str, *, today: date) -> ProgrammeRecord:
    """One row of the programme.

    Raises:
        Refused: ``not_found``.
    """
    sheet = programme_row(actor, key, today)
    row = sheet.row
    return ProgrammeRecord(
        version=sheet.version or 0,
        key=row.key,
        task=next(one.task for one in all_rows() if one.key == key),
        group=row.group,
        opens=row.opens,
        closes=row.closes,
        every=row.every,
        stages=row.stages,
        own=row.own,
        label=row.label,
        note=row.note,
        source=sheet.source,
        steps=tuple(WindowStep(*line) for line in sheet.lines),
        own_opens=sheet.opens_typed,
        own_closes=sheet.closes_typed,
        why=sheet.why,
    )


def number_record(actor: Actor, kind: str, key: str, *, today: date) -> NumberRecord:
    """An opened number.

    Raises:
        Refused: ``not_found``.
    """
    found = find(actor, kind, key, today=today)
    number = found.number
    return NumberRecord(
        title=found.title,
        text=number.text,
        value=number.value,
        rule=number.rule,  # type: ignore[arg-type]
        lines=tuple(
            NumberLine(line.label, line.figure, float(line.value), float(line.weight), line.trust)
            for line in number.lines
        ),
        total=number.total,
        notes=number.notes,
    )
