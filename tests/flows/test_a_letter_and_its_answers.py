"""Whole stories: somebody is asked, gets a letter, presses a button, and the plan of the day knows."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.core import mail
from django.test import Client

from collection import models
from collection.usecases import places, posting, reminders, workdays
from tests.factories import actor_of
from tests.usecases.bend_world import TODAY, World, trio
from workers.reminders import run as run_task

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 1, 9, tzinfo=UTC)


@pytest.fixture
def made(time_machine) -> World:
    time_machine.move_to(NOW, tick=False)
    return trio()


def letters() -> dict[str, mail.EmailMessage]:
    """The newest letter to each person, by address."""
    return {letter.to[0]: letter for letter in mail.outbox}


def pressed(letter: mail.EmailMessage, words: str, answer: str) -> str:
    """Open the link beside some words, press the button of an answer, and read the page that follows."""
    found = re.search(rf"{words}: (\S+)", letter.body)
    assert found is not None, letter.body
    browser, address = Client(), found[1].removeprefix("http://127.0.0.1:8000")
    page = browser.get(address).content.decode()
    assert f'value="{answer}"' in page
    browser.post(address.partition("?")[0], {"answer": answer})
    return browser.get(address).content.decode()


def test_two_are_asked_by_mail_the_first_yes_wins_and_the_other_is_thanked_without_a_name(made):
    for name in ("Dilip", "Petra"):
        places.ask(actor=made.planner, bend_id=made.bend.pk, member_id=made.people[name].pk, today=TODAY)
    assert run_task() >= 2
    sent = letters()
    dilip, petra = (made.people[name].account.email for name in ("Dilip", "Petra"))
    assert sent[dilip].subject.startswith("Help wanted at a bend on Saturday 6 March")
    assert "9:15 to" in sent[dilip].body
    assert "You have this place." in pressed(sent[dilip], "I’ll help", "yes")
    assert models.Place.objects.get().winner == made.people["Dilip"]
    taken = Client().get(re.search(r"I’ll help: http://127.0.0.1:8000(\S+)", sent[petra].body)[1])
    assert "This place is now someone else’s. Thank you for answering." in taken.content.decode()
    assert "Dilip" not in taken.content.decode()


def test_a_place_is_given_back_by_the_same_link(made):
    places.ask(actor=made.planner, bend_id=made.bend.pk, member_id=made.people["Dilip"].pk, today=TODAY)
    run_task()
    letter = letters()[made.people["Dilip"].account.email]
    pressed(letter, "I’ll help", "yes")
    assert "You said you cannot help." in pressed(letter, "I’ll help", "no")
    assert models.Place.objects.get().winner is None
    assert "You have this place." in pressed(letter, "I can’t", "yes")


def test_a_day_called_off_reaches_everybody_who_had_answered_once(made, time_machine):
    time_machine.move_to(NOW + timedelta(days=4), tick=False)
    day = models.Workday.objects.get()
    workdays.cancel_workday(actor=made.planner, workday_id=day.pk, version=day.version, why="Snow.")
    for _ in range(3):
        reminders.run(NOW + timedelta(days=4))
        posting.send_waiting()
    told = [letter.to[0] for letter in mail.outbox if "is cancelled" in letter.body]
    assert sorted(told) == sorted(made.people[name].account.email for name in ("Imke", "Dilip", "Petra"))
    assert "Why: Snow." in mail.outbox[0].body


def test_an_answer_by_mail_after_the_plan_went_out_reaches_the_coordinator(made, time_machine):
    models.Workday.objects.update(state="sent")
    time_machine.move_to(NOW + timedelta(days=3), tick=False)  # two days before
    run_task()
    letter = letters()[made.people["Petra"].account.email]
    assert "Saturday 6 March, 9:00" in letter.body
    assert "You said you cannot come." in pressed(letter, "I can’t come", "no")
    offer = models.Offer.objects.get(member=made.people["Petra"])
    assert (offer.answer, offer.by) == ("no", made.people["Petra"])
    time_machine.move_to(NOW + timedelta(days=4), tick=False)
    run_task()
    carol = models.Member.objects.get(name="Carol")
    assert "Petra cannot come on Saturday 6 March after all." in letters()[carol.account.email].body
    assert actor_of(carol).plans


def test_one_tap_on_stop_ends_the_round_ups(made, time_machine):
    time_machine.move_to(NOW + timedelta(days=3), tick=False)
    run_task()
    dilip = made.people["Dilip"]
    stop = letters()[dilip.account.email].extra_headers["List-Unsubscribe"].strip("<>")
    path = stop.removeprefix("http://127.0.0.1:8000")
    tap = Client(enforce_csrf_checks=True).post(path, {"List-Unsubscribe": "One-Click"})
    assert tap.status_code == 200
    before = len(mail.outbox)
    models.Workday.objects.update(date="2027-03-20")
    time_machine.move_to(NOW + timedelta(days=17), tick=False)
    run_task()
    assert dilip.account.email not in {letter.to[0] for letter in mail.outbox[before:]}
    assert len(mail.outbox) > before
