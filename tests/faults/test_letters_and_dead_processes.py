"""Real processes, a real mail server: two senders at once, one killed in mid-batch, a deadly message.

The database is the one the suite runs on: an SQLite file, or a new database on the PostgreSQL server.
"""

from __future__ import annotations

import signal
from collections import Counter

import pytest

from tests.faults.real import Real, let_go, within
from tests.mailsink import Server

LETTERS = 60
BUILD = f"""
from datetime import date
from tests.factories import ClubFactory, MemberFactory
from tests.usecases.letters import letter_to
club = ClubFactory()
for n in range({LETTERS}):
    letter_to(MemberFactory(club=club))
"""
SEND = """
from collection.usecases import posting
turn(0)
print(posting.send_waiting(longest_s=60))
"""
# Killed after the server has said yes and before that is written down, as a power cut might.
DIE_AFTER_YES = """
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
from collections import Counter
from collection.models import Message
print(Counter((bool(m.sent_at), m.parked_reason) for m in Message.objects.all()))
"""
EXPIRE = """
from datetime import timedelta
from django.utils import timezone
from collection.models import Message
rows = Message.objects.filter(lease_until__isnull=False)
print(rows.update(lease_until=timezone.now() - timedelta(seconds=1)))
"""
GATHER = """
from django.utils import timezone
from collection.models import Club
from collection.usecases import reminders
turn(0)
print(sum(reminders.look_through(club, timezone.now()) for club in Club.objects.all()))
"""
BUILD_DUE = """
from datetime import timedelta
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
from django.db.models import Count
from collection.models import Message, Notice
print(Message.objects.count(), Notice.objects.count(), Notice.objects.filter(message=None).count())
print(Message.objects.annotate(n=Count("notices")).exclude(n=2).count())
"""


ALL_SENT = [f"Counter({{(True, ''): {LETTERS}}})"]


@pytest.fixture
def real(real: Real, server: Server) -> Real:
    """Processes that send for real."""
    real.send_to(server.url)
    return real


def test_two_senders_at_once_send_each_letter_once(real: Real, server: Server) -> None:
    real.run(BUILD)
    server.sink.pause_s = 0.005
    sent = [int(said[-1]) for said in real.race(SEND, ["0", "1"])]
    assert sum(sent) == LETTERS
    assert min(sent) > 0
    assert Counter(Counter(server.sink.ids()).values()) == {1: LETTERS}
    assert real.run(LOOK) == ALL_SENT


def test_a_sender_killed_in_mid_batch_loses_nothing_and_doubles_one_at_most(
    real: Real, server: Server
) -> None:
    real.run(BUILD)
    server.sink.pause_s = 0.02
    [child] = real.at_the_line(SEND, 1)
    let_go([child])
    assert within(30, lambda: len(server.sink.mails) >= 20)
    real.kill(child)
    assert len(server.sink.mails) < LETTERS
    server.sink.pause_s = 0
    real.race(SEND, ["0"])
    assert real.run(EXPIRE) in (["0"], ["1"])
    real.race(SEND, ["0"])
    times = Counter(server.sink.ids())
    assert len(times) == LETTERS
    assert sum(times.values()) <= LETTERS + 1
    assert real.run(LOOK) == ALL_SENT


def test_killed_between_the_servers_yes_and_our_mark_makes_one_double_of_the_same_id(
    real: Real, server: Server
) -> None:
    real.run(BUILD)
    real.run(DIE_AFTER_YES, expect=-signal.SIGKILL)
    assert len(server.sink.mails) == 10
    assert real.run(EXPIRE) == ["1"]
    [said] = real.race(SEND, ["0"])
    assert said == [str(LETTERS - 9)]
    assert Counter(Counter(server.sink.ids()).values()) == {1: LETTERS - 1, 2: 1}


def test_a_letter_that_kills_its_process_is_given_up_after_three_and_the_rest_goes_on(
    real: Real, server: Server
) -> None:
    real.run(BUILD)
    for _ in range(3):
        real.run(DEADLY, expect=-signal.SIGKILL)
        assert real.run(EXPIRE) == ["1"]
    assert real.run(DEADLY) == [str(LETTERS - 1)]
    states = f"Counter({{(True, ''): {LETTERS - 1}, (False, 'killed_its_process'): 1}})"
    assert real.run(LOOK) == [states]
    assert Counter(Counter(server.sink.ids()).values()) == {1: LETTERS - 1}


def test_two_that_gather_at_once_write_one_message_a_person_with_all_of_it(real: Real) -> None:
    real.run(BUILD_DUE)
    made = [int(said[-1]) for said in real.race(GATHER, ["0", "1", "2"])]
    assert sum(made) == 40
    assert real.run(LOOK_DUE) == ["40 80 0", "0"]
