"""The season's load, the programme, and numbers that open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from api.fields import Body, Text
from api.operations import Asked, Noun, edits, reads, sets
from api.shapes import shown
from collection.queries.records import season as records
from collection.usecases import reference, season_asked

MONTH_DAY = "Month and day in the club's own calendar, like 04-25."


class Season(Noun):
    noun = "season"

    @reads(shown(records.SeasonRecord))
    def get(self, asked: Asked) -> records.SeasonRecord:
        """The load of the coming half year: weeks, short weeks, windows, open questions."""
        return records.season_record(asked.actor, today=asked.today)


@dataclass(frozen=True, slots=True)
class Again:
    """The season is being worked out; ask GET /season until it no longer waits."""

    season_waits: bool


class SeasonAgain(Noun):
    noun = "season"

    @sets(shown(Again), status=202)
    def post(self, asked: Asked) -> Again:
        """Ask for the season to be worked out again; answered at once, worked out soon after."""
        season_asked.ask(actor=asked.actor)
        return Again(season_waits=True)


@dataclass(frozen=True, slots=True)
class ProgrammeRows:
    """Every row for the kinds of tree the club has."""

    rows: tuple[records.ProgrammeLine, ...]


class Programme(Noun):
    noun = "programme"

    @reads(shown(ProgrammeRows))
    def get(self, asked: Asked) -> ProgrammeRows:
        """When each kind of tree wants which work, in this club's own dates."""
        return ProgrammeRows(records.programme_lines(asked.actor, today=asked.today))


class OwnDates(Body):
    """The club's own dates of a row."""

    opens = Text(max_length=5, help_text=MONTH_DAY)
    closes = Text(max_length=5, help_text=MONTH_DAY)
    why = Text(required=False, allow_blank=True, max_length=300)


class ProgrammeRow(Noun):
    noun = "programme"

    @reads(shown(records.ProgrammeRecord))
    def get(self, asked: Asked, key: str) -> records.ProgrammeRecord:
        """One row, how its window was found, and the club's own version of it."""
        return records.programme_record(asked.actor, key, today=asked.today)

    @edits(shown(records.ProgrammeRecord), body=OwnDates)
    def put(self, asked: Asked, key: str) -> records.ProgrammeRecord:
        """Keep the club's own dates; the ETag is "0" while it has none. The season follows."""
        said = asked.body
        reference.own_row(
            actor=asked.actor,
            table_name="programme",
            key=key,
            values={"opens": said["opens"], "closes": said["closes"]},
            why=said.get("why", ""),
            version=asked.version,
        )
        return records.programme_record(asked.actor, key, today=asked.today)

    @edits(shown(records.ProgrammeRecord))
    def delete(self, asked: Asked, key: str) -> records.ProgrammeRecord:
        """Let the baseline hold again. The season follows."""
        reference.put_row_back(actor=asked.actor, table_name="programme", key=key, version=asked.version)
        return records.programme_record(asked.actor, key, today=asked.today)


class Number(Noun):
    noun = "numbers"

    @reads(shown(records.NumberRecord))
    def get(self, asked: Asked, kind: str, key: str) -> Any:
        """A number with everything behind it: job/12, week-likely/2027-03-01, seat/5~12~1 ..."""
        return records.number_record(asked.actor, kind, key, today=asked.today)
