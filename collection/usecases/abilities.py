"""What people can do: levels by kind of work, and what they say of themselves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from django.db import transaction

from collection.craft.tasks import FAMILIES
from collection.models import Declaration, MemberSkill
from collection.queries.access import Actor, member_for, must_be_or_plan, must_plan
from collection.queries.errors import Refused
from collection.queries.reach import said_by
from collection.usecases.edit import created, note
from collection.usecases.locks import lock


def set_skill(*, actor: Actor, member_id: int, family: str, level: str, since: date) -> None:
    """Say how well a member does a family of tasks from a day on.

    Each day's word is a row of its own. Said twice on one day, the later word holds and the trail of changes
    keeps both.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``family_unknown`` or ``level_unknown``.
    """
    must_plan(actor)
    if family not in FAMILIES:
        raise Refused("family_unknown", field="family", given=family)
    if level not in MemberSkill.Level.values:
        raise Refused("level_unknown", field="level", given=level)
    member = member_for(actor, member_id)
    with transaction.atomic():
        key = {"club_id": actor.club_id, "member": member, "family": family, "since": since}
        said = {"level": level, "by_id": actor.member_id}
        _say(MemberSkill, key, said, actor, ("family", "level", "member"))


def declare(
    *, actor: Actor, member_id: int, kind: str, answer: bool, on: date, until: date | None = None
) -> None:
    """Write down a plain yes or no of a member: can lift, first aider, trained for sprays ...

    A member may declare for himself, a coordinator for anybody. Said twice on one day, the later word holds
    and the trail of changes keeps both.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``declaration_unknown``.
    """
    must_be_or_plan(actor, member_id)
    _check_kind(kind)
    member = member_for(actor, member_id)
    with transaction.atomic():
        key = {"club_id": actor.club_id, "member": member, "kind": kind, "given_on": on}
        _say(Declaration, key, {"answer": answer, "until": until}, actor, ("kind", "member"))


def answer_all(*, actor: Actor, member_id: int, answers: Mapping[str, bool | None], on: date) -> None:
    """Write down a member's answers to several questions; None is "not said". Only changes are written.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``declaration_unknown``.
    """
    must_be_or_plan(actor, member_id)
    member_for(actor, member_id)
    for kind in answers:
        _check_kind(kind)
    with transaction.atomic():
        now = {said.kind: said.answer for said in said_by([member_id], on)[member_id]}
        for kind, answer in answers.items():
            if answer == now[kind]:
                continue
            if answer is None:
                forget_declaration(actor=actor, member_id=member_id, kind=kind)
            else:
                declare(actor=actor, member_id=member_id, kind=kind, answer=answer, on=on)


def forget_declaration(*, actor: Actor, member_id: int, kind: str) -> None:
    """Take every answer of a member to one question away: he has not said.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``declaration_unknown``.
    """
    must_be_or_plan(actor, member_id)
    _check_kind(kind)
    member = member_for(actor, member_id)
    with transaction.atomic():
        for row in Declaration.objects.filter(member=member, kind=kind):
            note(row, actor, before={"kind": kind, "member": member.pk}, after={})
            row.delete()


def _say(
    table: type[MemberSkill] | type[Declaration],
    key: dict[str, Any],
    said: dict[str, Any],
    actor: Actor,
    told: Sequence[str],
) -> None:
    """Write a dated word down, or put the later word of a day in the place of the earlier one."""
    there = lock(table._default_manager.filter(**key))
    before = {name: getattr(there[0], name) for name in said} if there else {}
    row, _ = table._default_manager.update_or_create(**key, defaults=said)
    if not there:
        created(row, actor, *told)
    elif changed := {name: value for name, value in said.items() if value != before[name]}:
        note(row, actor, before={name: before[name] for name in changed}, after=changed)


def _check_kind(kind: str) -> None:
    if kind not in Declaration.Kind.values:
        raise Refused("declaration_unknown", field="kind", given=kind)
