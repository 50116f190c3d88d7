"""A club's programme, rules and paces: the reference with the club's own rows over it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from collection.craft import reference
from collection.craft.labour_reference import EDITION, PaceTable, reference_paces
from collection.craft.monthday import MonthDay, Repeat
from collection.craft.rule_types import RuleSettings
from collection.craft.season import Climate, ProgrammeRow
from collection.models import Club, ClubRow, Pace, Programme, Rule, TaskType
from collection.queries.errors import Refused, not_found

# Where sources disagree: the club's choice, and what holds until it chooses.
CHOICES = {"azalea_rests_after_repot": True, "long_season": False}
TABLES = {"programme": Programme, "pace": Pace, "rule": Rule, "tasktype": TaskType}


def reference_row(table_name: str, key: str) -> dict[str, str]:
    """A reference row's columns.

    Raises:
        Refused: ``not_found``.
    """
    model = TABLES.get(table_name)
    row = model._default_manager.filter(edition=EDITION, key=key).first() if model else None
    if row is None:
        raise not_found()
    values: dict[str, str] = row.values
    return values


def check_row(table_name: str, values: Mapping[str, str]) -> None:
    """Refuse a club row that the core could not read.

    Raises:
        Refused: ``row_values`` naming the column.
    """
    try:
        if table_name == "programme":
            for name in ("opens", "closes"):
                MonthDay.parse(values[name])
            Repeat.parse(values["every"])
            if not values["stages"] or set(values["stages"]) - set("RBFS"):
                raise ValueError("stages")
        if table_name == "pace":
            low, likely, high = (float(values[n]) for n in ("low_min", "likely_min", "high_min"))
            if not 0 < low <= likely <= high:
                raise ValueError("low_min")
    except (KeyError, ValueError) as error:
        raise Refused("row_values", field=str(error), table=table_name) from None


def _own(club_id: int, table_name: str) -> dict[str, ClubRow]:
    return {row.key: row for row in ClubRow.objects.filter(club_id=club_id, table=table_name)}


def programme_of(club_id: int) -> tuple[ProgrammeRow, ...]:
    """Every row of the club's programme; rows the club dropped are left out."""
    own = _own(club_id, "programme")
    rows = []
    for row in reference.all_rows():
        mine = own.get(row.key)
        if mine is None:
            rows.append(row)
        elif not mine.dropped:
            # Put back as it was: the club's row stays for its trail and holds nothing.
            rows.append(_over(row, mine.values) if mine.values else row)
    return tuple(rows)


def _over(row: ProgrammeRow, values: Mapping[str, str]) -> ProgrammeRow:
    """The club's version of a row: in the club's own dates, so neither flipped nor shifted."""
    opens, closes = values.get("opens"), values.get("closes")
    return replace(
        row,
        opens=MonthDay.parse(opens) if opens else row.opens,
        closes=MonthDay.parse(closes) if closes else row.closes,
        stages=values.get("stages", row.stages),
        every=Repeat.parse(values["every"]) if values.get("every") else row.every,
        note=values.get("note", row.note),
        own=bool(opens or closes),
        sizes=() if opens or closes else row.sizes,
        label="the club's own",
        source="set by the club",
    )


def climate_of(club: Club) -> Climate:
    """The club's place as the season sees it."""
    return Climate(
        latitude=club.latitude,
        last_frost=MonthDay.parse(club.last_frost) if club.last_frost else None,
        first_frost=MonthDay.parse(club.first_frost) if club.first_frost else None,
        weeks_later={str(anchor): int(weeks) for anchor, weeks in club.weeks_later.items()},
    )


def rules_of(club: Club) -> RuleSettings:
    """The rules with the club's choices where sources disagree."""
    chosen = {name: bool(club.settings.get(name, usual)) for name, usual in CHOICES.items()}
    return reference.rule_settings(climate_of(club), **chosen)


def paces_of(club_id: int) -> PaceTable:
    """The pace table with the club's own rows in it."""
    own = _own(club_id, "pace")
    table = reference_paces()
    if not own:
        return table
    paces = tuple(
        replace(
            pace,
            low_min=float(own[pace.key].values.get("low_min", pace.low_min)),
            likely_min=float(own[pace.key].values.get("likely_min", pace.likely_min)),
            high_min=float(own[pace.key].values.get("high_min", pace.high_min)),
            label="the club's own",
            source="set by the club",
        )
        if pace.key in own
        else pace
        for pace in table.paces
    )
    return replace(table, paces=paces)
