"""A round-up as it would go out at a moment to come; nothing is written and nobody gets it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from collection.models import Member
from collection.queries.access import Actor, club_of
from collection.queries.clock import local
from collection.queries.due_notices import facts_on
from collection.queries.mail_times import is_quiet, mail_hour, most_a_week, wall
from collection.queries.notice_facts import Fact
from collection.queries.notice_kinds import WAYS
from collection.queries.roundup import Frame, Told, letter
from collection.usecases.roundup_mail import kept_text

DAYS_BEFORE = 2


@dataclass(frozen=True, slots=True)
class Preview:
    """To whom, on which day, subject and text."""

    name: str
    on: date
    subject: str
    text: str


def preview(*, actor: Actor, now: datetime, workday_on: date | None = None) -> Preview | None:
    """The fullest round-up of a club two days before a workday, or today; None when nobody gets any."""
    club = club_of(actor)
    today = local(now, club.zone).date()
    on = max(today, workday_on - timedelta(days=DAYS_BEFORE)) if workday_on else today
    at = max(now, wall(on, time(mail_hour(club)), club.zone))
    quiet = is_quiet(club, on)
    by_person: dict[int, list[Fact]] = defaultdict(list)
    for fact in facts_on(club, at):
        if WAYS[fact.kind].in_quiet or not quiet:
            by_person[fact.member_id].append(fact)
    if not by_person:
        return None
    people = Member.objects.in_bulk(by_person)
    chosen = max(by_person, key=lambda m: (len({f.kind for f in by_person[m]}), people[m].name, m))
    told = [Told(f.kind, f.subject, f.period, f.values) for f in by_person[chosen]]
    written = letter(told, Frame(people[chosen].name, on, 1, most_a_week(club)))
    return Preview(people[chosen].name, on, written.subject, kept_text(written, club.name))
