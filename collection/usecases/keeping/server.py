"""Dumps of a PostgreSQL database by its own tools."""

from __future__ import annotations

import os
import re
import secrets
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import psycopg
from django.db import connection
from django.db.backends.postgresql.client import DatabaseClient

from collection.queries.errors import Refused
from collection.usecases.keeping.digest import Digests, digest_of

LOCK_WAIT = "30s"
# Who owns the tables is the affair of the server they are put back on.
OURS = ("--no-owner", "--no-privileges")


def dump(target: Path) -> Digests:
    """Write a dump and give the digests of exactly what it holds: both read one snapshot.

    Raises:
        Refused: ``tool_missing`` or ``tool_failed`` with the tool's own words.
    """
    with _open() as database:
        database.isolation_level = psycopg.IsolationLevel.REPEATABLE_READ
        with database.transaction(), database.cursor() as cursor:
            snapshot = cursor.execute("SELECT pg_export_snapshot()").fetchone()
            assert snapshot is not None
            _run(
                "pg_dump",
                "-Fc",
                f"--snapshot={snapshot[0]}",
                "--no-owner",
                "--no-privileges",
                f"--file={target}",
            )
            target.chmod(0o600)
            return _digests(cursor)


def digests(name: str | None = None) -> Digests:
    """Count and digest of every table now, of the live database or of another on the same server."""
    with _open(name) as database, database.transaction(), database.cursor() as cursor:
        return _digests(cursor)


def readable(dumped: Path) -> bool:
    """Whether the dump's table of contents can be read."""
    return bool(_run("pg_restore", "--list", str(dumped), connect=False))


def put_in_place(dumped: Path, scratch: Path, name: str | None = None) -> None:
    """Replace everything in the database by the dump, in one transaction: all or nothing.

    Raises:
        Refused: ``tool_missing``, ``tool_failed`` or ``database_busy``.
    """
    connection.close()
    statements = scratch / "restore.sql"
    _run("pg_restore", *OURS, f"--file={statements}", str(dumped), connect=False)
    before = scratch / "before.sql"
    before.write_text(
        f"SET lock_timeout = '{LOCK_WAIT}'; DROP SCHEMA public CASCADE; CREATE SCHEMA public;\n"
    )
    options = ("--quiet", "--no-psqlrc", "--single-transaction", "--set=ON_ERROR_STOP=1")
    _run("psql", *options, f"--file={before}", f"--file={statements}", name=name)


@contextmanager
def scratch_database() -> Iterator[str]:
    """A database of its own on the same server, dropped afterwards.

    Raises:
        Refused: ``no_scratch_database`` when the server does not let us make one.
    """
    name = f"teire_check_{secrets.token_hex(6)}"
    with _open() as database:
        database.autocommit = True
        try:
            database.execute(f'CREATE DATABASE "{name}" TEMPLATE template0')
        except psycopg.errors.InsufficientPrivilege:
            raise Refused("no_scratch_database", kind="conflict") from None
    try:
        yield name
    finally:
        with _open() as database:
            database.autocommit = True
            database.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')


def _open(name: str | None = None) -> psycopg.Connection[Any]:
    given = connection.settings_dict
    return psycopg.connect(
        host=given["HOST"] or None,
        port=given["PORT"] or None,
        user=given["USER"] or None,
        password=given["PASSWORD"] or None,
        dbname=name or given["NAME"],
    )


def _digests(cursor: psycopg.Cursor[Any]) -> Digests:
    listed = "SELECT tablename FROM pg_tables WHERE schemaname = 'public' ORDER BY tablename"
    names = [row[0] for row in cursor.execute(listed).fetchall()]
    # A row's own text form: no driver stands between it and the digest.
    return {name: digest_of(cursor.execute(f'SELECT t::text FROM "{name}" t')) for name in names}


def _tool(name: str) -> str:
    """The newest of PostgreSQL's programs; Debian keeps each version in a folder of its own."""
    folders = Path("/usr/lib/postgresql").glob("*/bin")
    newest = sorted(folders, key=lambda p: int(re.sub(r"\D", "", p.parent.name) or 0), reverse=True)
    for folder in newest:
        if (folder / name).exists():
            return str(folder / name)
    found = shutil.which(name)
    if found is None:
        raise Refused("tool_missing", kind="conflict", tool=name)
    return found


def _run(tool: str, *options: str, connect: bool = True, name: str | None = None) -> str:
    given = dict(connection.settings_dict)
    arguments, more = DatabaseClient.settings_to_cmd_args_env({**given, "NAME": name or given["NAME"]}, [])
    target = [*arguments[1:-1], f"--dbname={arguments[-1]}"] if connect else []
    done = subprocess.run(
        [_tool(tool), *options, *target],
        env={**os.environ, **(more or {})},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        if "lock timeout" in done.stderr:
            raise Refused("database_busy", kind="conflict")
        said = done.stderr.strip().splitlines()
        raise Refused("tool_failed", kind="conflict", tool=tool, said=said[-1] if said else "")
    return done.stdout
