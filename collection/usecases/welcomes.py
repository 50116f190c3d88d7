"""Letters of welcome: how a member gets a sign-in. Good once, for fourteen days, and can be taken back.

The secret of a letter is never kept, only its digest.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone

from collection.models import Account, Member, Welcome
from collection.queries.access import Actor, club_of, member_for, must_administer, must_plan
from collection.queries.clock import local
from collection.queries.errors import Refused
from collection.queries.speech import day
from collection.queries.welcomes import closed_reason, digest_of
from collection.usecases.edit import created, edit, note
from collection.usecases.letters import mail_leaves, send_letter
from collection.usecases.locks import lock
from collection.usecases.members import checked_email, end_letters

GOOD_FOR = timedelta(days=14)
SECRET_BYTES = 16
LEAST_LETTERS = 12


@dataclass(frozen=True, slots=True)
class Invited:
    """A letter of welcome just made: where its link leads, and what became of the mail.

    Attributes:
        mailed: The mail server took it, or it became a file of this house.
        leaves: Mail goes out to people at all; without a mail server it does not.
    """

    name: str
    email: str
    link: str
    last_day: date
    mailed: bool
    leaves: bool = True


def invite(*, actor: Actor, member_id: int, email: str, link_to: Callable[[str], str]) -> Invited:
    """Make a letter of welcome and mail it; an older letter of the member ends.

    The mail goes out after the letter is kept. When it cannot, ``mailed`` is False and the coordinator
    hands the link over himself.

    Args:
        link_to: Makes the address of the page from the secret.

    Raises:
        Refused: ``coordinators_only``, ``club_admins_only`` for a club admin's letter, ``not_found``,
            ``has_sign_in``, ``has_left``, ``email_needed`` or ``email_unreadable``.
    """
    must_plan(actor)
    member = member_for(actor, member_id)
    if member.role == Member.Role.ADMIN:
        must_administer(actor)
    email = checked_email(email)
    if not email:
        raise Refused("email_needed", field="email")
    club, secret = club_of(actor), secrets.token_urlsafe(SECRET_BYTES)
    last_day = local(timezone.now() + GOOD_FOR, club.zone).date()
    _write(actor, member, email, secret)
    link = link_to(secret)
    values = {"name": member.name, "club": club.name, "by": actor.name, "link": link, "until": day(last_day)}
    mailed = send_letter(kind="welcome", to=email, values=values)
    return Invited(member.name, email, link, last_day, mailed, mail_leaves())


def _write(actor: Actor, member: Member, email: str, secret: str) -> None:
    now = timezone.now()
    with transaction.atomic():
        # Two who invite at once wait for each other, so that one letter is open.
        [fresh] = lock(Member.objects.filter(pk=member.pk))
        if fresh.account_id is not None:
            raise Refused("has_sign_in", kind="conflict", name=member.name)
        if fresh.active_to is not None and fresh.active_to < now.date():
            raise Refused("has_left", kind="conflict", name=member.name)
        end_letters(member, actor)
        letter = Welcome.objects.create(
            club_id=actor.club_id,
            member=member,
            email=email,
            secret_digest=digest_of(secret),
            by_id=actor.member_id,
            good_until=now + GOOD_FOR,
        )
        created(letter, actor, "member", "good_until")


def take_back(*, actor: Actor, member_id: int) -> None:
    """End the letter of welcome a member has not used yet.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``no_letter`` when none is open.
    """
    must_plan(actor)
    member = member_for(actor, member_id)
    with transaction.atomic():
        if not end_letters(member, actor):
            raise Refused("no_letter", kind="conflict", name=member.name)


def accept_letter(*, secret: str, password: str) -> int:
    """Set up a sign-in with the letter's e-mail and a password; returns the account's id.

    Raises:
        Refused: ``not_found``, ``letter_used``, ``letter_taken_back``, ``letter_too_old``,
            ``sign_in_first`` when somebody signs in with this e-mail already, ``password_short`` or
            ``password_common``.
    """
    try:
        with transaction.atomic():
            letter = _take(secret)
            if Account.objects.filter(email=letter.email).exists():
                raise Refused("sign_in_first", kind="conflict")
            check_password(password, letter.email)
            account = Account.objects.create_user(letter.email, password)
            _link(letter, account)
    except IntegrityError:
        raise Refused("sign_in_first", kind="conflict") from None
    return account.pk


def join_with(*, secret: str, account_id: int) -> int:
    """Use a letter with a sign-in somebody has already, from another club; returns the member's id.

    Raises:
        Refused: ``not_found``, ``letter_used``, ``letter_taken_back``, ``letter_too_old`` or
            ``in_club_already`` when this sign-in is another person's of the club.
    """
    with transaction.atomic():
        letter = _take(secret)
        account = Account.objects.get(pk=account_id)
        if Member.objects.filter(club_id=letter.club_id, account=account).exists():
            raise Refused("in_club_already", kind="conflict")
        _link(letter, account)
    return letter.member_id


def check_password(password: str, email: str = "") -> None:
    """Refuse a password that is too short or too common: ``password_short``, ``password_common``."""
    try:
        validate_password(password, Account(email=email))
    except ValidationError as error:
        codes = {problem.code for problem in error.error_list}
        if "password_too_short" in codes:
            raise Refused("password_short", field="password", least=LEAST_LETTERS) from None
        raise Refused("password_common", field="password") from None


def _take(secret: str) -> Welcome:
    """The letter, used up by this; one conditional update, so that two at once cannot both use it."""
    digest, now = digest_of(secret), timezone.now()
    letter = Welcome.objects.select_related("member").filter(secret_digest=digest).first()
    if letter is not None:
        # Who writes another letter to the same person locks him first, too.
        lock(Member.objects.filter(pk=letter.member_id))
    # Only columns of the letter itself: PostgreSQL asks a joined table again as it was before the wait.
    free = Welcome.objects.filter(secret_digest=digest, used_at=None, taken_back_at=None, good_until__gt=now)
    if letter is None or letter.member.account_id is not None or not free.update(used_at=now):
        raise closed_reason(letter, now)
    return letter


def _link(letter: Welcome, account: Account) -> None:
    member = letter.member
    actor = Actor(member.club_id, member.pk, member.role, member.name)
    edit(member, member.version, {"account_id": account.pk}, actor)
    note(letter, actor, before={"used": False}, after={"used": True})
