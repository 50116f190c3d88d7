"""Real processes, a real mail server: two senders at once, one killed in mid-batch, a deadly message.

The database is the one the suite runs on: an SQLite file, or a new database on the PostgreSQL server.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import psycopg
import pytest

from tests.mailsink import Server

ROOT = Path(__file__).resolve().parents[2]
LETTERS = 60
BUILD = f"""
import django; django.setup()
from datetime import date
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.factories import ClubFactory, MemberFactory
from tests.usecases.letters import letter_to
club = ClubFactory()
for n in range({LETTERS}):
    letter_to(MemberFactory(club=club))
"""
SEND = """
import django; django.setup()
from collection.usecases import posting
print("ready", flush=True)
input()
print(posting.send_waiting(longest_s=60))
"""
# Killed after the server has said yes and before that is written down, as a power cut might.
DIE_AFTER_YES = """
import django; django.setup()
import os, signal
from collection.usecases import posting
real, seen = posting._after, []
def after(*args):
    seen.append(args)
    if len(seen) == 10:
        os.kill(os.getpid(), signal.SIGKILL)
    return real(*args)
posting._after = after
posting.send_waiting(longest_s=60)
"""
# One message always kills the process that writes it.
DEADLY = """
import django; django.setup()
import os, signal
from collection.usecases import posting
from collection.models import Message
first = Message.objects.order_by("pk").first().pk
real = posting.mail_of
def mail_of(message, *args):
    if message.pk == first:
        os.kill(os.getpid(), signal.SIGKILL)
    return real(message, *args)
posting.mail_of = mail_of
print(posting.send_waiting(longest_s=60))
"""
LOOK = """
import django; django.setup()
from collections import Counter
from collection.models import Message
print(Counter((bool(m.sent_at), m.parked_reason) for m in Message.objects.all()))
"""
EXPIRE = """
import django; django.setup()
from datetime import timedelta
from django.utils import timezone
from collection.models import Message
rows = Message.objects.filter(lease_until__isnull=False)
print(rows.update(lease_until=timezone.now() - timedelta(seconds=1)))
"""
GATHER = """
import django; django.setup()
from django.utils import timezone
from collection.models import Club
from collection.usecases import reminders
print("ready", flush=True)
input()
print(sum(reminders.look_through(club, timezone.now()) for club in Club.objects.all()))
"""
BUILD_DUE = """
import django; django.setup()
from datetime import timedelta
from django.core.management import call_command
call_command("migrate", verbosity=0)
from django.utils import timezone
from tests.factories import MemberFactory, SiteFactory, WorkdayFactory
# Whatever the clock says it is an open day in two weeks, and past the hour of the mails.
site = SiteFactory(club__zone="UTC", club__settings={"mail_hour": 0, "quiet_weeks": ["02-30", "02-30"]})
for ahead in (10, 14):
    WorkdayFactory(site=site, date=timezone.now().date() + timedelta(days=ahead))
for _ in range(40):
    MemberFactory(club=site.club)
"""
LOOK_DUE = """
import django; django.setup()
from django.db.models import Count
from collection.models import Message, Notice
print(Message.objects.count(), Notice.objects.count(), Notice.objects.filter(message=None).count())
print(Message.objects.annotate(n=Count("notices")).exclude(n=2).count())
"""


@pytest.fixture
def database(tmp_path: Path) -> Iterator[str]:
    """The address of an empty database of its own, "" for an SQLite file."""
    server = os.environ.get("DATABASE_URL", "")
    if not server.startswith("postgres"):
        yield ""
        return
    name = f"letters_{os.getpid()}_{time.monotonic_ns()}"
    with psycopg.connect(server, autocommit=True) as line:
        line.execute(f'CREATE DATABASE "{name}"')
        yield f"{server.rpartition('/')[0]}/{name}"
        line.execute(f'DROP DATABASE "{name}" WITH (FORCE)')


@pytest.fixture
def server() -> Iterator[Server]:
    with Server() as found:
        yield found


@pytest.fixture
def start(tmp_path: Path, database: str, server: Server) -> Callable[[str], subprocess.Popen[str]]:
    env = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    env |= {
        "DJANGO_SETTINGS_MODULE": "collection.conf.settings",
        "DJANGO_SECRET_KEY": "of-this-test-only-" + "abcdefghijklmnopqrstuvwxyz0123456789" * 2,
        "TEIRE_DATA_DIR": str(tmp_path),
        "EMAIL_URL": server.url,
    }
    if database:
        env["DATABASE_URL"] = database

    def start(code: str) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [sys.executable, "-W", "error", "-c", code], cwd=ROOT, env=env, text=True,
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )  # fmt: skip

    return start


def end(child: subprocess.Popen[str], *, expect: int = 0) -> list[str]:
    out, err = child.communicate(timeout=120)
    assert child.returncode == expect, err
    return out.splitlines()


def together(start, code: str, count: int = 2) -> list[int]:
    """Start processes that wait for each other's beginning; what each printed last."""
    children = [start(code) for _ in range(count)]
    for child in children:
        assert child.stdout.readline() == "ready\n"
    for child in children:
        child.stdin.write("go\n")
        child.stdin.flush()
    return [int(end(child)[-1]) for child in children]


