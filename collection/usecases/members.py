"""People of a club: joining, what they are called, their part in it, and how to reach them."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import IntegrityError, transaction
from django.utils import timezone

from collection.models import Account, Club, Contact, Member, Welcome
from collection.queries.access import (
    PLANNERS,
    Actor,
    member_for,
    must_administer,
    must_be_or_plan,
    must_plan,
)
from collection.queries.errors import Refused
from collection.queries.people import other_admins
from collection.usecases.abilities import declare, forget_declaration, set_skill
from collection.usecases.edit import created, edit, note
from collection.usecases.locks import lock

__all__ = [
    "add_member",
    "change_contact",
    "change_member",
    "change_role",
    "come_back",
    "declare",
    "erase_contact",
    "forget_declaration",
    "give_sign_in",
    "set_skill",
    "want_mail",
]
EDITABLE = frozenset({"name", "active_from", "active_to"})
NAME_LETTERS, TELEPHONE_LETTERS = 80, 40


def add_member(
    *, actor: Actor, name: str, today: date, role: str = "member", email: str = "", telephone: str = ""
) -> int:
    """Add a person to the club.

    Raises:
        Refused: ``coordinators_only``, ``club_admins_only`` for a coordinator or admin, ``role_unknown``,
            ``member_name_needed``, ``member_name_taken``, ``email_unreadable`` or ``telephone_unreadable``.
    """
    must_plan(actor)
    _check_role(role)
    if role in PLANNERS:
        must_administer(actor)
    reach = _checked_contact(email, telephone)
    name = _checked_name(name)
    try:
        with transaction.atomic():
            member = Member.objects.create(club_id=actor.club_id, name=name, role=role, active_from=today)
            contact = Contact.objects.create(club_id=actor.club_id, member=member, **reach)
            created(member, actor, "name", "role")
            created(contact, actor, *reach)
    except IntegrityError:
        raise Refused("member_name_taken", kind="conflict", field="name", name=name) from None
    return member.pk


def change_member(*, actor: Actor, member_id: int, version: int, today: date, **changes: Any) -> None:
    """Change what a person is called and from when to when he is a member (``active_to``: last day).

    Raises:
        Refused: ``coordinators_only``, ``club_admins_only`` for the dates of a club admin, ``not_found``,
            ``stale``, ``field_unknown``, ``member_name_needed``, ``member_name_taken``, ``member_dates``,
            ``leave_instead`` for a last day in the past, or ``last_admin``.
    """
    must_plan(actor)
    member = member_for(actor, member_id)
    if unknown := set(changes) - EDITABLE:
        raise Refused("field_unknown", field=sorted(unknown)[0], given=sorted(unknown)[0])
    if "name" in changes:
        changes["name"] = _checked_name(changes["name"])
    first = changes.get("active_from", member.active_from)
    last = changes.get("active_to", member.active_to)
    if last is not None and last < first:
        raise Refused("member_dates", field="active_to")
    if last is not None and last != member.active_to and last < today:
        raise Refused("leave_instead", field="active_to")
    is_admin = member.role == Member.Role.ADMIN
    if is_admin and (first, last) != (member.active_from, member.active_to):
        must_administer(actor)
    try:
        with transaction.atomic():
            if is_admin and (last is not None or first > today):
                keep_an_admin(member, today)
            edit(member, version, changes, actor)
    except IntegrityError:
        raise Refused("member_name_taken", kind="conflict", field="name", name=changes["name"]) from None


def change_role(*, actor: Actor, member_id: int, version: int, role: str, today: date) -> None:
    """Give a member another part in the club.

    Raises:
        Refused: ``coordinators_only``, ``club_admins_only`` to or from coordinator and club admin,
            ``not_found``, ``stale``, ``role_unknown`` or ``last_admin``.
    """
    must_plan(actor)
    member = member_for(actor, member_id)
    _check_role(role)
    if role == member.role:
        return
    if {role, member.role} & PLANNERS:
        must_administer(actor)
    with transaction.atomic():
        if member.role == Member.Role.ADMIN:
            keep_an_admin(member, today)
        edit(member, version, {"role": role}, actor)


def come_back(*, actor: Actor, member_id: int, version: int, today: date) -> None:
    """Take somebody who left, or is to leave, back in: he has no last day any more.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``stale`` or ``has_not_left``.
    """
    must_plan(actor)
    member = member_for(actor, member_id)
    if member.active_to is None:
        raise Refused("has_not_left", kind="conflict", name=member.name)
    edit(member, version, {"active_to": None}, actor)


def give_sign_in(*, actor: Actor, member_id: int, email: str, password: str | None) -> None:
    """Let a member sign in with an e-mail address, for commands and samples; people get a letter of welcome.

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


