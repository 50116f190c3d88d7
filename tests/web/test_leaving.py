"""Leaving in the browser: read first, then one button."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client

from collection import models
from tests.factories import MemberFactory
from tests.usecases.test_leaving import House
from tests.web.test_people import plain

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def clock(time_machine):
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)


@pytest.fixture
def house() -> House:
    return House()


def browser(member: models.Member) -> Client:
    client = Client()
    client.force_login(member.account)
    return client


def boss(house: House) -> Client:
    return browser(models.Member.objects.get(pk=house.boss.member_id))


def test_a_coordinator_reads_what_happens_and_does_it(house):
    trees = [house.tree(number) for number in (1, 2, 3)]
    house.day(lead_id=house.wilma.pk)
    client, here = boss(house), f"/people/{house.wilma.pk}/leave"
    said = plain(client.get(here))
    for words in (
        "Wilma Sand leaves the club",
        "All own trees",
        "Sat 6 Mar 2027",
        "comes, leads the day.",
        "The answer becomes no. A lead is missing.",
        "The sign-in ends at once, with its password.",
    ):
        assert words in said, words
    body = {"version": 1, "all_owned": "out", f"owned_{trees[0].pk}": house.friend.pk}
    done = client.post(here, body, follow=True)
    assert done.redirect_chain == [("/people", 302)]
    assert "Wilma Sand has left the club." in plain(done)
    gone = models.Tree.objects.exclude(archived_at=None).values_list("pk", flat=True)
    assert set(gone) == {trees[1].pk, trees[2].pk}
    assert "has left, and nothing is left to settle" in plain(client.get(here))


def test_a_tree_without_an_answer_is_asked_about_at_its_field(house):
    tree = house.tree(1)
    here = f"/people/{house.wilma.pk}/leave"
    answer = boss(house).post(here, {"version": 1})
    assert answer.status_code == 400
    assert "Say who owns 2019.001 from now on, or that it leaves the club." in plain(answer)
    assert f'name="owned_{tree.pk}"' in plain(answer)
    assert models.Member.objects.get(pk=house.wilma.pk).active_to is None


def test_a_member_leaves_by_himself_and_is_out_at_once(house):
    client, other = browser(house.wilma), browser(house.wilma)
    here = f"/people/{house.wilma.pk}/leave"
    assert f'href="{here}"' in plain(client.get("/you"))
    assert "Your sign-in ends at once" in plain(client.get(here))
    done = client.post(here, {"version": 1}, follow=True)
    assert done.redirect_chain == [("/sign-in", 302)]
    assert f"You have left {house.club.name}." in plain(done)
    for browser_ in (client, other):
        assert browser_.get("/you").status_code == 302


def test_a_member_of_two_clubs_finds_himself_in_the_other(house):
    elsewhere = MemberFactory(account=house.wilma.account)
    client = browser(house.wilma)
    here = f"/people/{house.wilma.pk}/leave"
    assert "It stays for the other club." in plain(client.get(here))
    done = client.post(here, {"version": 1}, follow=True)
    assert done.redirect_chain == [("/season", 302)]
    assert elsewhere.club.name in plain(client.get("/you"))


def test_the_last_admin_reads_why_he_stays(house):
    answer = boss(house).post(f"/people/{house.boss.member_id}/leave", {"version": 1})
    assert answer.status_code == 400
    assert "Make somebody else club admin first." in plain(answer)


def test_somebody_changed_meanwhile_is_read_again_first(house):
    models.Member.objects.filter(pk=house.wilma.pk).update(version=2)
    answer = boss(house).post(f"/people/{house.wilma.pk}/leave", {"version": 1})
    assert answer.status_code == 409
    assert models.Member.objects.get(pk=house.wilma.pk).active_to is None


def test_what_is_open_of_somebody_whose_last_day_passed_is_offered(house):
    house.tree(1)
    models.Member.objects.filter(pk=house.wilma.pk).update(active_to=date(2027, 2, 1))
    assert "Settle what is still open" in plain(boss(house).get(f"/people/{house.wilma.pk}"))
