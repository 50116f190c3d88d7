"""Real processes on a real database of their own: SQLite's file, or a database made on the server given."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import psycopg
from psycopg import sql

ROOT = Path(__file__).resolve().parents[2]
START = "import django; django.setup()\n"
# Asked before each turn: both children stand at the line, and are let go together.
TURN = 'def turn(n):\n    print("ready", n, flush=True)\n    input()\n'


class Real:
    """Starts children that see one database, and lets them run against each other."""

    def __init__(self, env: Mapping[str, str]) -> None:
        self.env = dict(env)

    def run(self, code: str, *words: str) -> list[str]:
        """One child to its end; what it printed."""
        child = self._start(START + code, words)
        return self._end(child)

    def race(self, code: str, runners: Sequence[str], turns: int) -> list[list[str]]:
        """A child for each runner, ``sys.argv[1]``; ``turn(n)`` in the code lets all go at one moment.

        Returns what each printed besides.
        """
        children = [self._start(START + TURN + code, [runner]) for runner in runners]
        printed: list[list[str]] = [[] for _ in children]
        for n in range(turns):
            for child, lines in zip(children, printed, strict=True):
                self._until(child, f"ready {n}\n", lines)
            for child in children:
                assert child.stdin is not None
                child.stdin.write("\n")
                child.stdin.flush()
        return [lines + self._end(child) for child, lines in zip(children, printed, strict=True)]

    def _until(self, child: subprocess.Popen[str], mark: str, lines: list[str]) -> None:
        assert child.stdout is not None
        for line in iter(child.stdout.readline, mark):
            if not line:
                self._end(child)
                raise AssertionError("the child stopped before its turn")
            lines.append(line.rstrip("\n"))

    def _start(self, code: str, words: Sequence[str]) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [sys.executable, "-W", "error", "-c", code, *words],
            cwd=ROOT, env=self.env, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
            text=True,
        )  # fmt: skip

    @staticmethod
    def _end(child: subprocess.Popen[str]) -> list[str]:
        out, err = child.communicate(timeout=120)
        assert child.returncode == 0, err
        return out.splitlines()


@contextmanager
def real_database(folder: Path, name: str) -> Iterator[Real]:
    """An empty migrated database: a file in the folder, or one made on the server of DATABASE_URL."""
    settings = {"DJANGO_SETTINGS_MODULE": "collection.conf.settings_test", "TEIRE_DATA_DIR": str(folder)}
    env = {key: value for key, value in os.environ.items() if key != "DATABASE_URL"} | settings
    server = os.environ.get("DATABASE_URL", "")
    if not server.startswith("postgres"):
        real = Real(env)
        real.run(MIGRATE)
        yield real
        return
    parts = urlsplit(server)
    database = f"{name}_{os.getpid()}"
    with psycopg.connect(server, autocommit=True) as admin:
        admin.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(database)))
        try:
            real = Real(env | {"DATABASE_URL": urlunsplit(parts._replace(path=f"/{database}"))})
            real.run(MIGRATE)
            yield real
        finally:
            admin.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(database)))


MIGRATE = """
from django.core.management import call_command
call_command("migrate", verbosity=0)
"""
