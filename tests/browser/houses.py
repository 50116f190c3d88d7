"""Sites served by the commands of the README: the two sample clubs, and a club with nothing in it yet."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings

ROOT = Path(settings.BASE_DIR)
LINE = re.compile(
    r"^ {2}(?P<club>.+): (?P<who>.+), (?P<what>[a-z ]+), (?P<email>\S+@\S+), password (?P<password>\S+)$"
)
OPEN = re.compile(r"The site is open at (http://\S+)/ ")


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who signs in."""

    name: str
    email: str
    password: str
    club: str = ""
    what: str = "coordinator"


@dataclass(frozen=True, slots=True)
class Site:
    """A served site and who may sign in to it."""

    url: str
    people: tuple[Person, ...]

    def person(self, what: str, club: str = "") -> Person:
        """The first person of that part, of a club whose name begins so."""
        return next(p for p in self.people if p.what == what and p.club.startswith(club))


def environment(folder: Path) -> dict[str, str]:
    kept = {
        name: value
        for name, value in os.environ.items()
        if name not in ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE", "DJANGO_SECRET_KEY")
    }
    return kept | {"TEIRE_DATA_DIR": str(folder)}


def manage(folder: Path, *words: str) -> str:
    """Run a command to its end."""
    done = subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env=environment(folder),
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def _hears_ctrl_c() -> None:
    """What runs in the background is born deaf to Ctrl-C, and hands that on."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The site of a folder, at its address; stopped with its background process at the end."""
    told = folder / "served.txt"
    with told.open("w") as out:
        process = subprocess.Popen(
            [sys.executable, "manage.py", "serve", "--port", "8300"],
            cwd=ROOT,
            env=environment(folder),
            stdin=subprocess.DEVNULL,
            stdout=out,
            stderr=out,
            preexec_fn=_hears_ctrl_c,
        )
    try:
        for _ in range(300):
            if found := OPEN.search(told.read_text()):
                break
            assert process.poll() is None, told.read_text()
            time.sleep(0.2)
        assert found, told.read_text()
        yield found[1]
    finally:
        process.send_signal(signal.SIGINT)
        process.wait(timeout=30)


@contextmanager
def sample_site(folder: Path) -> Iterator[Site]:
    """The demo, as the README's command makes it."""
    said = manage(folder, "demo", "--no-serve")
    people = tuple(
        Person(m["who"], m["email"], m["password"], m["club"], m["what"])
        for m in map(LINE.match, said.splitlines())
        if m
    )
    assert people, said
    with served(folder) as url:
        yield Site(url, people)


@contextmanager
def empty_site(folder: Path) -> Iterator[Site]:
    """A club on its first day."""
    said = manage(
        folder, "new_club", "Hill Street Bonsai", "--latitude=51.2", "--zone=Europe/London",
        "--coordinator=Edith Mossgrave", "--email=edith@example.org", "--ground=Malthouse Garden",
        "--last-frost=04-20", "--first-frost=11-01",
    )  # fmt: skip
    password = said.split("password ")[1].split()[0].rstrip(".")
    with served(folder) as url:
        yield Site(url, (Person("Edith Mossgrave", "edith@example.org", password),))
