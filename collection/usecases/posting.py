"""Sending messages: claimed by one conditional update, sent outside any transaction, marked when taken.

The promise: no message is lost, and a process that dies between the server's yes and our mark makes at
most one double, with the same Message-ID. No design can do better, as that yes and our mark are two acts.
"""

from __future__ import annotations

import logging
import secrets
import time
from datetime import datetime, timedelta
from typing import Any

from django.db.models import F, Q, QuerySet
from django.utils import timezone

from collection.models import Message
from collection.queries.reach import COMES_BACK
from collection.usecases import leases
from collection.usecases.post import Came, Post, Result
from collection.usecases.roundup_mail import address_of, mail_of

log = logging.getLogger("teire.post")

# Longer than any one mail may take; after it another process may take the message.
LEASE = timedelta(minutes=2)
# A message that killed its process so often is given up, so that the others go on.
MOST_CLAIMS = 3
# How long a message waits after each "not now" of the server; after the last one it is given up.
WAITS = (timedelta(minutes=15), timedelta(hours=1), timedelta(hours=4), timedelta(hours=24))
# After a server that does not answer nobody asks it again for so long.
REST, RESTS = timedelta(minutes=1), "mail server rests"
AT_ONCE = 500


def send_waiting(*, longest_s: float = 20.0) -> int:
    """Send what waits, oldest first, for about so many seconds; returns how many the server took."""
    ids = list(_free(timezone.now()).order_by("id").values_list("pk", flat=True)[:AT_ONCE])
    if not ids or leases.held([RESTS]):
        return 0
    _give_up_the_deadly()
    sent, began = 0, time.monotonic()
    with Post() as post:
        for message_id in ids:
            if time.monotonic() - began > longest_s:
                break
            message = claim(message_id)
            if message is None:
                continue
            came = _send(post, message)
            sent += came == Came.SENT
            if came == Came.NO_SERVER:
                leases.take(RESTS, secrets.token_hex(8), REST)
                log.warning("the mail server does not answer")
                break
    return sent


def _free(now: datetime) -> QuerySet[Message]:
    """Messages that wait, or whose process died."""
    rows = Message.objects.filter(sent_at=None, parked_reason="")
    rows = rows.filter(Q(lease_until=None) | Q(lease_until__lt=now))
    return rows.filter(Q(try_after=None) | Q(try_after__lte=now))


def claim(message_id: int) -> Message | None:
    """Take a message; None when another has it, or it is sent, or it has killed its process too often."""
    now = timezone.now()
    # One conditional UPDATE, not a row lock: SQLite ignores row locks.
    taken = _free(now).filter(pk=message_id, attempts__lt=MOST_CLAIMS)
    if not taken.update(lease_until=now + LEASE, attempts=F("attempts") + 1):
        return None
    rows = Message.objects.select_related("club", "member__account", "member__contact")
    return rows.get(pk=message_id)


def _give_up_the_deadly() -> None:
    lost = _free(timezone.now()).filter(attempts__gte=MOST_CLAIMS)
    if lost.exists():
        lost.update(parked_reason="killed_its_process", lease_until=None)


def _send(post: Post, message: Message) -> Came:
    """Send a claimed message and write down what came of it; no transaction is open meanwhile."""
    now = timezone.now()
    address, reason = address_of(message.member)
    if not reason and not _still_of_use(message, now):
        reason = "too_late"
    if reason:
        _mine(message).update(parked_reason=reason, lease_until=None)
        return Came.NEVER
    try:
        mail = mail_of(message, address, now)
    except (ValueError, KeyError, TypeError):
        log.exception("a message could not be written", extra={"club": message.club_id})
        _mine(message).update(parked_reason="cannot_be_written", lease_until=None)
        return Came.NEVER
    # The invented addresses of a sample club are nobody's: its mails stay on this machine.
    result = post.send(mail, to_files=message.club.sample)
    _mine(message).update(**_after(message, result, timezone.now()))
    return result.came


def _mine(message: Message) -> QuerySet[Message]:
    """The message's row while this claim on it holds: another claim counts one attempt more."""
    return Message.objects.filter(pk=message.pk, sent_at=None, attempts=message.attempts)


def _still_of_use(message: Message, now: datetime) -> bool:
    """Whether one of its notices is not past its time; a message without notices is always of use."""
    ends = list(message.notices.values_list("expires_at", flat=True))
    return not ends or any(end is None or end > now for end in ends)


def _after(message: Message, result: Result, now: datetime) -> dict[str, Any]:
    """What is written down after a try."""
    freed: dict[str, Any] = {"lease_until": None}
    if result.came == Came.SENT:
        return freed | {"sent_at": now}
    if result.came == Came.ADDRESS:
        return freed | {"parked_reason": f"{COMES_BACK}:{result.code}"}
    if result.came == Came.NEVER:
        return freed | {"parked_reason": f"refused:{result.code}"}
    freed["attempts"] = 0
    if result.came == Came.UNSURE:
        if message.unsure:
            return freed | {"parked_reason": "unsure"}
        return freed | {"unsure": True, "try_after": now + WAITS[0]}
    if message.put_off >= len(WAITS):
        return freed | {"parked_reason": f"put_off_too_often:{result.code}"}
    return freed | {"put_off": message.put_off + 1, "try_after": now + WAITS[message.put_off]}
