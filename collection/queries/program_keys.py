"""Keys for programs: whose they are, and what they may."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Q
from django.utils import timezone

from collection.models import ProgramKey
from collection.queries.access import Actor
from collection.queries.clock import local


@dataclass(frozen=True, slots=True)
class KeyRow:
    """A key in its owner's list; days in the club's zone."""

    id: int
    name: str
    begins: str
    reads_only: bool
    made_on: date
    good_until: date | None
    last_used_on: date | None


@dataclass(frozen=True, slots=True)
class KeyHolder:
    """What a key lets its program be."""

    id: int
    club_id: int
    member_id: int
    reads_only: bool
    last_used_on: date | None


def keys_of(actor: Actor, zone: str) -> Sequence[KeyRow]:
    """The actor's own keys that are good now, newest first."""
    rows = ProgramKey.objects.filter(club_id=actor.club_id, member_id=actor.member_id or 0)
    rows = rows.filter(Q(token__expiry=None) | Q(token__expiry__gt=timezone.now()))
    return tuple(
        KeyRow(
            key.pk,
            key.name,
            key.token.token_key,
            key.reads_only,
            local(key.made_at, zone).date(),
            local(key.token.expiry, zone).date() if key.token.expiry else None,
            key.last_used_on,
        )
        for key in rows.select_related("token").order_by("-made_at", "-id")
    )


def holder_of(digest: str) -> KeyHolder | None:
    """Who holds the key of a token's digest."""
    key = ProgramKey.objects.filter(token_id=digest).first()
    if key is None:
        return None
    return KeyHolder(key.pk, key.club_id, key.member_id, key.reads_only, key.last_used_on)
