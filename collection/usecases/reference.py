"""Loading the trade's reference tables, and a club's own versions of their rows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from collection.craft.labour_reference import EDITION
from collection.craft.reference import fixed_rows, table
from collection.models import ClubRow, Pace, Programme, Rule, TaskType
from collection.queries.access import Actor, must_plan
from collection.queries.errors import Refused, not_found
from collection.queries.programme import check_row, reference_row
from collection.usecases.edit import created, edit
from collection.usecases.season_asked import ask_again

RULE_TABLES = ("order_rules", "clash_rules", "stress_budget", "rest", "repot_interval")


def load() -> int:
    """Load this edition of the reference tables; safe to call again. Returns the rows added."""
    with transaction.atomic():
        before = _rows_held()
        TaskType.objects.bulk_create(_task_types(), ignore_conflicts=True)
        Programme.objects.bulk_create(_programme(), ignore_conflicts=True)
        Pace.objects.bulk_create(_paces(), ignore_conflicts=True)
        Rule.objects.bulk_create(_rules(), ignore_conflicts=True)
        return _rows_held() - before


def _rows_held() -> int:
    return sum(model._default_manager.count() for model in (TaskType, Programme, Pace, Rule))


def _shared(row: Mapping[str, str], key: str) -> dict[str, Any]:
    return {
        "edition": EDITION,
        "key": key,
        "values": dict(row),
        "label": row["label"],
        "source": row["source"],
        "note": row.get("note", ""),
    }


def _task_types() -> list[TaskType]:
    return [
        TaskType(**_shared(row, row["code"]), family=row["family"], stress=int(row["stress"]))
        for row in table("tasks")
    ]


def _programme() -> list[Programme]:
    return [
        Programme(
            **_shared(row, row["key"]), group=row.get("group", ""), task=row["task"], anchor=row["anchor"]
        )
        for row in (*table("programme"), *_prose_rows())
    ]


def _prose_rows() -> list[dict[str, str]]:
    """The fixed rows under the keys the programme uses: one for each window."""
    keys = [row.key for row in fixed_rows()]
    return [{**row, "key": key} for row in table("prose_rows") for key in keys if key.startswith(row["key"])]


def _paces() -> list[Pace]:
    return [
        Pace(
            **_shared(row, row["key"]),
            task=row["task"],
            low_min=float(row["low_min"]),
            likely_min=float(row["likely_min"]),
            high_min=float(row["high_min"]),
        )
        for row in table("pace")
    ]


def _rules() -> list[Rule]:
    return [
        Rule(**_shared(row, _rule_key(name, row)), kind=name) for name in RULE_TABLES for row in table(name)
    ]


def _rule_key(name: str, row: Mapping[str, str]) -> str:
    if name == "rest":
        return f"{row['job']}/{row['column']}"
    if name == "repot_interval":
        return f"{row['stage']}/{row['column']}"
    return row["kind"] if name == "stress_budget" else row["key"]


def put_row_back(*, actor: Actor, table_name: str, key: str, version: int) -> None:
    """Let a reference row hold again as it is in the reference; the trail keeps what the club had.

    A row of the programme lets the season be worked out again.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` when the club has no version of it, or ``stale``.
    """
    must_plan(actor)
    mine = ClubRow.objects.filter(club_id=actor.club_id, table=table_name, key=key).first()
    if mine is None:
        raise not_found()
    with transaction.atomic():
        edit(mine, version, {"values": {}, "why": "", "dropped": False, "by_id": actor.member_id}, actor)
        _season_follows(actor, table_name)


def _season_follows(actor: Actor, table_name: str) -> None:
    if table_name == "programme":
        ask_again(actor.club_id)


def own_row(
    *,
    actor: Actor,
    table_name: str,
    key: str,
    values: Mapping[str, str],
    why: str = "",
    dropped: bool = False,
    version: int | None = None,
) -> None:
    """Keep the club's own version of a reference row; its dates are the club's own and never flipped.

    A row of the programme lets the season be worked out again.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``row_values`` or ``stale``.
    """
    must_plan(actor)
    if ("opens" in values) != ("closes" in values):
        raise Refused("row_values", field="opens", table=table_name)
    base = reference_row(table_name, key)
    merged = {**base, **values}
    check_row(table_name, merged)
    changes = {"values": dict(values), "why": why, "dropped": dropped, "by_id": actor.member_id}
    with transaction.atomic():
        mine = ClubRow.objects.filter(club_id=actor.club_id, table=table_name, key=key).first()
        if mine is None:
            mine = ClubRow.objects.create(club_id=actor.club_id, table=table_name, key=key, **changes)
            created(mine, actor, "key", "values", "dropped")
        else:
            edit(mine, version or 0, changes, actor)
        _season_follows(actor, table_name)
