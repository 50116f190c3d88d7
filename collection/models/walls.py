"""What Django cannot express, in SQL that knows both databases.

Three kinds of wall, put back after every migrate because SQLite loses triggers when it rebuilds a
table:

* club walls: a row of club A cannot point at a row of club B;
* no person in two confirmed assignments at once;
* append-only tables refuse changes to what was written.

``expected`` lists every wall by name; a test compares it with what the database holds.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.apps import apps
from django.db import connections, models

APPEND_ONLY = (
    "count",
    "treeevent",
    "look",
    "estimate",
    "sitting",
    "sittingtask",
    "sittingmember",
    "change",
)
# Links that may be emptied later although the row is append-only (a member or workday removed).
OVERLAP = "assignment_no_overlap"


def _tables() -> Iterator[type[models.Model]]:
    for model in apps.get_app_config("collection").get_models():
        if any(field.name == "club" for field in model._meta.fields):
            yield model


def club_walls() -> list[tuple[str, str, str, str]]:
    """(name, child table, child column, parent table) of every link between two tables of a club."""
    walls = []
    for model in _tables():
        for field in model._meta.fields:
            parent = field.related_model
            if not isinstance(field, models.ForeignKey) or not isinstance(parent, type):
                continue
            if field.name == "club" or not any(f.name == "club" for f in parent._meta.fields):
                continue
            name = f"wall_{model._meta.model_name}_{field.name}"
            walls.append((name, model._meta.db_table, field.column, parent._meta.db_table))
    return sorted(walls)


def expected(vendor: str) -> set[str]:
    """Names of every wall the given kind of database must hold."""
    walls = [name for name, *_ in club_walls()]
    kept = [f"keep_{name}" for name in APPEND_ONLY]
    if vendor == "postgresql":
        return {*walls, *kept, OVERLAP}
    twice = [f"{name}_{verb}" for name in walls for verb in ("ins", "upd")]
    return {*twice, *kept, f"{OVERLAP}_ins", f"{OVERLAP}_upd"}


def held(connection: Any) -> set[str]:
    """Names of the walls the database holds now."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(
                "SELECT conname FROM pg_constraint WHERE conname LIKE 'wall\\_%%' OR conname = %s "
                "UNION SELECT tgname FROM pg_trigger WHERE tgname LIKE 'keep\\_%%'",
                [OVERLAP],
            )
        else:
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        return {row[0] for row in cursor.fetchall()}


def take_down(using: str = "default", plan: Any = None, **_: Any) -> None:
    """Before tables are rebuilt on SQLite: it refuses to rename a table that a trigger of another names.

    ``put_back`` builds the walls again after the migration. Other databases keep theirs.
    """
    connection = connections[using]
    if connection.vendor != "sqlite" or not plan:
        return
    with connection.cursor() as cursor:
        for name in held(connection):
            if name.startswith(("wall_", "keep_", OVERLAP)):
                cursor.execute(f'DROP TRIGGER "{name}"')


def put_back(using: str = "default", **_: Any) -> None:
    """Add every missing wall; safe to call again, also on tables of an earlier version."""
    connection = connections[using]
    missing = expected(connection.vendor) - held(connection) - _not_yet(connection)
    if not missing:
        return
    statements = _postgres() if connection.vendor == "postgresql" else _sqlite()
    with connection.cursor() as cursor:
        for name, sql in statements:
            if name in missing:
                cursor.execute(sql)


def _not_yet(connection: Any) -> set[str]:
    """Names of walls whose table or column this database does not have: it stands at an earlier migration."""
    with connection.cursor() as cursor:
        there = set(connection.introspection.table_names(cursor))
        columns = {
            table: {column.name for column in connection.introspection.get_table_description(cursor, table)}
            for table in {child for _, child, *_ in club_walls()} & there
        }
    missing = [name for name, child, column, _ in club_walls() if column not in columns.get(child, ())]
    return {*missing, *(f"{name}_{verb}" for name in missing for verb in ("ins", "upd"))}


