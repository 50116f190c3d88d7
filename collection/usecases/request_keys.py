"""One write for one key: the same request again gets the stored answer and writes nothing."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from collection.models import RequestKey
from collection.queries.access import Actor, member_for
from collection.queries.errors import Refused

# How long an answer is kept, and after how long a request without an answer counts as dead.
KEPT = timedelta(days=1)
DEAD_AFTER = timedelta(minutes=2)


@dataclass(frozen=True, slots=True)
class Kept:
    """An answer as it was given the first time."""

    status: int
    body: Any
    headers: dict[str, str] = field(default_factory=dict)
    again: bool = False


def once(*, actor: Actor, key: str, digest: str, work: Callable[[], Kept]) -> Kept:
    """Do the work, or answer as the first time when the member's key came before with the same digest.

    The answer is stored in the same transaction as the write. A refused request keeps nothing, so that
    its key can be used again.

    Raises:
        Refused: ``request_key_used`` when the key came with another request, ``request_running`` while
            the first one is still at work; whatever ``work`` raises.
    """
    found = _claim(actor, key, digest)
    if isinstance(found, Kept):
        return found
    mine = RequestKey.objects.filter(pk=found.pk, at=found.at, status=None)
    try:
        with transaction.atomic():
            kept = work()
            # As one text: a database that keeps JSON in its own way gives the fields back in another order.
            stored = json.dumps({"body": kept.body, "headers": kept.headers})
            # Another request took over a claim it thought dead: only one of the two may write.
            if mine.update(status=kept.status, answer=stored) != 1:
                raise Refused("request_running", kind="conflict")
    except BaseException:
        mine.delete()
        raise
    return kept


def _claim(actor: Actor, key: str, digest: str) -> RequestKey | Kept:
    member = member_for(actor, actor.member_id or 0)
    try:
        with transaction.atomic():
            return RequestKey.objects.create(club_id=actor.club_id, member=member, key=key, digest=digest)
    except IntegrityError:
        first = RequestKey.objects.filter(member=member, key=key).first()
    if first is None:
        raise Refused("request_running", kind="conflict")
    if first.digest != digest:
        raise Refused("request_key_used", kind="conflict")
    if first.status is not None and first.answer is not None:
        stored = json.loads(first.answer)
        return Kept(first.status, stored["body"], stored["headers"], again=True)
    now = timezone.now()
    dead = RequestKey.objects.filter(pk=first.pk, status=None, at=first.at, at__lt=now - DEAD_AFTER)
    if dead.update(at=now) != 1:
        raise Refused("request_running", kind="conflict")
    first.at = now
    return first


def forget_old_answers() -> int:
    """Drop answers older than a day; returns how many."""
    return RequestKey.objects.filter(at__lt=timezone.now() - KEPT).delete()[0]
