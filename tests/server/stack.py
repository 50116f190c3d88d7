"""A whole server of real processes: PostgreSQL, Redis, the pages, workers, the clock, a place for mail.

Each piece can be started, stopped, paused and killed. Nothing here is skipped: a piece that is not
installed or does not start fails the test.
"""

from __future__ import annotations

import os
import re
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import psycopg
import requests
from django.conf import settings
from django.db import connection

ROOT = Path(settings.BASE_DIR)
EXAMPLE = ROOT / "fixtures" / "sample" / "osierholt"
KEY = "k7" + secrets.token_urlsafe(64)
TOKEN = re.compile(r'name="csrfmiddlewaretoken" value="([^"]+)"')


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


def within(seconds: float, true: Callable[[], Any], every: float = 0.2) -> bool:
    """Whether something becomes true in time."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if true():
            return True
        time.sleep(every)
    return bool(true())


@dataclass
class Stack:
    """The server of one test run."""

    folder: Path
    database: str
    redis_port: int
    web_port: int
    running: dict[str, subprocess.Popen[bytes]] = field(default_factory=dict)
    password: str = ""

    @property
    def environment(self) -> dict[str, str]:
        return {
            **{name: value for name, value in os.environ.items() if not name.startswith("DJANGO_")},
            "DJANGO_SETTINGS_MODULE": "collection.conf.settings",
            "DJANGO_SECRET_KEY": KEY,
            "DATABASE_URL": self.database,
            "REDIS_URL": f"redis://127.0.0.1:{self.redis_port}/0",
            "TEIRE_DATA_DIR": str(self.folder),
            "TEIRE_HTTPS": "off",
            "PYTHONUNBUFFERED": "1",
        }

    def start(self, name: str, *command: str) -> subprocess.Popen[bytes]:
        """Start a process in a group of its own; what it says goes to a file of its name."""
        with (self.folder / f"{name}.log").open("ab") as log:
            made = subprocess.Popen(
                command,
                cwd=ROOT,
                env=self.environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        self.running[name] = made
        return made

    def stop(self, name: str, how: signal.Signals = signal.SIGTERM, seconds: float = 30) -> int:
        """Tell a process to stop, or kill it with all its children, and wait until it is gone."""
        process = self.running.pop(name)
        if process.poll() is None:
            (os.killpg if how == signal.SIGKILL else os.kill)(process.pid, how)
        return process.wait(timeout=seconds)

    def log(self, name: str) -> str:
        return (self.folder / f"{name}.log").read_text(errors="replace")

    def manage(self, *words: str) -> str:
        done = subprocess.run(
            [sys.executable, "manage.py", *words],
            cwd=ROOT,
            env=self.environment,
            capture_output=True,
            text=True,
            stdin=subprocess.DEVNULL,
            check=False,
        )
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    def redis(self) -> None:
        program = shutil.which("redis-server")
        assert program, "redis-server is not installed"
        options = ("--save", "", "--appendonly", "no", "--bind", "127.0.0.1", "--dir", str(self.folder))
        self.start("redis", program, "--port", str(self.redis_port), *options)
        assert within(10, self._redis_answers), self.log("redis")

    def _redis_answers(self) -> bool:
        try:
            with socket.create_connection(("127.0.0.1", self.redis_port), timeout=1) as line:
                line.sendall(b"PING\r\n")
                return line.recv(5) == b"+PONG"
        except OSError:
            return False

    def ask_redis(self, *words: str) -> bytes:
        with socket.create_connection(("127.0.0.1", self.redis_port), timeout=5) as line:
            line.sendall(" ".join(words).encode() + b"\r\n")
            return line.recv(4096)

    def worker(self, name: str = "worker") -> None:
        options = ("--concurrency=1", "--loglevel=INFO", f"--hostname={name}@here", "--without-gossip")
        app = ("-m", "celery", "-A", "collection.conf.celery", "worker")
        self.start(name, sys.executable, *app, *options)
        assert within(60, lambda: "ready." in self.log(name)), self.log(name)

    def beat(self, name: str = "beat") -> None:
        schedule = str(self.folder / f"{name}-schedule")
        app = ("-m", "celery", "-A", "collection.conf.celery", "beat", f"--schedule={schedule}")
        self.start(name, sys.executable, *app, f"--pidfile={self.folder / name}.pid", "--loglevel=INFO")
        assert within(30, lambda: "beat: Starting" in self.log(name)), self.log(name)

    def web(self) -> None:
        options = ("--workers=2", f"--bind=127.0.0.1:{self.web_port}", "--timeout=30")
        self.start("web", sys.executable, "-m", "gunicorn", *options, "collection.conf.wsgi")
        assert within(60, self._web_answers), self.log("web")

    def _web_answers(self) -> bool:
        try:
            return requests.get(self.url("/healthz"), timeout=2).status_code == 200
        except requests.RequestException:
            return False

    def url(self, path: str) -> str:
        return f"http://127.0.0.1:{self.web_port}{path}"

    def ask(self, sql: str) -> list[tuple[Any, ...]]:
        with psycopg.connect(self.database, autocommit=True) as found:
            cursor = found.execute(sql.encode())
            return cursor.fetchall() if cursor.description else []

    def found(self) -> None:
        """A club with people, trees, jobs and one workday to which seven people come."""
        said = self.manage(
            "new_club", "Hill Street", "--latitude=51.2", "--zone=Europe/London", "--level=practised",
            "--coordinator=Edith Mossgrave", "--email=edith@example.org", "--ground=Malthouse Garden",
            "--last-frost=04-20", "--first-frost=11-01",
        )  # fmt: skip
        self.password = said.split("password ")[1].split()[0].rstrip(".")
        for kind in ("people", "trees"):
            self.manage(f"import_{kind}", str(EXAMPLE / f"{kind}.csv"), "--accept")
        self.manage("season_jobs")
        self.manage("new_workday", "2027-03-06", "9:30", "13:30", "--break=11:15-11:30")
        self.manage("import_offers", str(EXAMPLE / "answers.csv"), "--accept")

    def signed_in(self) -> requests.Session:
        """The coordinator's browser."""
        browser = requests.Session()
        signed = self.post(browser, "/sign-in", "/sign-in", login="edith@example.org", password=self.password)
        assert browser.get(self.url("/days"), timeout=30).url == self.url("/days"), signed.text
        return browser

    def post(self, browser: requests.Session, seen: str, to: str, **values: str) -> requests.Response:
        """Send a form with the token of the page it stands on."""
        page = browser.get(self.url(seen), timeout=30)
        token = TOKEN.search(page.text)
        assert token, page.text[:2000]
        return browser.post(self.url(to), data={**values, "csrfmiddlewaretoken": token.group(1)}, timeout=30)

    @property
    def day(self) -> int:
        return int(self.ask("SELECT min(id) FROM collection_workday")[0][0])

    def plans(self) -> list[tuple[Any, ...]]:
        return self.ask("SELECT number, state, attempts FROM collection_plan ORDER BY number")

    def ask_for_a_plan(self, browser: requests.Session) -> float:
        """Press the button; the seconds until the page answered."""
        began = time.monotonic()
        answer = self.post(browser, f"/days/{self.day}", f"/days/{self.day}/plan")
        assert "A new plan has been asked for." in answer.text, answer.text
        return time.monotonic() - began


@contextmanager
def stack_in(folder: Path) -> Iterator[Stack]:
    """A stack with an empty, migrated database of its own; everything is gone at the end."""
    given = connection.settings_dict
    assert connection.vendor == "postgresql", "set DATABASE_URL to a PostgreSQL server for these tests"
    name = f"teire_server_{secrets.token_hex(6)}"
    login = f"{given['USER']}:{given['PASSWORD']}" if given["PASSWORD"] else given["USER"]
    base = f"postgres://{login}@{given['HOST']}:{given['PORT'] or 5432}"
    with psycopg.connect(f"{base}/postgres", autocommit=True) as server:
        server.execute(f'CREATE DATABASE "{name}"'.encode())
    stack = Stack(folder, f"{base}/{name}", free_port(), free_port())
    try:
        yield stack
    finally:
        for each in list(stack.running):
            stack.stop(each, signal.SIGKILL)
        with psycopg.connect(f"{base}/postgres", autocommit=True) as server:
            server.execute(f'DROP DATABASE "{name}" WITH (FORCE)'.encode())
