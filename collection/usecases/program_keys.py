"""Keys for a person's own programs: making one, taking one back."""

from __future__ import annotations

from datetime import date, timedelta

from django.db import transaction
from knox.models import AuthToken

from collection.models import ProgramKey
from collection.queries.access import Actor, member_for
from collection.queries.errors import Refused, not_found
from collection.usecases.edit import created, note

MOST_DAYS, MOST_KEYS = 400, 10


def make_key(*, actor: Actor, name: str, days: int, reads_only: bool = True) -> tuple[int, str]:
    """Make a key for one of the actor's own programs.

    Args:
        days: How long it is good.

    Returns:
        The key's id, and its secret, which is shown once and kept nowhere.

    Raises:
        Refused: ``key_name_missing``, ``key_days``, ``no_sign_in`` or ``keys_enough``.
    """
    if not name.strip():
        raise Refused("key_name_missing", field="name")
    if not 1 <= days <= MOST_DAYS:
        raise Refused("key_days", field="days", most=MOST_DAYS)
    member = member_for(actor, actor.member_id or 0)
    if member.account is None:
        raise Refused("no_sign_in", kind="forbidden")
    if ProgramKey.objects.filter(member=member).count() >= MOST_KEYS:
        raise Refused("keys_enough", kind="conflict", most=MOST_KEYS)
    with transaction.atomic():
        token, secret = AuthToken.objects.create(user=member.account, expiry=timedelta(days=days))
        key = ProgramKey.objects.create(
            club_id=actor.club_id, member=member, token=token, name=name.strip()[:60], reads_only=reads_only
        )
        created(key, actor, "name", "reads_only")
    return key.pk, secret


def take_back(*, actor: Actor, key_id: int) -> None:
    """End one of the actor's own keys at once.

    Raises:
        Refused: ``not_found``, also for somebody else's key.
    """
    key = ProgramKey.objects.filter(club_id=actor.club_id, member_id=actor.member_id or 0, pk=key_id).first()
    if key is None:
        raise not_found()
    with transaction.atomic():
        note(key, actor, before={"name": key.name}, after={"name": ""})
        key.token.delete()


def used(*, key_id: int, today: date) -> None:
    """Write down the last day on which a key was used."""
    ProgramKey.objects.filter(pk=key_id).exclude(last_used_on=today).update(last_used_on=today)
