"""Signing in and out, and choosing a new password: who knows an address learns nothing by trying it."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client, override_settings

from collection.apps import make_cache_tables
from collection.models import Account
from tests.factories import AccountFactory, MemberFactory
from tests.web.mail_server import mail_server
from tests.web.test_middleware import Lines, lines  # noqa: F401

pytestmark = pytest.mark.django_db
OLD, NEW = "the old pass phrase", "four odd garden words"
TOKEN = re.compile(rb'csrfmiddlewaretoken" value="[^"]*')


@pytest.fixture
def account() -> Account:
    member = MemberFactory()
    member.account.set_password(OLD)
    member.account.save()
    return member.account


def sign_in(client: Client, email: str, password: str, onward: str = ""):
    return client.post("/sign-in", {"login": email, "password": password, "next": onward})


def words(answer) -> bytes:
    return TOKEN.sub(b"", answer.content)


@pytest.mark.parametrize("typed", [str, str.upper, lambda email: f"  {email} "])
def test_an_account_made_before_signs_in_whatever_the_case_of_its_letters(client, account, typed):
    answer = sign_in(client, typed(account.email), OLD)
    assert (answer.status_code, answer.url) == (302, "/")
    assert client.get("/season").status_code == 200


def test_after_signing_in_one_goes_on_where_one_wanted_to_and_never_elsewhere(client, account):
    asked = client.get("/trees")
    assert (asked.status_code, asked.url) == (302, "/sign-in?next=/trees")
    assert b'name="next" value="/trees"' in client.get(asked.url).content
    assert sign_in(client, account.email, OLD, "/trees").url == "/trees"
    client.post("/sign-out")
    assert sign_in(client, account.email, OLD, "https://elsewhere.example.org/").url == "/"


def test_signing_out_ends_the_visit_and_needs_a_button(client, account):
    sign_in(client, account.email, OLD)
    assert client.get("/sign-out").status_code == 405
    assert client.post("/sign-out").url == "/sign-in"
    assert client.get("/season").status_code == 302


def test_a_wrong_password_and_an_unknown_address_get_the_same_page(client, account):
    wrong = sign_in(client, account.email, "wrong")
    unknown = sign_in(client, "nobody@example.org", "wrong")
    assert wrong.status_code == unknown.status_code == 400
    assert words(wrong).replace(account.email.encode(), b"") == words(unknown).replace(
        b"nobody@example.org", b""
    )
    assert b"E-mail and password do not fit together." in wrong.content
    assert account.email.encode() in wrong.content


def test_an_empty_form_says_what_to_write(client):
    answer = client.post("/sign-in", {})
    assert answer.status_code == 400
    assert b"Write your e-mail address, like ana@example.org." in answer.content
    assert b"placeholder" not in answer.content


def test_nobody_can_sign_up(client):
    for address in ("/signup/", "/accounts/signup/", "/sign-up"):
        assert client.get(address).status_code == 404


def test_after_five_wrong_tries_even_the_right_password_has_to_wait(client, account, time_machine):
    start = datetime(2027, 3, 3, 9, tzinfo=UTC)
    time_machine.move_to(start, tick=False)
    for _ in range(5):
        sign_in(client, account.email, "wrong")
    late = sign_in(client, account.email, OLD)
    assert late.status_code == 400
    assert b"Too many tries. Wait five minutes" in late.content
    time_machine.move_to(start + timedelta(minutes=6), tick=False)
    assert sign_in(client, account.email, OLD).status_code == 302


def test_many_tries_from_one_place_get_a_page_of_ours(client):
    answers = [client.post("/sign-in", {}).status_code for _ in range(31)]
    assert (answers[29], answers[30]) == (400, 429)
    assert b"Wait five minutes, then try again." in client.post("/sign-in", {}).content


def reset(client: Client, email: str):
    return client.post("/password/forgotten", {"email": email}, follow=True)


def test_asking_for_a_new_password_answers_alike_and_sends_a_letter_either_way(client, account, settings):
    with mail_server(settings) as server:
        known, unknown = reset(client, account.email), reset(Client(), "nobody@example.org")
    assert known.redirect_chain == unknown.redirect_chain == [("/password/sent", 302)]
    assert words(known) == words(unknown)
    subjects = {mail["To"]: mail["Subject"] for mail in server.mails}
    assert subjects == {
        account.email: "Choose a new password",
        "nobody@example.org": "Nobody signs in with this address",
    }


@pytest.mark.parametrize("how", ["nobody listens", "the server refuses"])
def test_a_letter_that_cannot_be_sent_is_said_alike_to_both(client, account, settings, refused_port, how):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", refused_port
    if how == "the server refuses":
        with mail_server(settings, refuses=True):
            answers = [reset(client, account.email), reset(Client(), "nobody@example.org")]
    else:
        answers = [reset(client, account.email), reset(Client(), "nobody@example.org")]
    assert [answer.status_code for answer in answers] == [503, 503]
    for answer, email in zip(answers, (account.email, "nobody@example.org"), strict=True):
        assert b"The letter could not be sent. Try again in some minutes" in answer.content
        assert email.encode() in answer.content
    first, second = (words(answer) for answer in answers)
    assert first.replace(account.email.encode(), b"") == second.replace(b"nobody@example.org", b"")


def test_the_link_of_a_letter_lets_one_choose_once_and_ends_other_visits(client, account, settings):
    elsewhere = Client()
    sign_in(elsewhere, account.email, OLD)
    with mail_server(settings) as server:
        reset(client, account.email)
    link = re.search(r"http://testserver(/password/new/\S+)", server.mails[0].get_content())
    assert link is not None
    opened = client.get(link[1])
    assert opened.url.endswith("-set-password")
    assert client.get(opened.url).status_code == 200
    weak = client.post(opened.url, {"password1": "password1234", "password2": "password1234"})
    assert weak.status_code == 400
    assert b"Many people use this password." in weak.content
    done = client.post(opened.url, {"password1": NEW, "password2": NEW}, follow=True)
    assert done.redirect_chain == [("/sign-in", 302)]
    assert b"Your new password is kept." in done.content
    assert sign_in(Client(), account.email, OLD).status_code == 400
    assert sign_in(client, account.email, NEW).status_code == 302
    assert elsewhere.get("/season").status_code == 302
    again = Client().get(link[1])
    assert again.status_code == 410
    assert b"This link is used up" in again.content


def test_the_key_of_a_letter_stays_out_of_the_log(client, account, settings, lines):  # noqa: F811
    with mail_server(settings) as server:
        reset(client, account.email)
    link = re.search(r"/password/new/(\S+)", server.mails[0].get_content())
    assert link is not None
    client.get(link[0])
    assert lines.last["path"] == "/password/new/..."
    assert not any(link[1] in text or link[1].split("-", 1)[1] in text for text in lines.texts)


def test_a_server_counts_tries_in_a_table_it_makes_by_itself(client, account):
    table = {"BACKEND": "django.core.cache.backends.db.DatabaseCache", "LOCATION": "tries"}
    with override_settings(CACHES={"default": table}):
        make_cache_tables()
        make_cache_tables()
        for _ in range(5):
            sign_in(client, account.email, "wrong")
        assert b"Too many tries." in sign_in(client, account.email, OLD).content


def test_a_sign_in_without_a_club_can_be_left_again(client):
    account = AccountFactory()
    client.force_login(account)
    answer = client.get("/season")
    assert answer.status_code == 403
    assert b"You are not a member of a club here." in answer.content
    assert account.email.encode() in answer.content
    assert b'action="/sign-out"' in answer.content


def test_a_house_without_a_mail_server_says_so_to_everybody_alike(client, account, settings, tmp_path):
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = str(tmp_path)
    known, unknown = reset(client, account.email), reset(Client(), "nobody@example.org")
    assert words(known) == words(unknown)
    assert b"No mail goes out from here yet" in known.content
    assert len(list(tmp_path.iterdir())) == 2
