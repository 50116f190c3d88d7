"""One question through three doors: page, address and command give the same figures."""

from __future__ import annotations

import json
import re
from io import StringIO

import pytest
from django.core.management import call_command
from django.test import Client

from tests.factories import MemberFactory

pytestmark = pytest.mark.django_db
URL = "/api/v1/estimates"
ASKED = {"task": "WIRE_DETAIL", "secondary": 12, "fine": 40}


@pytest.fixture
def client() -> Client:
    client = Client()
    client.force_login(MemberFactory().account)
    return client


def ask(client: Client, **data: object):
    return client.post(URL, json.dumps(data), content_type="application/json")


def test_twelve_side_and_forty_fine_branches_take_the_minutes_of_the_pace_table(client):
    # 12 x 5.333 + 40 x 2.083 = 147.33 min of wiring; set-up 15.83 + 15 + 3.17 + 5.17 = 39.17 min.
    body = ask(client, **ASKED).json()
    assert body["likely_min"] == pytest.approx(186.5, abs=0.01)
    assert sum(line["minutes"] for line in body["lines"]) == pytest.approx(body["likely_min"])
    assert body["low_min"] < body["most_common_min"] < body["likely_min"] < body["cautious_min"]
    assert body["range80_min"][0] < body["likely_min"] < body["range80_min"][1]


@pytest.mark.parametrize(
    ("asked", "named"),
    [
        (ASKED, ("detail wiring", {"secondary": 12, "fine": 40})),
        ({"task": "WIRE_DETAIL", "branches_total": 50}, ("WIRE_DETAIL", {"branches": 50})),
        ({"task": "WIRE_DETAIL", "wire_m": 6}, ("Detail wiring", {"metres": 6})),
        (
            {"task": "REPOT", "pot_litres": 12, "height_cm": 60, "group": "G06", "stage": "F"},
            ("repot", {"pot": 12, "height": 60, "group": "larch", "stage": "refining"}),
        ),
    ],
)
def test_page_address_and_command_agree(client, asked, named):
    body = ask(client, **asked).json()
    task, options = named
    shown = f"{body['likely_min']:.0f} min = {body['likely_min'] / 60:.1f} h"
    out = StringIO()
    call_command("estimate", task, **options, stdout=out)
    assert shown in out.getvalue()
    text = re.sub(r"\s", " ", client.get("/estimate", asked).content.decode().replace("\u00a0", " "))
    assert shown in text
    for line in body["lines"]:
        assert line["label"] in out.getvalue()
        assert line["label"] in text.replace("\u00a0", " ")


def test_a_bare_total_and_a_length_of_wire_are_enough(client):
    assert ask(client, task="WIRE_DETAIL", branches_total=50).json()["likely_min"] > 0
    assert ask(client, task="WIRE_DETAIL", wire_m=6).json()["likely_min"] > 0


def test_a_heavy_bend_needs_two_and_says_why(client):
    body = ask(client, task="HEAVY_BEND", diameter_mm=30, group="G03").json()
    assert body["people"] == 2
    assert any("20 mm" in note for note in body["notes"])


@pytest.mark.parametrize(
    ("data", "field"),
    [
        ({"task": "HAIRCUT"}, "task"),
        ({"task": "WIRE_DETAIL", "fine": -1}, "fine"),
        ({"task": "WIRE_DETAIL", "fine": "many"}, "fine"),
        ({"task": "WIRE_DETAIL", "colour": "red"}, "colour"),
        ({"task": "WIRE_DETAIL", "group": "G99"}, "group"),
        ({"task": "WIRE_DETAIL", "amount": 5}, "amount"),
        ({"task": "WIRE_DETAIL", "fine": None}, "fine"),
        ({"task": "WIRE_DETAIL", "fine": 1e6}, "fine"),
        ({"task": "WIRE_DETAIL", "skill": "wizard"}, "skill"),
        ({"task": "WIRE_DETAIL", "stage": "old"}, "stage"),
        ({}, "task"),
    ],
)
def test_wrong_input_is_a_problem_that_names_the_field(client, data, field):
    answer = ask(client, **data)
    assert answer.status_code == 400
    assert answer["Content-Type"] == "application/problem+json"
    body = answer.json()
    assert (body["status"], body["field"], body["code"]) == (400, field, "field_wrong")
    assert body["detail"]


def test_broken_json_is_a_problem(client):
    answer = client.post(URL, "{", content_type="application/json")
    assert (answer.status_code, answer.json()["code"]) == (400, "parse_error")


@pytest.mark.parametrize(
    "field", ["fine", "branches_total", "wire_m", "pot_litres", "height_cm", "diameter_mm"]
)
@pytest.mark.parametrize("number", ["NaN", "Infinity", "1e999", '"nan"', '"inf"'])
def test_what_is_no_number_gives_no_estimate(client, field, number):
    body = f'{{"task": "WIRE_DETAIL", "{field}": {number}}}'
    answer = client.post(URL, body, content_type="application/json")
    assert answer.status_code == 400
    assert answer["Content-Type"] == "application/problem+json"


def test_a_list_instead_of_an_object_is_a_problem(client):
    answer = client.post(URL, "[1]", content_type="application/json")
    assert answer.status_code == 400
    assert answer["Content-Type"] == "application/problem+json"


def test_nobody_asks_without_signing_in_and_a_form_from_elsewhere_is_refused():
    assert ask(Client(), **ASKED).status_code == 401
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(MemberFactory().account)
    answer = ask(strict, **ASKED)
    assert (answer.status_code, answer["Content-Type"]) == (403, "application/problem+json")


def test_only_asking_is_done_here(client):
    assert client.get(URL).status_code == 405
