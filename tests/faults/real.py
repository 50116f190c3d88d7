"""Real processes on a real database of their own: SQLite's file, or a database made on the server given."""

from __future__ import annotations

import os
import secrets
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import psycopg
from psycopg import sql

ROOT = Path(__file__).resolve().parents[2]
START = "import django; django.setup()\n"
# Asked before each turn: all children stand at the line, and are let go together.
TURN = 'def turn(n):\n    print("ready", n, flush=True)\n    input()\n'
FILE = "teire.sqlite3"
PATIENCE_S = 120


class Real:
    """Starts children that see one database, and lets them run against each other."""

    def __init__(self, env: Mapping[str, str]) -> None:
        self.env = dict(env)

    def send_to(self, mail_server: str) -> None:
        """Use the live settings with this mail server: the tests' own keep mails in memory."""
        key = "of-this-test-only-" + "abcdefghijklmnopqrstuvwxyz0123456789" * 2
        self.env |= {
            "DJANGO_SETTINGS_MODULE": "collection.conf.settings",
            "DJANGO_SECRET_KEY": key,
            "EMAIL_URL": mail_server,
        }

    def start(self, code: str, *words: str) -> subprocess.Popen[str]:
        """A child that runs; ``end`` it."""
        return self._child([sys.executable, "-W", "error", "-c", START + code, *words])

    def command(self, *words: str) -> subprocess.Popen[str]:
        """A command of ``manage.py`` that runs; ``end`` it."""
        return self._child([sys.executable, str(ROOT / "manage.py"), *words])

    def run(self, code: str, *words: str, expect: int = 0) -> list[str]:
        """One child to its end; what it printed."""
        return self.end(self.start(code, *words), expect=expect)

    def race(self, code: str, runners: Sequence[str], turns: int = 1) -> list[list[str]]:
        """A child for each runner, ``sys.argv[1]``; ``turn(n)`` in the code lets all go at one moment.

        Returns what each printed besides.
        """
        children = [self.start(TURN + code, runner) for runner in runners]
        printed: list[list[str]] = [[] for _ in children]
        for n in range(turns):
            for child, lines in zip(children, printed, strict=True):
                self._until(child, f"ready {n}\n", lines)
            let_go(children)
        return [lines + self.end(child) for child, lines in zip(children, printed, strict=True)]

    def at_the_line(self, code: str, count: int) -> list[subprocess.Popen[str]]:
        """Children that have begun and wait at ``turn(0)``; ``let_go`` starts them together."""
        children = [self.start(TURN + code, str(n)) for n in range(count)]
        for child in children:
            self._until(child, "ready 0\n", [])
        return children

    def ask(self, question: str) -> int:
        """One number of the database, asked without a child."""
        url = self.env.get("DATABASE_URL", "")
        if url:
            with psycopg.connect(url, autocommit=True) as line:
                row = line.execute(question.encode()).fetchone()
        else:
            with closing(sqlite3.connect(Path(self.env["TEIRE_DATA_DIR"]) / FILE)) as file:
                row = file.execute(question).fetchone()
        assert row is not None
        return int(row[0])

    @staticmethod
    def end(child: subprocess.Popen[str], *, expect: int = 0) -> list[str]:
        """Wait for a child's end; what it printed."""
        out, err = child.communicate(timeout=PATIENCE_S)
        assert child.returncode == expect, err
        return out.splitlines()

    def kill(self, child: subprocess.Popen[str]) -> None:
        """As a power cut would."""
        os.kill(child.pid, signal.SIGKILL)
        self.end(child, expect=-signal.SIGKILL)

    def _until(self, child: subprocess.Popen[str], mark: str, lines: list[str]) -> None:
        assert child.stdout is not None
        for line in iter(child.stdout.readline, mark):
            if not line:
                self.end(child)
                raise AssertionError("the child stopped before its turn")
            lines.append(line.rstrip("\n"))

    def _child(self, command: Sequence[str]) -> subprocess.Popen[str]:
        return subprocess.Popen(
            command, cwd=ROOT, env=self.env, text=True,
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )  # fmt: skip


def let_go(children: Sequence[subprocess.Popen[str]]) -> None:
    """Start children that wait at the line."""
    for child in children:
        assert child.stdin is not None
        child.stdin.write("\n")
        child.stdin.flush()


def within(seconds: float, true: Callable[[], bool]) -> bool:
    """Whether something becomes true in time."""
    until = time.monotonic() + seconds
    while not (found := true()) and time.monotonic() < until:
        time.sleep(0.01)
    return found


@dataclass(frozen=True, slots=True)
class Migrated:
    """An empty migrated database that is only copied: a file, or one on the server."""

    file: Path
    server: str
    name: str

    @contextmanager
    def copy(self, folder: Path) -> Iterator[Real]:
        """A database of its own in the folder, or on the server until the end."""
        if not self.server:
            shutil.copy(self.file, folder / FILE)
            yield Real(_env(folder))
            return
        with _made_on(self.server, like=self.name) as url:
            yield Real(_env(folder) | {"DATABASE_URL": url})


@contextmanager
def migrated(folder: Path) -> Iterator[Migrated]:
    """Migrate once: a file in the folder, or a database made on the server of DATABASE_URL."""
    server = os.environ.get("DATABASE_URL", "")
    if not server.startswith("postgres"):
        Real(_env(folder)).run(MIGRATE)
        yield Migrated(folder / FILE, "", "")
        return
    with _made_on(server) as url:
        Real(_env(folder) | {"DATABASE_URL": url}).run(MIGRATE)
        yield Migrated(folder / FILE, server, urlsplit(url).path.lstrip("/"))


def _env(folder: Path) -> dict[str, str]:
    settings = {"DJANGO_SETTINGS_MODULE": "collection.conf.settings_test", "TEIRE_DATA_DIR": str(folder)}
    return {key: value for key, value in os.environ.items() if key != "DATABASE_URL"} | settings


@contextmanager
def _made_on(server: str, like: str = "template1") -> Iterator[str]:
    """The address of a new database on the server, which is dropped at the end."""
    name = f"teire_fault_{secrets.token_hex(6)}"
    new, old = sql.Identifier(name), sql.Identifier(like)
    with psycopg.connect(server, autocommit=True) as admin:
        admin.execute(sql.SQL("CREATE DATABASE {} TEMPLATE {}").format(new, old))
        try:
            yield urlunsplit(urlsplit(server)._replace(path=f"/{name}"))
        finally:
            admin.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(new))


MIGRATE = """
from django.db import connection
from django.core.management import call_command
call_command("migrate", verbosity=0)
if connection.vendor == "sqlite":
    connection.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
"""
