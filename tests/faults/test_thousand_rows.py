"""Two sweeps at once over a thousand rows, one of them killed by its number: each row's effect once.

The sweeps are the background tasks themselves, in processes of their own, on either database, with a real
mail server. The promise: no message is lost, and a killed process makes one double at most, with the same
Message-ID. What a sweep does in the database happens once, without exception.
"""

from __future__ import annotations

import signal
from collections import Counter

import pytest

from tests.faults.real import Real, let_go, within
from tests.mailsink import Server

ROWS = 1000
TREES = 340
# The task that the clock wakes, again and again until it finds nothing that waits.
SWEEP = """
from django.db.models import Q
from django.utils import timezone
from collection.models import Message, Notice
from workers import reminders
def waits():
    free = Q(lease_until=None) | Q(lease_until__lt=timezone.now())
    return Message.objects.filter(free, sent_at=None).exists() or Notice.objects.filter(message=None).exists()
turn(0)
sent = 0
while waits():
    sent += reminders.run()
print(sent)
"""
# What a killed process held is free once its time is up; here at once.
EXPIRE = """
from datetime import timedelta
from django.utils import timezone
from collection.models import Lease, Message
past = timezone.now() - timedelta(seconds=1)
Lease.objects.update(until=past)
print(Message.objects.filter(lease_until__isnull=False).update(lease_until=past))
"""
STATES = """
from collections import Counter
from collection.models import Message
states = Counter((m.sent_at is not None, m.lease_until, m.parked_reason) for m in Message.objects.all())
print(*states.items())
"""


@pytest.fixture
def real(real: Real, server: Server) -> Real:
    real.send_to(server.url)
    return real


def build(real: Real, call: str) -> None:
    real.run(f"from tests.faults import many_rows\nmany_rows.{call}")


def kill_one_of_two(real: Real, server: Server, code: str) -> int:
    """Start two sweeps together and kill one in the middle; how many mails the other sent by its end."""
    one, other = real.at_the_line(code, 2)
    let_go([one, other])
    assert within(60, lambda: len(server.sink.mails) >= ROWS // 3)
    real.kill(one)
    assert len(server.sink.mails) < ROWS, "it was killed too late to tell"
    return int(real.end(other)[-1])


def test_of_a_thousand_letters_and_two_senders_one_killed_each_goes_out(real: Real, server: Server):
    build(real, f"letters({ROWS})")
    sent = kill_one_of_two(real, server, SWEEP)
    [held] = real.run(EXPIRE)
    assert held in ("0", "1")
    [[rest]] = real.race(SWEEP, ["0"])
    times = Counter(server.sink.ids())
    assert len(times) == ROWS
    # One double at most, of the letter that the killed one had in hand.
    assert sorted(times.values())[:-1] == [1] * (ROWS - 1)
    assert len(server.sink.mails) <= ROWS + int(held)
    assert rest == held
    assert 0 < sent < ROWS, "both had a part in it"
    assert real.run(STATES) == [f"((True, None, ''), {ROWS})"]


GATHERED = """
from collections import Counter
from collection.models import Message, Notice
print(Notice.objects.count(), Notice.objects.filter(message=None).count())
print(Counter(len(m.notices.all()) for m in Message.objects.prefetch_related("notices")))
"""


def test_of_a_thousand_news_and_two_that_gather_one_killed_each_is_in_one_message(real: Real, server: Server):
    build(real, f"news({ROWS})")
    one, other = real.at_the_line(SWEEP, 2)
    let_go([one, other])
    count = "SELECT count(*) FROM collection_message"
    assert within(60, lambda: real.ask(count) >= ROWS // 3)
    real.kill(one)
    assert real.ask(count) < ROWS, "it was killed too late to tell"
    real.end(other)
    real.run(EXPIRE)
    real.race(SWEEP, ["0"])
    assert real.run(GATHERED) == [f"{ROWS} 0", f"Counter({{1: {ROWS}}})"]
    assert len(set(server.sink.ids())) == ROWS
    assert len(server.sink.mails) <= ROWS + 1


# Whoever works the season out is killed when all its jobs are written, before that counts.
DIE_AT_THE_END = """
import os, signal
from collection.usecases import season
from workers import sweep
season._miss = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
turn(0)
print(sweep.run())
"""
WORK_OUT = """
from workers import sweep
turn(0)
print(sweep.run())
"""
ASK_AGAIN = """
from collection.models import Club
from collection.usecases.season_asked import ask_again
ask_again(Club.objects.get().pk)
"""
JOBS = "SELECT count(*) FROM collection_job"
DOUBLES = """
from django.db.models import Count
from collection.models import Change, Club, Job, Round, RoundTree
job = ("tree", "round", "task", "origin", "season_year", "occurrence", "subject")
for table, key in ((Job, job), (Round, ("bench_key", "task", "on")), (RoundTree, ("round", "tree"))):
    print(table.objects.count(), table.objects.values(*key).annotate(n=Count("id")).filter(n__gt=1).count())
print(Job.objects.filter(estimate=None).count(), Club.objects.exclude(season_asked_at=None).count())
"""


def test_of_two_that_work_a_season_out_one_killed_each_job_is_made_once(real: Real):
    build(real, f"season({TREES})")
    children = real.at_the_line(DIE_AT_THE_END, 2)
    let_go(children)
    said = sorted((child.communicate()[0], child.returncode) for child in children)
    assert said == [("", -signal.SIGKILL), ("0\n", 0)]
    assert real.ask(JOBS) == 0, "it was killed too late to tell"
    real.run(EXPIRE)
    assert sorted(map(tuple, real.race(WORK_OUT, ["0", "1"]))) == [("0",), ("1",)]
    assert real.ask(JOBS) >= ROWS
    told = real.run(DOUBLES)
    assert [line.split()[1] for line in told] == ["0"] * 4
    assert told[-1] == "0 0"
    real.run(ASK_AGAIN)
    real.race(WORK_OUT, ["0", "1"])
    assert real.run(DOUBLES) == told
