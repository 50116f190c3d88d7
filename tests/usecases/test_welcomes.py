"""Letters of welcome: good once, for fourteen days, replaced by a newer one, and taken back."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.core import mail

from collection.models import Account, Change, Member, Welcome
from collection.queries.errors import Refused
from collection.queries.sentences import say
from collection.queries.welcomes import digest_of, letter_of
from collection.usecases import members, welcomes
from tests.factories import AccountFactory, MemberFactory, actor_of, coordinator

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)
PASSWORD = "four odd garden words"


@pytest.fixture(autouse=True)
def clock(time_machine):
    time_machine.move_to(NOW, tick=False)
    return time_machine


@pytest.fixture
def member() -> Member:
    return MemberFactory(name="Wilma Sand", account=None)


@pytest.fixture
def boss(member):
    return coordinator(member.club)


def code(call) -> str:
    with pytest.raises(Refused) as caught:
        call()
    assert say(caught.value.reason)
    return caught.value.reason.code


def letter(boss, member, email: str = "Wilma@Example.org") -> str:
    """Invite, and return the secret."""
    kept: list[str] = []
    welcomes.invite(
        actor=boss,
        member_id=member.pk,
        email=email,
        link_to=lambda secret: kept.append(secret) or f"https://house.example.org/welcome/{secret}",
    )
    return kept[0]


def test_a_letter_goes_out_with_a_link_and_only_its_digest_is_kept(boss, member):
    secret = letter(boss, member)
    sent = mail.outbox[0]
    assert sent.to == ["wilma@example.org"]
    assert sent.subject == f"Your sign-in for {member.club.name}"
    assert f"https://house.example.org/welcome/{secret}\n" in sent.body
    assert "until Wednesday 17 March 2027" in sent.body
    row = Welcome.objects.get()
    assert row.secret_digest == digest_of(secret)
    assert len(secret) == 22
    assert re.fullmatch(r"[A-Za-z0-9_-]{22}", secret)
    everything = str(Welcome.objects.values()) + str(Change.objects.values())
    assert secret not in everything


def test_a_name_reaches_the_mail_as_it_is_written(boss):
    odd = MemberFactory(club_id=boss.club_id, name="Bo & O'Neil <x>", account=None)
    letter(boss, odd)
    assert "Hello Bo & O'Neil <x>," in mail.outbox[0].body


def test_the_holder_chooses_a_password_once(boss, member):
    secret = letter(boss, member)
    pk = welcomes.accept_letter(secret=secret, password=PASSWORD)
    account = Account.objects.get(pk=pk)
    assert account.email == "wilma@example.org"
    assert account.check_password(PASSWORD)
    member.refresh_from_db()
    assert member.account_id == pk
    assert code(lambda: welcomes.accept_letter(secret=secret, password=PASSWORD)) == "letter_used"
    assert code(lambda: letter_of(secret)) == "letter_used"


@pytest.mark.parametrize(
    ("password", "expected"), [("short", "password_short"), ("password1234", "password_common")]
)
def test_a_weak_password_leaves_the_letter_open(boss, member, password, expected):
    secret = letter(boss, member)
    assert code(lambda: welcomes.accept_letter(secret=secret, password=password)) == expected
    assert welcomes.accept_letter(secret=secret, password=PASSWORD)


def test_reading_a_letter_changes_nothing_however_often(boss, member):
    secret = letter(boss, member)
    before = list(Welcome.objects.values())
    for _ in range(5):
        assert letter_of(secret).name == "Wilma Sand"
    assert list(Welcome.objects.values()) == before


def test_a_letter_is_good_for_fourteen_days(boss, member, clock):
    secret = letter(boss, member)
    clock.move_to(NOW + timedelta(days=14, seconds=-1), tick=False)
    assert letter_of(secret)
    clock.move_to(NOW + timedelta(days=14), tick=False)
    assert code(lambda: letter_of(secret)) == "letter_too_old"
    assert code(lambda: welcomes.accept_letter(secret=secret, password=PASSWORD)) == "letter_too_old"
    assert letter_of(letter(boss, member))


def test_a_newer_letter_ends_the_older_one(boss, member):
    first, second = letter(boss, member), letter(boss, member, "other@example.org")
    assert code(lambda: letter_of(first)) == "letter_taken_back"
    assert letter_of(second).email == "other@example.org"


def test_a_letter_can_be_taken_back(boss, member):
    secret = letter(boss, member)
    welcomes.take_back(actor=boss, member_id=member.pk)
    assert code(lambda: welcomes.accept_letter(secret=secret, password=PASSWORD)) == "letter_taken_back"
    assert code(lambda: welcomes.take_back(actor=boss, member_id=member.pk)) == "no_letter"


def test_erasing_contacts_ends_the_letter_and_forgets_its_address(boss, member):
    secret = letter(boss, member)
    members.erase_contact(actor=boss, member_id=member.pk)
    assert code(lambda: letter_of(secret)) == "letter_taken_back"
    assert Welcome.objects.get().email == ""


def test_an_unknown_secret_is_not_found():
    assert code(lambda: letter_of("A" * 22)) == "not_found"
    assert code(lambda: welcomes.accept_letter(secret="A" * 22, password=PASSWORD)) == "not_found"


def test_who_signs_in_elsewhere_joins_with_that_and_no_password_is_touched(boss, member):
    account = AccountFactory(email="wilma@example.org")
    account.set_password("the old pass phrase")
    account.save()
    elsewhere = MemberFactory(account=account)
    secret = letter(boss, member)
    assert letter_of(secret).known
    assert code(lambda: welcomes.accept_letter(secret=secret, password=PASSWORD)) == "sign_in_first"
    assert welcomes.join_with(secret=secret, account_id=account.pk) == member.pk
    account.refresh_from_db()
    assert account.check_password("the old pass phrase")
    clubs = Member.objects.filter(account=account).values_list("club_id", flat=True)
    assert set(clubs) == {member.club_id, elsewhere.club_id}


def test_a_sign_in_is_one_person_in_a_club(boss, member):
    other = MemberFactory(club=member.club)
    secret = letter(boss, member)
    assert code(lambda: welcomes.join_with(secret=secret, account_id=other.account_id)) == "in_club_already"
    assert letter_of(secret, account_id=other.account_id).in_club


def test_who_may_invite_whom(boss, member):
    who = {"email": "x@example.org", "link_to": str}
    plain, stranger = actor_of(MemberFactory(club=member.club)), coordinator()
    head = MemberFactory(club=member.club, role="admin", account=None)
    signed_in = MemberFactory(club=member.club)
    gone = MemberFactory(club=member.club, account=None, active_to=NOW.date() - timedelta(days=1))
    for actor, person, expected in (
        (plain, member, "coordinators_only"),
        (stranger, member, "not_found"),
        (boss, head, "club_admins_only"),
        (boss, signed_in, "has_sign_in"),
        (boss, gone, "has_left"),
    ):
        call = lambda: welcomes.invite(actor=actor, member_id=person.pk, **who)  # noqa: B023, E731
        assert code(call) == expected
    for email, expected in (("", "email_needed"), ("nowhere", "email_unreadable")):
        call = lambda: welcomes.invite(actor=boss, member_id=member.pk, email=email, link_to=str)  # noqa: B023, E731
        assert code(call) == expected
    assert mail.outbox == []
    assert not Welcome.objects.exists()


def test_a_mail_server_that_refuses_leaves_the_letter_good(boss, member, settings, refused_port):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", refused_port
    done = welcomes.invite(actor=boss, member_id=member.pk, email="w@example.org", link_to=str)
    assert not done.mailed
    assert letter_of(done.link).email == "w@example.org"
