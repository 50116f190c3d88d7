"""Messages as pages show them: what somebody was told, how it stands, and who is to be telephoned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Count, Q, QuerySet
from django.utils.translation import gettext as _

from collection.craft.reasons import Reason
from collection.models import Club, Contact, Message, Notice
from collection.queries.access import Actor, club_of, must_plan
from collection.queries.clock import local
from collection.queries.mail_times import mail_hour, most_a_week
from collection.queries.sentences import say

PAGE = 50
# How long somebody stays on the list to be telephoned, unless the news is over before.
TELEPHONE_DAYS = 14


@dataclass(frozen=True, slots=True)
class Letter:
    """One message: to whom, of which day, how it stands in words, its text."""

    id: int
    to: str
    telephone: str
    day: date
    subject: str
    stands: str
    waits: bool
    parked: bool
    text: str


@dataclass(frozen=True, slots=True)
class Hearer:
    """Somebody who is to hear news of which no message was made yet.

    Attributes:
        telephone: Set only for those no mail can reach.
    """

    name: str
    news: int
    has_email: bool
    telephone: str


@dataclass(frozen=True, slots=True)
class Letters:
    """A page of messages, newest first; ``to_telephone`` are those of the last days that no mail reached."""

    rows: tuple[Letter, ...]
    total: int
    start: int
    to_telephone: tuple[Letter, ...]
    hour: int
    most_a_week: int


def own_messages(actor: Actor, *, start: int = 0) -> Letters:
    """What the person who asks was told."""
    rows = Message.objects.filter(club_id=actor.club_id, member_id=actor.member_id or 0)
    return _letters(club_of(actor), rows, start, ())


def club_messages(actor: Actor, *, today: date, now: datetime, start: int = 0) -> Letters:
    """What everybody was told, for coordinators; constant number of queries.

    Raises:
        Refused: ``coordinators_only``.
    """
    must_plan(actor)
    club = club_of(actor)
    rows = Message.objects.filter(club=club)
    parked = rows.exclude(parked_reason="").exclude(parked_reason="too_late")
    parked = parked.filter(local_day__gt=today - timedelta(days=TELEPHONE_DAYS))
    ids = [
        message.pk
        for message in parked.prefetch_related("notices").order_by("-local_day", "-id")
        if _of_use(message, now)
    ]
    return _letters(club, rows, start, ids)


def still_to_hear(actor: Actor, *, now: datetime) -> tuple[Hearer, ...]:
    """Whom news waits for that is due and that no message carries yet, by name; two queries.

    Raises:
        Refused: ``coordinators_only``.
    """
    must_plan(actor)
    waiting = Notice.objects.filter(club_id=actor.club_id, message=None, due_at__lte=now)
    waiting = waiting.filter(Q(expires_at=None) | Q(expires_at__gt=now))
    waiting = waiting.exclude(member__active_to__lt=now.date())
    found = waiting.values("member_id", "member__name", "member__account__email").annotate(news=Count("id"))
    rows = list(found.order_by("member__name", "member_id"))
    reached = {
        contact.member_id: contact
        for contact in Contact.objects.filter(member_id__in=[row["member_id"] for row in rows])
    }
    return tuple(_hearer(row, reached.get(row["member_id"])) for row in rows)


def _hearer(row: Mapping[str, Any], contact: Contact | None) -> Hearer:
    has_email = bool(row["member__account__email"] or (contact and contact.email))
    telephone = "" if has_email or contact is None else contact.telephone
    return Hearer(row["member__name"], row["news"], has_email, telephone)


def letter_counts(actor: Actor) -> tuple[int, int]:
    """How many messages the club has made, and how many of them no mail can carry."""
    rows = Message.objects.filter(club_id=actor.club_id)
    return rows.count(), rows.exclude(parked_reason="").count()


def _of_use(message: Message, now: datetime) -> bool:
    """Whether one of its notices is not over; the same rule as for sending."""
    ends = [notice.expires_at for notice in message.notices.all()]
    return not ends or any(end is None or end > now for end in ends)


def _letters(
    club: Club, rows: QuerySet[Message], start: int, telephone: list[int] | tuple[int, ...]
) -> Letters:
    total = rows.count()
    page = list(rows.select_related("member").order_by("-local_day", "-id")[start : start + PAGE])
    urgent = list(
        Message.objects.filter(pk__in=telephone).select_related("member").order_by("-local_day", "-id")
    )
    numbers = dict(
        Contact.objects.filter(member_id__in=[m.member_id for m in urgent]).values_list(
            "member_id", "telephone"
        )
    )
    return Letters(
        tuple(_letter(message, club.zone, "") for message in page),
        total,
        start,
        tuple(_letter(message, club.zone, numbers.get(message.member_id, "")) for message in urgent),
        mail_hour(club),
        most_a_week(club),
    )


def _letter(message: Message, zone: str, telephone: str) -> Letter:
    return Letter(
        message.pk,
        message.member.name,
        telephone,
        message.local_day,
        message.subject,
        stands(message, zone),
        waits=message.sent_at is None and not message.parked_reason,
        parked=bool(message.parked_reason),
        text=message.text,
    )


def stands(message: Message, zone: str) -> str:
    """How a message stands, in words a coordinator can act on."""
    if message.parked_reason:
        code, _colon, number = message.parked_reason.partition(":")
        return say(Reason.of(f"mail_{code}", number=number or "0"))
    if message.sent_at is not None:
        return _("Sent on %(when)s.") % {"when": _when(message.sent_at, zone)}
    if message.try_after is None:
        return _("Waiting to be sent.")
    when = {"when": _when(message.try_after, zone)}
    if message.unsure:
        return _("It may have arrived: the other server broke off. One more try on %(when)s.") % when
    return _("The mail server asked to wait. Next try on %(when)s.") % when


def _when(instant: datetime, zone: str) -> str:
    wall = local(instant, zone)
    return f"{wall:%A} {wall.day} {wall:%B}, {wall.hour}:{wall:%M}"