def change_contact(*, actor: Actor, member_id: int, version: int, email: str, telephone: str) -> None:
    """Write down how a person is reached: he himself, or a coordinator. ``version`` 0 where nothing is yet.

    Raises:
        Refused: ``coordinators_only``, ``club_admins_only`` for a club admin, ``not_found``, ``stale``,
            ``email_unreadable`` or ``telephone_unreadable``.
    """
    must_be_or_plan(actor, member_id)
    member = member_for(actor, member_id)
    if member.role == Member.Role.ADMIN and actor.member_id != member.pk:
        must_administer(actor)
    changes = _checked_contact(email, telephone)
    with transaction.atomic():
        contact = Contact.objects.filter(member=member).first()
        if contact is None:
            contact = Contact.objects.create(club_id=actor.club_id, member=member, **changes)
            created(contact, actor, *changes)
        else:
            edit(contact, version, changes, actor)


def erase_contact(*, actor: Actor, member_id: int) -> None:
    """Take a person's e-mail and telephone off the books; letters of welcome not used yet end with them.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_be_or_plan(actor, member_id)
    member = member_for(actor, member_id)
    with transaction.atomic():
        for contact in Contact.objects.filter(member=member):
            edit(contact, contact.version, {"email": "", "telephone": ""}, actor)
        forget_letters(member, actor)


def forget_letters(member: Member, actor: Actor) -> None:
    """End the letter of welcome a member still has, and take the address out of the old ones."""
    end_letters(member, actor)
    Welcome.objects.filter(member=member).exclude(email="").update(email="")


def end_letters(member: Member, actor: Actor) -> int:
    """Take back the letters a member has not used yet; returns how many those were."""
    ended = 0
    for letter in Welcome.objects.filter(member=member, used_at=None, taken_back_at=None):
        mine = Welcome.objects.filter(pk=letter.pk, used_at=None, taken_back_at=None)
        if mine.update(taken_back_at=timezone.now()):
            note(letter, actor, before={"taken_back": False}, after={"taken_back": True})
            ended += 1
    return ended


def want_mail(*, actor: Actor, member_id: int, version: int, wants: bool) -> None:
    """Say whether a person wants mail from the club: he himself, or a coordinator for him.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``stale``.
    """
    must_be_or_plan(actor, member_id)
    edit(member_for(actor, member_id), version, {"wants_mail": wants}, actor)


def _check_role(role: str) -> None:
    if role not in Member.Role.values:
        raise Refused("role_unknown", field="role", given=role)


def _checked_name(name: str) -> str:
    name = " ".join(name.split())
    if not name or len(name) > NAME_LETTERS:
        raise Refused("member_name_needed", field="name", most=NAME_LETTERS)
    return name


def checked_email(email: str) -> str:
    """An e-mail address in small letters, "" stays; refuses what is none: ``email_unreadable``."""
    email = email.strip().lower()
    if email:
        try:
            validate_email(email)
        except ValidationError:
            raise Refused("email_unreadable", field="email") from None
    return email


def _checked_contact(email: str, telephone: str) -> dict[str, str]:
    email, telephone = checked_email(email), " ".join(telephone.split())
    if len(telephone) > TELEPHONE_LETTERS or (telephone and not any(c.isdigit() for c in telephone)):
        raise Refused("telephone_unreadable", field="telephone")
    return {"email": email, "telephone": telephone}


def keep_an_admin(member: Member, today: date) -> None:
    """Refuse what would leave the club without anybody who can sign in as club admin: ``last_admin``.

    Call it inside the transaction: two admins who step down at once wait for each other here.
    """
    lock(Club.objects.filter(pk=member.club_id))
    if not other_admins(member.club_id, member.pk, today):
        raise Refused("last_admin", kind="conflict", field="role")
