"""Putting a day on the list and answering for it, on the pages."""

from __future__ import annotations

from datetime import date, time

import pytest
from django.test import Client
from django.urls import reverse

from collection.models import Member, Offer, Workday
from tests.factories import ClubFactory, MemberFactory, SiteFactory, WorkdayFactory

pytestmark = pytest.mark.django_db
DAY = {"on": "2027-03-06", "opens": "09:30", "closes": "13:30"}


def browser(member: Member) -> Client:
    client = Client()
    client.force_login(member.account)
    return client


@pytest.fixture
def people():
    """A coordinator, a member and the ground of one club."""
    club = ClubFactory()
    boss = MemberFactory(club=club, name="Edith Mossgrave", role="coordinator")
    return boss, MemberFactory(club=club, name="Wilma Sedge"), SiteFactory(club=club, name="Malthouse")


def put(client: Client, site: int, **typed: str):
    return client.post(reverse("day-new"), DAY | {"site": str(site)} | typed)


def test_a_coordinator_puts_a_day_with_a_break_on_the_list(people):
    boss, _, site = people
    client = browser(boss)
    assert reverse("day-new") in client.get(reverse("days")).content.decode()
    answer = put(client, site.pk, break_from="11:15", break_to="11:30", bring="Gloves")
    made = Workday.objects.get()
    assert answer["Location"] == reverse("day", args=[made.pk])
    assert (made.date, made.opens, made.closes) == (date(2027, 3, 6), time(9, 30), time(13, 30))
    assert (made.breaks, made.bring, made.state) == ([["11:15", "11:30"]], "Gloves", "draft")
    assert client.get(answer["Location"]).status_code == 200


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"opens": "09:32"}, "in steps of five minutes"),
        ({"opens": "noon"}, "Write hours and minutes, like 9:30."),
        ({"on": "soon"}, "Write a day, like 2027-03-06."),
        ({"closes": "08:00"}, "must end after they start"),
        ({"break_from": "11:15"}, "Give both times of the break, or neither."),
        ({"break_from": "14:00", "break_to": "14:15"}, "must end after they start"),
    ],
)
def test_a_wrong_day_is_not_made_and_what_was_typed_stays(people, typed, said):
    boss, _, site = people
    answer = put(browser(boss), site.pk, bring="Gloves", **typed)
    page = answer.content.decode()
    assert answer.status_code == 400
    assert said in page
    assert "Gloves" in page
    assert all(f'value="{value}"' in page for value in typed.values())
    assert not Workday.objects.exists()


def test_the_same_day_twice_and_the_ground_of_another_club_are_refused(people):
    boss, _, site = people
    client = browser(boss)
    put(client, site.pk)
    assert "There is a workday at this place" in put(client, site.pk).content.decode()
    assert put(client, SiteFactory().pk).status_code == 400
    assert Workday.objects.count() == 1


def test_a_member_makes_no_days_and_sees_no_button_for_it(people):
    _, member, site = people
    client = browser(member)
    assert put(client, site.pk).status_code == 403
    assert client.get(reverse("day-new")).status_code == 403
    assert reverse("day-new") not in client.get(reverse("days")).content.decode()
    assert not Workday.objects.exists()


def reply(client: Client, day: int, member: int, **typed: str):
    return client.post(reverse("day-answer", args=[day]), {"member": str(member), "answer": "yes"} | typed)


def test_a_coordinator_answers_for_somebody_who_telephoned(people):
    boss, member, site = people
    day = WorkdayFactory(site=site)
    client = browser(boss)
    assert "Also by telephone." in client.get(reverse("day", args=[day.pk])).content.decode()
    assert reply(client, day.pk, member.pk, arrives="10:00", leaves="12:30").status_code == 302
    offer = Offer.objects.get()
    assert (offer.member, offer.by_id, offer.answer) == (member, boss.pk, "yes")
    assert (offer.arrives, offer.leaves) == (time(10, 0), time(12, 30))
    reply(client, day.pk, member.pk, answer="no")
    assert Offer.objects.get().answer == "no"


def test_a_member_answers_for_himself_and_for_nobody_else(people):
    boss, member, site = people
    day = WorkdayFactory(site=site)
    client = browser(member)
    page = client.get(reverse("day", args=[day.pk])).content.decode()
    assert "Wilma Sedge" in page
    assert "Edith Mossgrave</option>" not in page
    assert reply(client, day.pk, boss.pk).status_code == 400
    assert not Offer.objects.exists()
    assert reply(client, day.pk, member.pk, answer="perhaps").status_code == 302
    assert Offer.objects.get().answer == "perhaps"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"arrives": "08:00"}, "Write hours inside the day, from 09:30 to 13:30."),
        ({"arrives": "10:01"}, "in steps of five minutes"),
        ({"arrives": "12:00", "leaves": "11:00"}, "The end is before the start. Write a later time."),
    ],
)
def test_hours_outside_the_day_are_not_written_and_stay_in_the_form(people, typed, said):
    _, member, site = people
    day = WorkdayFactory(site=site)
    answer = reply(browser(member), day.pk, member.pk, **typed)
    page = answer.content.decode()
    assert answer.status_code == 400
    assert said in page
    assert all(f'value="{value}"' in page for value in typed.values())
    assert not Offer.objects.exists()


def test_the_day_of_another_club_and_a_day_called_off_take_no_answer(people):
    _, member, site = people
    client = browser(member)
    assert reply(client, WorkdayFactory().pk, member.pk).status_code == 404
    off = WorkdayFactory(site=site, state="cancelled")
    assert (
        reverse("day-answer", args=[off.pk]) not in client.get(reverse("day", args=[off.pk])).content.decode()
    )
    assert "is over or was cancelled" in reply(client, off.pk, member.pk).content.decode()
    assert not Offer.objects.exists()
