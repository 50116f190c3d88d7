"""Copies of an embedded database, made while others go on working in it."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection

from collection.queries.errors import Refused
from collection.usecases.keeping.digest import Digests, digest_of

WAIT_S = 30
MOST_COPIES = 5


def live_path() -> Path:
    """Where the database in use lies."""
    return Path(connection.settings_dict["NAME"])


def copy(source: Path, target: Path) -> None:
    """A faithful copy in one file, also while somebody writes to the source.

    Raises:
        Refused: ``copy_damaged`` when the copy does not pass SQLite's own examination.
    """
    with closing(_readable(source)) as old, closing(sqlite3.connect(target)) as new:
        old.backup(new)
        new.execute("PRAGMA journal_mode=DELETE")
    target.chmod(0o600)
    examine(target)


def examine(path: Path) -> None:
    """SQLite's own examination of a file, and of the links between its rows.

    Raises:
        Refused: ``copy_damaged``.
    """
    with closing(_readable(path)) as found:
        try:
            good = found.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            good = good and not found.execute("PRAGMA foreign_key_check").fetchall()
        except sqlite3.DatabaseError:
            good = False
    if not good:
        raise Refused("copy_damaged", kind="conflict", file=path.name)


def digests(path: Path) -> Digests:
    """Count and digest of every table in a database file."""
    with closing(_readable(path)) as found:
        listed = (
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'"
        )
        names = sorted(name for (name,) in found.execute(listed))
        return {name: digest_of(found.execute(f'SELECT * FROM "{name}"')) for name in names}


def put_in_place(copied: Path) -> None:
    """Make the live database hold what the copy holds: all of it or, when it is killed meanwhile, nothing.

    It goes through SQLite itself, so that a process which has the live file open is not left with an old one.

    Raises:
        Refused: ``database_busy`` when somebody else keeps writing.
    """
    path = live_path()
    connection.close()
    with closing(_readable(copied)) as new, closing(sqlite3.connect(path, timeout=WAIT_S)) as live:
        live.execute("PRAGMA journal_mode=WAL")
        try:
            live.execute("BEGIN IMMEDIATE")
            live.rollback()
            new.backup(live, pages=-1)
        except sqlite3.OperationalError:
            raise Refused("database_busy", kind="conflict") from None
    path.chmod(0o600)


def copy_before_change(now: datetime) -> Path | None:
    """Keep a copy of the live database before its tables change; None when there is nothing to keep.

    Only the newest five copies of this kind are kept.
    """
    path = live_path()
    if not path.is_file() or not digests(path):
        return None
    folder = Path(settings.DATA_DIR) / "copies"
    folder.mkdir(parents=True, exist_ok=True)
    target = folder / f"before-migration-{now:%Y%m%d-%H%M%S}.sqlite3"
    copy(path, target)
    for old in sorted(folder.glob("before-*.sqlite3"), key=lambda f: f.stat().st_mtime)[:-MOST_COPIES]:
        old.unlink()
    return target


def _readable(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True, timeout=WAIT_S)
