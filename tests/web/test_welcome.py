"""A letter of welcome in the browser: from the coordinator's button to the first page."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client

from collection.models import Account, Member, Welcome
from tests.factories import AccountFactory, MemberFactory
from tests.web.mail_server import mail_server
from tests.web.test_middleware import Lines, lines  # noqa: F401

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)
PASSWORD = {"password1": "four odd garden words", "password2": "four odd garden words"}
LINK = re.compile(r"http://testserver(/welcome/[A-Za-z0-9_-]{22})")


@pytest.fixture(autouse=True)
def clock(time_machine):
    time_machine.move_to(NOW, tick=False)
    return time_machine


def browser(account: Account | None = None) -> Client:
    client = Client()
    if account is not None:
        client.force_login(account)
    return client


@pytest.fixture
def boss() -> Member:
    return MemberFactory(coordinator=True, name="Anselm Roper")


@pytest.fixture
def wilma(boss) -> Member:
    return MemberFactory(club=boss.club, name="Wilma Sand", account=None)


def invite(boss, wilma, email: str = "wilma@example.org"):
    return browser(boss.account).post(f"/people/{wilma.pk}/welcome", {"email": email})


def link_of(answer) -> str:
    found = LINK.search(answer.content.decode())
    assert found is not None
    return found[1]


def test_a_letter_is_mailed_opened_and_used_to_come_in(boss, wilma, settings):
    with mail_server(settings) as server:
        answer = invite(boss, wilma)
    assert answer.status_code == 200
    assert b"The letter went to wilma@example.org." in answer.content
    sent = server.mails[0].get_content()
    assert LINK.search(sent)[1] == link_of(answer)
    guest, link = browser(), link_of(answer)
    for _ in range(3):
        page = guest.get(link)
        assert page.status_code == 200
        assert b"Wilma Sand, choose a password. You sign in with it and wilma@example.org." in page.content
    assert not Account.objects.filter(email="wilma@example.org").exists()
    came = guest.post(link, PASSWORD, follow=True)
    assert came.redirect_chain == [("/you", 302)]
    assert b"Wilma Sand" in came.content
    assert browser().post("/sign-in", {"login": "wilma@example.org", "password": PASSWORD["password1"]}).url


@pytest.mark.parametrize("refuses", [True, False], ids=["refused", "nobody listens"])
def test_a_letter_that_cannot_be_mailed_is_handed_over_by_hand(boss, wilma, settings, refused_port, refuses):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", refused_port
    if refuses:
        with mail_server(settings, refuses=True):
            answer = invite(boss, wilma)
    else:
        answer = invite(boss, wilma)
    assert b"could not be mailed. Hand the link over yourself." in answer.content
    assert browser().get(link_of(answer)).status_code == 200


def test_a_house_without_a_mail_server_asks_to_hand_the_link_over(boss, wilma, settings, tmp_path):
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = str(tmp_path)
    answer = invite(boss, wilma)
    assert b"No mail goes out from here yet. Hand the link over yourself." in answer.content
    assert link_of(answer) in next(tmp_path.iterdir()).read_text()


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        ({}, "Write your password."),
        (PASSWORD | {"password2": "other"}, "The two differ. Write the same password twice."),
        (dict.fromkeys(PASSWORD, "short"), "Write at least 12 letters."),
        (dict.fromkeys(PASSWORD, "password1234"), "Many people use this password."),
    ],
)
def test_a_password_that_will_not_do_is_said_and_the_link_stays_good(boss, wilma, body, sentence):
    link = link_of(invite(boss, wilma))
    answer = browser().post(link, body)
    assert answer.status_code == 400
    assert sentence in answer.content.decode()
    assert browser().post(link, PASSWORD).status_code == 302


def test_a_link_that_cannot_be_used_says_why_and_nothing_of_who_signs_in(boss, wilma, clock):
    old = link_of(invite(boss, wilma))
    newer = link_of(invite(boss, wilma))
    browser(boss.account).post(f"/people/{wilma.pk}/welcome/back")
    late = link_of(invite(boss, wilma))
    clock.move_to(NOW + timedelta(days=15), tick=False)
    good = link_of(invite(boss, wilma))
    browser().post(good, PASSWORD)
    said = {link: browser().get(link).content.decode() for link in (old, newer, late, good)}
    for link in (old, newer, late):
        assert "This link was taken back. Ask your coordinator for a new letter." in said[link]
    assert "This link was used." in said[good]
    for link in (old, newer, late, good):
        assert browser().get(link).status_code == 410
        assert browser().post(link, PASSWORD).status_code == 410
        assert "example.org" not in said[link]
    assert browser().get("/welcome/AAAAAAAAAAAAAAAAAAAAAA").status_code == 404


def test_a_link_is_too_old_after_fourteen_days(boss, wilma, clock):
    link = link_of(invite(boss, wilma))
    clock.move_to(NOW + timedelta(days=14, minutes=1), tick=False)
    answer = browser().get(link)
    assert answer.status_code == 410
    assert b"This link is too old." in answer.content
    assert b"ran out on" in browser(boss.account).get(f"/people/{wilma.pk}").content


def test_somebody_of_another_club_signs_in_and_says_yes(boss, wilma):
    account = AccountFactory(email="wilma@example.org")
    account.set_password("the old pass phrase")
    account.save()
    elsewhere = MemberFactory(account=account)
    link = link_of(invite(boss, wilma))
    guest = browser()
    page = guest.get(link)
    assert b"There is a sign-in with wilma@example.org already" in page.content
    assert b"password1" not in page.content
    assert guest.post(link, PASSWORD).status_code == 409
    asked = re.search(r'href="(/sign-in\?next=[^"]+)"', page.content.decode())
    assert asked is not None
    onward = {"login": account.email, "password": "the old pass phrase", "next": link}
    assert guest.post("/sign-in", onward).url == link
    assert f"Join {boss.club.name} with this sign-in".encode() in guest.get(link).content
    came = guest.post(link, follow=True)
    assert boss.club.name.encode() in came.content
    wilma.refresh_from_db()
    assert wilma.account == account
    guest.post("/you/club", {"club": elsewhere.club_id})
    assert elsewhere.club.name.encode() in guest.get("/you").content


def test_another_person_of_the_club_cannot_use_the_letter(boss, wilma):
    link = link_of(invite(boss, wilma))
    other = MemberFactory(club=boss.club)
    page = browser(other.account).get(link)
    assert b"another person of this club" in page.content
    assert browser(other.account).post(link).status_code == 409
    wilma.refresh_from_db()
    assert wilma.account is None


def test_the_coordinator_sees_where_the_letter_went_and_others_do_not(boss, wilma):
    invite(boss, wilma)
    assert b"It went to wilma@example.org and works until Wed 17 Mar 2027." in (
        browser(boss.account).get(f"/people/{wilma.pk}").content
    )
    plain = MemberFactory(club=boss.club)
    assert b"Letter of welcome" not in browser(plain.account).get(f"/people/{wilma.pk}").content


def test_the_secret_stays_out_of_the_log_and_out_of_caches(boss, wilma, lines):  # noqa: F811
    link = link_of(invite(boss, wilma))
    answer = browser().get(link)
    browser().post(link, PASSWORD)
    secret = link.rsplit("/", 1)[1]
    assert lines.last["path"] == "/welcome/..."
    assert not any(secret in text for text in lines.texts)
    assert "no-store" in answer["Cache-Control"]
    assert answer["Referrer-Policy"] == "same-origin"
    assert secret not in str(Welcome.objects.values())
