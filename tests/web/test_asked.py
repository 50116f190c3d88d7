"""Whoever is asked for a bend sees it where he comes in, and a yes among his days."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from collection.models import Invitation, Plan, Workday
from collection.usecases import places
from tests.factories import PlanFactory
from tests.usecases.bend_world import TODAY, World, trio

pytestmark = pytest.mark.django_db
QUESTION = "You are asked to help at the heavy bend of 2011.007 on Saturday 6 March 2027."


@pytest.fixture
def made(time_machine) -> World:
    time_machine.move_to("2027-03-01T09:00:00+00:00", tick=False)
    found = trio()
    places.ask(actor=found.planner, bend_id=found.bend.pk, member_id=found.people["Dilip"].pk, today=TODAY)
    return found


def shown(made: World, name: str, path: str) -> str:
    client = Client()
    client.force_login(made.people[name].account)
    plain = re.sub(r"<[^>]+>", " ", client.get(path).content.decode()).replace("\u00a0", " ")
    return re.sub(r"\s+", " ", plain)


@pytest.mark.parametrize("path", ["/you", "/days", "/season"])
def test_the_question_stands_where_the_person_comes_in_and_nowhere_for_others(made: World, path: str):
    assert QUESTION in shown(made, "Dilip", path)
    assert QUESTION not in shown(made, "Petra", path)


def test_after_a_yes_the_bend_is_among_the_days_ahead_and_no_longer_asked(made: World):
    invitation = Invitation.objects.get()
    places.accept(actor=made.actor("Dilip"), invitation_id=invitation.pk, today=TODAY)
    said = shown(made, "Dilip", "/you")
    assert "Heavy bend of 2011.007: you help" in said
    assert QUESTION not in said


def test_a_volunteer_comes_in_on_his_own_page_and_a_planner_on_the_season(made: World):
    client = Client()
    client.force_login(made.people["Dilip"].account)
    assert client.get("/").url == "/you"
    page = client.get("/you").content.decode()
    assert f"/days/{made.day}" in page
    assert f"/days/{made.day}/mine" not in page
    PlanFactory(workday=Workday.objects.get(), state=Plan.State.READY, sent_out=True)
    assert f"/days/{made.day}/mine" in client.get("/you").content.decode()
