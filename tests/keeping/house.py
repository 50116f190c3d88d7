"""A house in a folder of its own, worked by real commands in real processes, on either database."""

from __future__ import annotations

import os
import secrets
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

import psycopg
from django.conf import settings
from django.db import connection

ROOT = Path(settings.BASE_DIR)
EXAMPLE = ROOT / "fixtures" / "sample" / "osierholt"


@dataclass(frozen=True, slots=True)
class House:
    """Where a house lies. ``url`` is empty for an embedded database."""

    folder: Path
    url: str

    def environment(self) -> dict[str, str]:
        kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
        kept |= {
            "TEIRE_DATA_DIR": str(self.folder),
            "DJANGO_SETTINGS_MODULE": "collection.conf.settings",
            "DJANGO_SECRET_KEY": "k7" + secrets.token_urlsafe(64),
            "TEIRE_HTTPS": "off",
        }
        return kept | ({"DATABASE_URL": self.url} if self.url else {})

    def command(self, *words: str) -> list[str]:
        return [sys.executable, str(ROOT / "manage.py"), *words]

    def run(self, *words: str, fails: bool = False) -> str:
        done = subprocess.run(
            self.command(*words),
            env=self.environment(),
            cwd=ROOT,
            capture_output=True,
            text=True,
            stdin=subprocess.DEVNULL,
            check=False,
        )
        assert (done.returncode != 0) == fails, done.stdout + done.stderr
        return done.stdout + done.stderr

    def found(self) -> None:
        """A club with its people and trees."""
        self.run(
            "new_club", "Hill Street", "--latitude=51.2", "--zone=Europe/London",
            "--coordinator=Edith Mossgrave", "--email=edith@example.org", "--ground=Malthouse Garden",
        )  # fmt: skip
        self.run("import_people", str(EXAMPLE / "people.csv"), "--accept")
        self.run("import_trees", str(EXAMPLE / "trees.csv"), "--accept")

    def ask(self, sql: str) -> list[tuple[object, ...]]:
        """Rows of the live database; a statement that changes something is kept."""
        if self.url:
            with psycopg.connect(self.url, autocommit=True) as database:
                cursor = database.execute(sql.encode())
                return cursor.fetchall() if cursor.description else []
        with closing(sqlite3.connect(self.folder / "teire.sqlite3")) as database:
            rows = database.execute(sql).fetchall()
            database.commit()
            return rows


@contextmanager
def house_in(folder: Path) -> Iterator[House]:
    """A house on the kind of database that the tests run on; its database is dropped at the end."""
    if connection.vendor != "postgresql":
        yield House(folder, "")
        return
    given = connection.settings_dict
    name = f"teire_house_{secrets.token_hex(6)}"
    login = f"{given['USER']}:{given['PASSWORD']}" if given["PASSWORD"] else given["USER"]
    base = f"postgres://{login}@{given['HOST']}:{given['PORT'] or 5432}"
    with psycopg.connect(f"{base}/postgres", autocommit=True) as server:
        server.execute(f'CREATE DATABASE "{name}"'.encode())
    try:
        yield House(folder, f"{base}/{name}")
    finally:
        with psycopg.connect(f"{base}/postgres", autocommit=True) as server:
            server.execute(f'DROP DATABASE "{name}" WITH (FORCE)'.encode())
