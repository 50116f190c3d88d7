"""Reminders: finding what people are to be told, and gathering it into one message a person and day.

Rows are the truth. Finding writes one notice a fact, however often it is done; gathering puts the notices
of a person and a local day into one message and writes its sentences. Both may be done twice at once or
stopped anywhere: unique keys and short transactions leave nothing half-written and nothing twice.
``posting`` sends what was gathered.
"""

from __future__ import annotations

import logging
import secrets
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from operator import itemgetter
from typing import Any

from django.conf import settings
from django.db import IntegrityError, transaction
from django.db.models import Q

from collection.models import Club, Member, Message, Notice
from collection.queries.clock import local
from collection.queries.due_news import cannot_wait, news
from collection.queries.due_notices import facts_on
from collection.queries.mail_times import is_quiet, mail_hour, most_a_week
from collection.queries.notice_facts import Fact, Key
from collection.queries.notice_kinds import TOLD, WAYS
from collection.queries.roundup import Frame, Told, letter
from collection.usecases import leases
from collection.usecases.roundup_mail import address_of, kept_text

log = logging.getLogger("teire.reminders")

# How often the rows of a club are looked through.
LOOK_EVERY = timedelta(minutes=10)
WEEK = timedelta(days=6)
BATCH = 500


@dataclass(frozen=True, slots=True)
class _Pending:
    """A notice that nobody was sent yet, with the values of its sentence as they are now."""

    notice: Notice
    values: dict[str, Any]

    @property
    def starts(self) -> str:
        return WAYS[self.notice.kind].starts


def run(now: datetime) -> int:
    """Look through the clubs whose turn it is, and gather told news of all; returns messages made."""
    made = 0
    clubs = {f"reminders:{club.pk}": club for club in Club.objects.order_by("id")}
    for name in sorted(clubs.keys() - leases.held(clubs)):
        if leases.take(name, secrets.token_hex(8), LOOK_EVERY):
            made += _safely(clubs[name], look_through, now)
    waiting = Notice.objects.filter(message=None, kind__in=TOLD, due_at__lte=now)
    waiting = waiting.filter(Q(expires_at=None) | Q(expires_at__gt=now))
    for club in Club.objects.filter(pk__in=waiting.values("club_id")).order_by("id"):
        made += _safely(club, lambda club, now: gather(club, [], now), now)
    return made


def look_through(club: Club, now: datetime) -> int:
    """Find and gather everything that a club's people are to be told; returns messages made."""
    facts = facts_on(club, now)
    find(club, facts, now)
    return gather(club, facts, now)


def _safely(club: Club, work: Callable[[Club, datetime], int], now: datetime) -> int:
    """What fails in one club is written down and keeps no other club waiting."""
    try:
        return work(club, now)
    except (ValueError, KeyError, TypeError, RuntimeError):
        log.exception("a club's reminders could not be gathered", extra={"club": club.pk})
        return 0


def find(club: Club, facts: Sequence[Fact], now: datetime) -> int:
    """Write a notice for each fact that has none yet; in quiet weeks only what may break the quiet."""
    quiet = is_quiet(club, local(now, club.zone).date())
    wanted = {fact.key: fact for fact in facts if WAYS[fact.kind].in_quiet or not quiet}
    kinds = {key[0] for key in wanted}
    there = Notice.objects.filter(club=club, kind__in=kinds)
    known = set(there.values_list("kind", "member_id", "subject", "period"))
    rows = [
        Notice(
            club=club,
            kind=kind,
            member_id=member_id,
            subject=subject,
            period=period,
            due_at=fact.due_at,
            expires_at=fact.expires_at,
        )
        for (kind, member_id, subject, period), fact in sorted(wanted.items(), key=itemgetter(0))
        if (kind, member_id, subject, period) not in known
    ]
    for start in range(0, len(rows), BATCH):
        Notice.objects.bulk_create(rows[start : start + BATCH], ignore_conflicts=True)
    return len(rows)


def gather(club: Club, facts: Sequence[Fact], now: datetime) -> int:
    """Put what each person is to be told today into one message; returns how many were made.

    Left out is what no longer holds. With no ``facts`` only told news is gathered.
    """
    today = local(now, club.zone).date()
    pending = _pending(club, {fact.key: fact.values for fact in facts}, now, quiet=is_quiet(club, today))
    if not pending:
        return 0
    urgent = cannot_wait([p.notice for found in pending.values() for p in found], now)
    people = Member.objects.filter(pk__in=pending, active_from__lte=today)
    people = people.filter(Q(active_to=None) | Q(active_to__gte=today))
    people = people.select_related("account", "contact").order_by("id")
    had = _had(people, today)
    made = 0
    for member in people:
        chosen, number = _choose(club, member, pending[member.pk], had[member.pk], now, urgent=urgent)
        if chosen:
            made += _write(club, member, chosen, number, now)
    return made


