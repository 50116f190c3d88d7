"""A sitting typed on a phone becomes last hands, and a wrong entry keeps what was typed."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.test import Client

from collection.models import Offer, Sitting
from tests.factories import JobFactory, MemberFactory, SiteFactory, TreeFactory, WorkdayFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def tree(time_machine):
    time_machine.move_to("2027-03-03T15:00:00+00:00", tick=False)
    found = TreeFactory(site=SiteFactory(), name="The Leaning Heron")
    JobFactory(tree=found, task="TRIM")
    return found


@pytest.fixture
def members(tree):
    return MemberFactory(club=tree.club, name="Oswin"), MemberFactory(club=tree.club, name="Petra")


@pytest.fixture
def browser(members) -> Client:
    client = Client()
    client.force_login(members[0].account)
    return client


def send(browser: Client, tree, members, **more):
    data = {
        "people": [person.pk for person in members],
        "on": "2027-03-03",
        "started": "10:00",
        "stopped": "12:00",
        "breaks_min": "15",
        "note": "",
        "key": "phone-1",
        "tasks-TOTAL_FORMS": "1",
        "tasks-INITIAL_FORMS": "0",
        "tasks-0-task": "TRIM",
        "tasks-0-amount": "40",
        "tasks-0-finished": "on",
    } | more
    return browser.post(f"/sittings/new?tree={tree.pk}", data)


def test_the_form_names_the_due_task_and_the_person_who_asks(browser, tree, members):
    html = browser.get(f"/sittings/new?tree={tree.pk}").content.decode()
    assert "Trimming (due)" in html
    assert f'value="{members[0].pk}" id="id_people_0" checked' in html


def test_two_hours_less_a_break_are_105_minutes_each_and_end_the_job(browser, tree, members):
    assert send(browser, tree, members).status_code == 302
    sitting = Sitting.objects.get()
    assert sorted(sitting.people.values_list("member__name", "minutes")) == [
        ("Oswin", 105.0),
        ("Petra", 105.0),
    ]
    assert (sitting.tasks.get().amount, tree.jobs.get().state) == (40.0, "done")
    html = browser.get(f"/trees/{tree.pk}").content.decode().replace("\u00a0", " ")
    assert "Oswin and Petra" in html
    assert "Trimming, 1 h 45 each" in html


def test_a_double_tap_is_one_sitting(browser, tree, members):
    assert send(browser, tree, members).status_code == 302
    assert send(browser, tree, members).status_code == 302
    assert Sitting.objects.count() == 1


def test_a_tree_left_open_shows_its_note_to_the_next_hands(browser, tree, members):
    note = "Stopped above B4. Do not move B2."
    assert send(browser, tree, members, left_open="on", note=note).status_code == 302
    assert tree.jobs.get().state == "open"
    html = browser.get(f"/trees/{tree.pk}").content.decode()
    assert note in html
    assert "Oswin and Petra wrote on" in html


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"people": []}, "Choose who worked."),
        ({"stopped": "09:00"}, "This is before the start."),
        ({"started": "", "stopped": ""}, "Say how long: give both times, or the minutes."),
        ({"breaks_min": "120"}, "The breaks are as long as the work."),
        ({"on": "2027-03-09"}, "This day has not come yet."),
        ({"stopped": "15:30"}, "This time has not come yet."),
        ({"started": "15:30", "stopped": "", "minutes": "20"}, "This time has not come yet."),
        ({"minutes": "150"}, "From 10:00 to 12:00 is 120 minutes."),
        ({"left_open": "on"}, "Write where you stopped"),
        ({"tasks-0-task": ""}, "Say who worked and what was done."),
    ],
)
def test_a_wrong_entry_says_what_to_do_keeps_what_was_typed_and_writes_nothing(
    browser, tree, members, more, words
):
    answer = send(browser, tree, members, **more)
    assert answer.status_code == 400
    html = answer.content.decode()
    assert words in html
    assert 'value="phone-1"' in html
    assert not Sitting.objects.exists()
    assert date(2027, 3, 3).isoformat() in html or "on" in more


def test_in_a_long_list_the_people_of_the_day_come_first_and_others_are_folded(browser, tree, members):
    others = [MemberFactory(club=tree.club, name=f"Zoe {n:02d}") for n in range(20)]
    day = WorkdayFactory(site=tree.site, date=date(2027, 3, 3))
    Offer.objects.create(club=tree.club, workday=day, member=others[3], answer="yes")
    Offer.objects.create(club=tree.club, workday=day, member=others[4], answer="no")
    html = browser.get(f"/sittings/new?tree={tree.pk}").content.decode()
    near, folded = html.split('<details class="more"')[:2]
    assert re.findall(r'name="people" value="(\d+)"', near) == [str(members[0].pk), str(others[3].pk)]
    assert len(re.findall(r'name="others" value="(\d+)"', folded)) == 20
    assert send(browser, tree, [members[0]], others=[others[9].pk]).status_code == 302
    assert Sitting.objects.get().people.count() == 2


def test_somebody_is_found_in_either_list_and_counted_once(browser, tree, members):
    people = [MemberFactory(club=tree.club, name=f"Zoe {n:02d}") for n in range(20)]
    assert send(browser, tree, [people[5]], others=[people[5].pk]).status_code == 302
    assert Sitting.objects.get().people.get().member == people[5]
