"""Who owns and cares for a tree, and whether the owner agrees to the season's work."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import IntegrityError, transaction

from collection.models import Care
from collection.queries.access import Actor, member_for, must_plan, tree_for
from collection.queries.errors import Refused, not_found
from collection.usecases.edit import change_of, created, edit, remove
from collection.usecases.locks import lock

ROLES = ("owner", "carer")


def set_care(
    *,
    actor: Actor,
    tree_id: int,
    member_id: int,
    role: str = "owner",
    consent_until: date | None = None,
    ask_first: bool | None = None,
) -> int:
    """Say who owns or cares for a tree and until when he agrees to the season's work.

    Of a line that is there already only the consent that is given here is written; the rest stays as it is,
    and has edits of its own.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``care_role``.
    """
    must_plan(actor)
    tree, member = tree_for(actor, tree_id), member_for(actor, member_id)
    if role not in ROLES:
        raise Refused("care_role", field="role")
    said: dict[str, Any] = {"consent_until": consent_until, "ask_first": ask_first}
    wanted = {name: value for name, value in said.items() if value is not None}
    there = Care.objects.filter(tree=tree, member=member, role=role).first()
    if there is not None:
        edit(there, there.version, wanted, actor)
        return there.pk
    try:
        with transaction.atomic():
            row = Care.objects.create(club_id=actor.club_id, tree=tree, member=member, role=role, **wanted)
            created(row, actor, "tree", "member", "role")
    except IntegrityError:  # somebody wrote the same line in between
        raise Refused("stale", kind="stale", version=0) from None
    return row.pk


def end_care(*, actor: Actor, care_id: int, version: int) -> None:
    """Somebody no longer owns or cares for a tree; the trail of changes keeps that he did.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``stale``.
    """
    must_plan(actor)
    care = care_for(actor, care_id)
    remove(care, version, actor, "tree_id", "member_id", "role", "consent_until", "ask_first")


def give_consent(*, actor: Actor, care_id: int, version: int, until: date, today: date) -> None:
    """The owner agrees to the season's work until a day; a coordinator may write down what he was told.

    Raises:
        Refused: ``not_found``, ``owner_only``, ``consent_day`` or ``stale``.
    """
    care = care_for(actor, care_id)
    _must_speak_for(actor, care)
    _check_until(until, today)
    edit(care, version, {"consent_until": until}, actor)


def withdraw_consent(*, actor: Actor, care_id: int, version: int) -> None:
    """The owner no longer agrees: from now on he is asked before anything is done to the tree.

    Raises:
        Refused: ``not_found``, ``owner_only`` or ``stale``.
    """
    care = care_for(actor, care_id)
    _must_speak_for(actor, care)
    edit(care, version, {"consent_until": None, "ask_first": True}, actor)


def ask_first(*, actor: Actor, care_id: int, version: int, ask: bool) -> None:
    """Whether the owner wants to be asked before each season.

    Raises:
        Refused: ``not_found``, ``owner_only`` or ``stale``.
    """
    care = care_for(actor, care_id)
    _must_speak_for(actor, care)
    edit(care, version, {"ask_first": ask}, actor)


def give_consent_for_all(*, actor: Actor, member_id: int, until: date, today: date) -> int:
    """Agree for all of a member's own trees in one go; returns how many trees that is.

    A consent that already runs longer stays as it is.

    Raises:
        Refused: ``not_found``, ``owner_only`` or ``consent_day``.
    """
    member = member_for(actor, member_id)
    if actor.member_id != member.pk and not actor.plans:
        raise Refused("owner_only", kind="forbidden")
    _check_until(until, today)
    with transaction.atomic():
        rows = lock(Care.objects.filter(member=member, role="owner", tree__archived_at=None))
        short = [row for row in rows if row.consent_until is None or row.consent_until < until]
        changes = [
            change_of(row, actor, before={"consent_until": row.consent_until}, after={"consent_until": until})
            for row in short
        ]
        for row in short:
            row.consent_until, row.version = until, row.version + 1
        Care.objects.bulk_update(short, ["consent_until", "version"], batch_size=200)
        for change in changes:
            change.save()
    return len(short)


def care_for(actor: Actor, care_id: int) -> Care:
    """A line of care in the actor's club.

    Raises:
        Refused: ``not_found``.
    """
    rows = Care.objects.filter(club_id=actor.club_id, pk=care_id).select_related("tree", "member")
    care = rows.first()
    if care is None:
        raise not_found()
    return care


def _must_speak_for(actor: Actor, care: Care) -> None:
    """Only the owner himself or a coordinator gives or takes back consent, and only an owner has any."""
    if care.role != "owner":
        raise Refused("owner_only", kind="forbidden")
    if actor.member_id != care.member_id and not actor.plans:
        raise Refused("owner_only", kind="forbidden")


def _check_until(until: date, today: date) -> None:
    if not today <= until <= today.replace(year=today.year + 3, day=min(today.day, 28)):
        raise Refused("consent_day", field="until")