def _kept_columns(name: str) -> list[str]:
    """Columns that never change; links to people may be emptied when a person leaves for good."""
    model = apps.get_model("collection", name)
    return [
        f.column
        for f in model._meta.fields
        if not (isinstance(f, models.ForeignKey) and f.null) and not f.primary_key
    ]


def _sqlite() -> Iterator[tuple[str, str]]:
    for name, child, column, parent in club_walls():
        for verb, event in (("ins", "INSERT"), ("upd", f'UPDATE OF "{column}", "club_id"')):
            yield (
                f"{name}_{verb}",
                f'CREATE TRIGGER "{name}_{verb}" BEFORE {event} ON "{child}" '
                f'WHEN NEW."{column}" IS NOT NULL AND EXISTS (SELECT 1 FROM "{parent}" p '
                f'WHERE p.id = NEW."{column}" AND p.club_id <> NEW.club_id) '
                f"BEGIN SELECT RAISE(ABORT, '{name}: this row belongs to another club'); END",
            )
    for verb, event in (("ins", "INSERT"), ("upd", "UPDATE")):
        yield (
            f"{OVERLAP}_{verb}",
            f'CREATE TRIGGER "{OVERLAP}_{verb}" BEFORE {event} ON collection_assignment '
            "WHEN NEW.confirmed AND EXISTS (SELECT 1 FROM collection_assignment a "
            "WHERE a.confirmed AND a.person_key = NEW.person_key AND a.id IS NOT NEW.id "
            "AND a.starts < NEW.ends AND NEW.starts < a.ends) "
            f"BEGIN SELECT RAISE(ABORT, '{OVERLAP}: this person is already busy then'); END",
        )
    for name in APPEND_ONLY:
        table = f"collection_{name}"
        columns = ", ".join(f'"{c}"' for c in _kept_columns(name))
        yield (
            f"keep_{name}",
            f'CREATE TRIGGER "keep_{name}" BEFORE UPDATE OF {columns} ON "{table}" '
            f"BEGIN SELECT RAISE(ABORT, 'keep_{name}: what was written stays'); END",
        )


def _postgres() -> Iterator[tuple[str, str]]:
    for name, child, column, parent in club_walls():
        key = f"club_and_id_{parent}"
        yield (
            name,
            f"DO $$ BEGIN IF NOT EXISTS (SELECT 1 FROM pg_constraint WHERE conname = '{key}') THEN "
            f'ALTER TABLE "{parent}" ADD CONSTRAINT "{key}" UNIQUE (club_id, id); END IF; END $$; '
            f'ALTER TABLE "{child}" ADD CONSTRAINT "{name}" FOREIGN KEY (club_id, "{column}") '
            f'REFERENCES "{parent}" (club_id, id) DEFERRABLE INITIALLY DEFERRED',
        )
    yield (
        OVERLAP,
        "CREATE EXTENSION IF NOT EXISTS btree_gist; "
        f"ALTER TABLE collection_assignment ADD CONSTRAINT {OVERLAP} EXCLUDE USING gist "
        "(person_key WITH =, tstzrange(starts, ends) WITH &&) WHERE (confirmed)",
    )
    yield (
        "keep_" + APPEND_ONLY[0],
        "CREATE OR REPLACE FUNCTION what_was_written_stays() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION 'keep_%: what was written stays', TG_TABLE_NAME "
        "USING ERRCODE = 'integrity_constraint_violation'; END $$; " + _postgres_keep(APPEND_ONLY[0]),
    )
    for name in APPEND_ONLY[1:]:
        yield f"keep_{name}", _postgres_keep(name)


def _postgres_keep(name: str) -> str:
    columns = ", ".join(f'"{c}"' for c in _kept_columns(name))
    return (
        f'CREATE TRIGGER "keep_{name}" BEFORE UPDATE OF {columns} ON "collection_{name}" '
        "FOR EACH ROW EXECUTE FUNCTION what_was_written_stays()"
    )
