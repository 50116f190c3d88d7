"""One's own page."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client

from collection.models import Contact, Declaration, Habit, Member
from tests.factories import AccountFactory, MemberFactory
from tests.web.test_people import WEEKLY, plain

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def clock(time_machine):
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)


@pytest.fixture
def me() -> Member:
    return MemberFactory(name="Wilma Sand")


@pytest.fixture
def client(me) -> Client:
    client = Client()
    client.force_login(me.account)
    return client


def test_the_foot_of_every_page_leads_to_ones_own(client):
    assert 'Signed in: <a href="/you">Wilma Sand</a>' in plain(client.get("/trees"))


def test_answers_are_dated_and_only_changes_are_written(client, me):
    client.post("/you/answers", {"can_lift": "yes", "sprays": "no"})
    client.post("/you/answers", {"can_lift": "yes", "sprays": ""})
    rows = Declaration.objects.filter(member=me).values_list("kind", "answer", "given_on")
    assert list(rows) == [("can_lift", True, date(2027, 3, 3))]
    said = plain(client.get("/you"))
    assert "Can lift and hold: <b>yes</b>, Wed 3 Mar 2027" in said
    assert "Trained for sprays: <b>not said</b>" in said


def test_hours_are_added_changed_and_ended(client, me):
    client.post("/you/hours", WEEKLY)
    pk = Habit.objects.get(member=me).pk
    changed = client.post(f"/hours/{pk}", WEEKLY | {"hours": "2.25", "version": 1}, follow=True)
    assert changed.redirect_chain == [("/you", 302)]
    assert "Saturday, 2 h 15" in plain(changed)
    ended = client.post(f"/hours/{pk}/end", {"version": 2}, follow=True)
    # These hours had not begun yet.
    assert "You have written down no hours outside workdays." in plain(ended)


def test_contacts_are_ones_own_to_keep_and_erase(client, me):
    here = f"/people/{me.pk}/contact"
    kept = client.post(here, {"email": "w@example.org", "telephone": "12 34", "version": "0"}, follow=True)
    assert kept.redirect_chain == [("/you", 302)]
    assert 'href="tel:1234"' in plain(kept)
    client.post(f"{here}/erase")
    assert Contact.objects.get(member=me).email == ""


def test_mail_is_wanted_or_not(client, me):
    client.post("/you/mail", {"wants": "no", "version": 1})
    me.refresh_from_db()
    assert not me.wants_mail
    assert "You get no mail." in plain(client.get("/you"))
    assert client.post("/you/mail", {"wants": "yes", "version": 1}).status_code == 409


@pytest.mark.parametrize(
    ("theme", "html"), [("dark", ' data-theme="dark">'), ("light", ' data-theme="light">'), ("", 'GB">')]
)
def test_light_and_dark_follow_the_sign_in_to_every_device(client, me, theme, html):
    client.post("/you/look", {"theme": theme})
    other = Client()
    other.force_login(me.account)
    for browser in (client, other):
        assert f'<html lang="en-GB{"" if not theme else chr(34)}' in plain(browser.get("/you"))
        assert html in plain(browser.get("/you"))[:120]
    assert "Choose light, dark, or as the device says." in plain(
        client.post("/you/look", {"theme": "pink"}, follow=True)
    )


def test_a_password_is_changed_and_other_devices_sign_in_again(client, me):
    me.account.set_password("the old pass phrase")
    me.account.save()
    here, other = Client(), Client()
    for browser in (here, other):
        browser.post("/sign-in", {"login": me.account.email, "password": "the old pass phrase"})
    old, new = "the old pass phrase", "four odd garden words"
    weak = {"oldpassword": old, "password1": "short", "password2": "short"}
    assert "Write at least 12 letters." in plain(here.post("/you/password", weak))
    wrong = {"oldpassword": "no", "password1": new, "password2": new}
    assert "This is not your password." in plain(here.post("/you/password", wrong))
    done = here.post("/you/password", wrong | {"oldpassword": old}, follow=True)
    assert done.redirect_chain == [("/you", 302)]
    assert here.get("/you").status_code == 200
    assert other.get("/you").status_code == 302


def test_somebody_in_two_clubs_goes_from_one_to_the_other(client, me):
    assert "Your clubs" not in plain(client.get("/you"))
    there = MemberFactory(account=me.account, name="W. Sand")
    assert "Your clubs" in plain(client.get("/you"))
    client.post("/you/club", {"club": there.club_id})
    assert there.club.name in plain(client.get("/you"))
    assert "W. Sand" in plain(client.get("/you"))
    stranger = MemberFactory()
    for club in (stranger.club_id, 999_999, "x"):
        assert client.post("/you/club", {"club": club}).status_code == 404


def test_who_left_the_club_he_was_in_finds_himself_in_his_other_one(client, me):
    there = MemberFactory(account=me.account)
    client.post("/you/club", {"club": there.club_id})
    Member.objects.filter(pk=there.pk).update(active_to=date(2027, 3, 1))
    answer = client.get("/you")
    assert answer.status_code == 200
    assert me.club.name in plain(answer)


def test_an_account_of_no_club_has_no_page_of_its_own():
    client = Client()
    client.force_login(AccountFactory())
    assert client.get("/you").status_code == 403