def test_two_senders_at_once_send_each_letter_once(start, server: Server) -> None:
    end(start(BUILD))
    server.sink.pause_s = 0.005
    sent = together(start, SEND)
    assert sum(sent) == LETTERS
    assert min(sent) > 0
    assert Counter(Counter(server.sink.ids()).values()) == {1: LETTERS}
    assert end(start(LOOK)) == [f"Counter({{(True, ''): {LETTERS}}})"]


def test_a_sender_killed_in_mid_batch_loses_nothing_and_doubles_one_at_most(start, server: Server) -> None:
    end(start(BUILD))
    server.sink.pause_s = 0.02
    child = start(SEND)
    assert child.stdout.readline() == "ready\n"
    child.stdin.write("go\n")
    child.stdin.flush()
    assert within(30, lambda: len(server.sink.mails) >= 20)
    os.kill(child.pid, signal.SIGKILL)
    end(child, expect=-signal.SIGKILL)
    before = len(server.sink.mails)
    assert before < LETTERS
    server.sink.pause_s = 0
    again = start(SEND)
    again.stdin.write("go\n")
    end(again)
    assert end(start(EXPIRE)) in (["0"], ["1"])
    last = start(SEND)
    last.stdin.write("go\n")
    end(last)
    times = Counter(server.sink.ids())
    assert len(times) == LETTERS
    assert sum(times.values()) <= LETTERS + 1
    assert end(start(LOOK)) == [f"Counter({{(True, ''): {LETTERS}}})"]


def test_killed_between_the_servers_yes_and_our_mark_makes_one_double_of_the_same_id(
    start, server: Server
) -> None:
    end(start(BUILD))
    end(start(DIE_AFTER_YES), expect=-signal.SIGKILL)
    assert len(server.sink.mails) == 10
    assert end(start(EXPIRE)) == ["1"]
    child = start(SEND)
    child.stdin.write("go\n")
    assert end(child)[-1] == str(LETTERS - 9)
    assert Counter(Counter(server.sink.ids()).values()) == {1: LETTERS - 1, 2: 1}


def test_a_letter_that_kills_its_process_is_given_up_after_three_and_the_rest_goes_on(
    start, server: Server
) -> None:
    end(start(BUILD))
    for _ in range(3):
        end(start(DEADLY), expect=-signal.SIGKILL)
        assert end(start(EXPIRE)) == ["1"]
    assert end(start(DEADLY)) == [str(LETTERS - 1)]
    states = f"Counter({{(True, ''): {LETTERS - 1}, (False, 'killed_its_process'): 1}})"
    assert end(start(LOOK)) == [states]
    assert Counter(Counter(server.sink.ids()).values()) == {1: LETTERS - 1}


def test_two_that_gather_at_once_write_one_message_a_person_with_all_of_it(start) -> None:
    end(start(BUILD_DUE))
    made = together(start, GATHER, count=3)
    assert sum(made) == 40
    assert end(start(LOOK_DUE)) == ["40 80 0", "0"]


def within(seconds: float, true: Callable[[], bool]) -> bool:
    """Whether something becomes true in time."""
    for _ in range(int(seconds * 100)):
        if true():
            return True
        time.sleep(0.01)
    return False
