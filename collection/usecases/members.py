"""People of a club: joining, sign-in, skills and declarations."""

from __future__ import annotations

from datetime import date

from django.db import IntegrityError, transaction

from collection.craft.tasks import FAMILIES
from collection.models import Account, Contact, Declaration, Member, MemberSkill
from collection.queries.access import Actor, member_for, must_plan
from collection.queries.errors import Refused
from collection.usecases.edit import created, edit


def add_member(
    *, actor: Actor, name: str, today: date, role: str = "member", email: str = "", telephone: str = ""
) -> int:
    """Add a person to the club.

    Raises:
        Refused: ``coordinators_only``, ``role_unknown`` or ``member_name_taken``.
    """
    must_plan(actor)
    if role not in Member.Role.values:
        raise Refused("role_unknown", field="role", given=role)
    try:
        with transaction.atomic():
            member = Member.objects.create(club_id=actor.club_id, name=name, role=role, active_from=today)
            Contact.objects.create(club_id=actor.club_id, member=member, email=email, telephone=telephone)
            created(member, actor, "name", "role")
    except IntegrityError:
        raise Refused("member_name_taken", kind="conflict", field="name", name=name) from None
    return member.pk


def give_sign_in(*, actor: Actor, member_id: int, email: str, password: str | None) -> None:
    """Let a member sign in with an e-mail address.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``has_sign_in`` when he has one already.
    """
    must_plan(actor)
    member = member_for(actor, member_id)
    if member.account_id is not None:
        raise Refused("has_sign_in", kind="conflict", name=member.name)
    with transaction.atomic():
        account = Account.objects.filter(email=email.lower()).first()
        account = account or Account.objects.create_user(email, password)
        edit(member, member.version, {"account_id": account.pk}, actor)


def set_skill(*, actor: Actor, member_id: int, family: str, level: str, since: date) -> None:
    """Say how well a member does a family of tasks from a day on.

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
        skill, _ = MemberSkill.objects.update_or_create(
            club_id=actor.club_id,
            member=member,
            family=family,
            since=since,
            defaults={"level": level, "by_id": actor.member_id},
        )
        created(skill, actor, "family", "level", "member")


def declare(
    *, actor: Actor, member_id: int, kind: str, answer: bool, on: date, until: date | None = None
) -> None:
    """Write down a plain yes or no of a member: can lift, first aider, trained for sprays ...

    A member may declare for himself, a coordinator for anybody.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``declaration_unknown``.
    """
    if actor.member_id != member_id:
        must_plan(actor)
    if kind not in Declaration.Kind.values:
        raise Refused("declaration_unknown", field="kind", given=kind)
    member = member_for(actor, member_id)
    with transaction.atomic():
        row, _ = Declaration.objects.update_or_create(
            club_id=actor.club_id,
            member=member,
            kind=kind,
            given_on=on,
            defaults={"answer": answer, "until": until},
        )
        created(row, actor, "kind", "member")