def _pending(
    club: Club, facts: Mapping[Key, dict[str, Any]], now: datetime, *, quiet: bool
) -> dict[int, list[_Pending]]:
    """Notices that wait and still hold, by member."""
    rows = Notice.objects.filter(club=club, message=None, due_at__lte=now)
    rows = rows.filter(Q(expires_at=None) | Q(expires_at__gt=now))
    if not facts:
        rows = rows.filter(kind__in=TOLD)
    notices = [n for n in rows.order_by("id") if n.kind in WAYS and (WAYS[n.kind].in_quiet or not quiet)]
    told = news(notices, now)
    found: dict[int, list[_Pending]] = defaultdict(list)
    for notice in notices:
        key = (notice.kind, notice.member_id, notice.subject, notice.period)
        values = told.get(notice.pk) if notice.kind in TOLD else facts.get(key)
        if values is not None:
            found[notice.member_id].append(_Pending(notice, values))
    return found


@dataclass(frozen=True, slots=True)
class _Had:
    """Messages a person had: numbers of today's, whether another club wrote today, how many in a week."""

    today: int
    elsewhere: bool
    week: int


def _had(people: Sequence[Member] | Any, today: date) -> dict[int, _Had]:
    """A person is an account: who is in two clubs still gets one round-up a day."""
    accounts = {m.account_id for m in people if m.account_id}
    rows = Message.objects.filter(
        Q(member__in=people) | Q(member__account_id__in=accounts),
        local_day__gte=today - WEEK,
        local_day__lte=today + timedelta(days=1),
    )
    numbers: dict[int, int] = defaultdict(int)
    elsewhere: dict[int, int] = {}
    week: dict[int, int] = defaultdict(int)
    for member, account, day, number in rows.values_list(
        "member_id", "member__account_id", "local_day", "number"
    ):
        if day == today:
            numbers[member] = max(numbers[member], number)
            if account:
                elsewhere[account] = member
        if number == 1:
            week[member] += 1
    return {
        m.pk: _Had(numbers[m.pk], elsewhere.get(m.account_id or 0, m.pk) != m.pk, week[m.pk]) for m in people
    }


def _choose(
    club: Club, member: Member, found: list[_Pending], had: _Had, now: datetime, *, urgent: set[int]
) -> tuple[list[_Pending], int]:
    """What goes out to a person now, and as which message of the day; nothing when all of it waits."""
    pressing = [p for p in found if p.notice.pk in urgent]
    if had.today or had.elsewhere or local(now, club.zone).hour < mail_hour(club):
        return pressing, had.today + 1
    if not member.wants_mail:
        found = [p for p in found if p.starts == "urgent"]
    starts = {p.starts for p in found}
    timely = "timed" in starts and had.week < most_a_week(club)
    if "urgent" in starts or timely or ("weekly" in starts and not had.week):
        return found, 1
    return [], 1


def _write(club: Club, member: Member, chosen: list[_Pending], number: int, now: datetime) -> int:
    """One short transaction: the message and its notices put into it; 0 when another was quicker."""
    today = local(now, club.zone).date()
    frame = Frame(member.name, today, number, most_a_week(club))
    told = [Told(p.notice.kind, p.notice.subject, p.notice.period, p.values) for p in chosen]
    written = letter(told, frame)
    _address, reason = address_of(member)
    message = Message(
        club=club,
        member=member,
        local_day=today,
        number=number,
        subject=written.subject,
        body=written.as_json(),
        text=kept_text(written, club.name),
        written_at=now,
        message_id=f"<{secrets.token_hex(16)}@{_domain()}>",
        parked_reason=reason,
    )
    ids = [p.notice.pk for p in chosen]
    try:
        with transaction.atomic():
            message.save()
            taken = Notice.objects.filter(pk__in=ids, message=None).update(message=message)
            if taken != len(ids):
                raise IntegrityError("another took a notice meanwhile")
    except IntegrityError:
        return 0
    return 1


def _domain() -> str:
    return settings.DEFAULT_FROM_EMAIL.rpartition("@")[2].strip("<> ") or "localhost"
