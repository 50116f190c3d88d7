"""Every refusal is a problem of one shape, whoever refuses."""

from __future__ import annotations

import json

import pytest
from django.core.exceptions import SuspiciousOperation
from django.test import Client

from api import me, parsers
from collection.models import Site
from tests.api.conftest import Program, keyed
from tests.factories import MemberFactory

pytestmark = pytest.mark.django_db
WORK = {"task": "WIRE_DETAIL", "fine": 40}


def problem(answer, status: int) -> dict:
    body = json.loads(answer.content)
    assert (answer.status_code, answer["Content-Type"]) == (status, "application/problem+json")
    assert set(body) - {"field", "errors"} == {"type", "title", "status", "detail", "code"}
    assert body["status"] == status
    assert body["type"] == f"/api/v1/#{body['code']}"
    assert body["detail"].endswith((".", ":")) or body["detail"][-1] in ".:"
    return body


@pytest.mark.parametrize("path", ["nothing", "trees/x", "me/", "estimates/4", "trees/99999999999999999999"])
def test_an_address_that_leads_nowhere(program, path):
    assert problem(program.get(path), 404)["code"] == "not_found"


def test_a_method_that_is_not_served_names_those_that_are(program):
    answer = program.send("PUT", "me", {})
    assert problem(answer, 405)["code"] == "method_not_allowed"
    assert answer["Allow"] == "GET, HEAD"


def test_an_answer_that_is_no_json_is_not_to_be_had(program):
    answer = program.browser.get("/api/v1/me", headers={"Accept": "text/csv"})
    assert problem(answer, 406)["code"] == "not_acceptable"


def test_a_form_is_no_body(program):
    answer = program.browser.post("/api/v1/estimates", WORK)
    assert problem(answer, 415)["code"] == "unsupported_media_type"


@pytest.mark.parametrize(
    "body", [b"{", b'{"task": NaN}', b"\xff\xfe", b"[" * 100_000, b'{"fine": ' + b"9" * 5000 + b"}", b"nul"]
)
def test_what_is_no_json_is_told_so(program, body):
    answer = program.browser.post("/api/v1/estimates", body, content_type="application/json")
    assert problem(answer, 400)["code"] == "parse_error"


def test_a_body_of_more_than_a_megabyte_is_too_long(program):
    body = json.dumps({"task": "x" * parsers.MOST_BYTES})
    answer = program.browser.post("/api/v1/estimates", body, content_type="application/json")
    assert problem(answer, 413)["code"] == "body_too_long"


def test_every_faulty_field_is_named_by_its_pointer(program):
    body = problem(program.post("estimates", {"task": 5, "fine": "many", "group": None}), 400)
    assert body["code"] == "field_wrong"
    assert {fault["pointer"] for fault in body["errors"]} == {"#/task", "#/fine", "#/group"}
    assert body["field"] in ("task", "fine", "group")


def test_unknown_fields_are_named_and_refused(program):
    body = problem(program.post("estimates", WORK | {"colour": 1, "a/b~c": 2}), 400)
    assert {fault["pointer"] for fault in body["errors"]} == {"#/colour", "#/a~1b~0c"}


def test_unknown_and_doubled_parameters_are_refused(program):
    assert problem(program.get("me", colour=1), 400)["code"] == "parameter_unknown"


def test_a_key_that_only_reads_may_not_write_but_may_ask_how_long_it_takes(planner):
    program = keyed(planner, reads_only=True)
    assert program.post("estimates", WORK).status_code == 200
    sites = Site.objects.filter(club=planner.club)
    there = sites.count()
    made = program.post("sites", {"name": "Orchard", "kind": "home"})
    assert problem(made, 403)["code"] == "key_reads_only"
    assert sites.count() == there
    assert keyed(planner).post("sites", {"name": "Orchard", "kind": "home"}).status_code == 201


def test_a_form_from_elsewhere_is_refused():
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(MemberFactory().account)
    answer = strict.post("/api/v1/estimates", json.dumps(WORK), content_type="application/json")
    assert problem(answer, 403)["code"] == "permission_denied"


def test_too_many_requests_are_told_when_to_come_again(program, settings):
    settings.API_READS_A_MINUTE = 2
    answers = [program.get("me") for _ in range(3)]
    assert [answer.status_code for answer in answers] == [200, 200, 429]
    assert problem(answers[2], 429)["code"] == "throttled"
    assert 0 < int(answers[2]["Retry-After"]) <= 60


def test_writes_are_counted_apart_from_reads(program, settings):
    settings.API_READS_A_MINUTE, settings.API_WRITES_A_MINUTE = 1, 1
    assert [program.get("me").status_code, program.get("me").status_code] == [200, 429]
    asked = [program.post("estimates", WORK).status_code for _ in range(2)]
    assert asked == [200, 429]


def test_one_persons_requests_do_not_use_up_anothers(planner, settings):
    settings.API_READS_A_MINUTE = 1
    assert keyed(planner).get("me").status_code == 200
    assert keyed(MemberFactory(club=planner.club)).get("me").status_code == 200


def test_a_cache_that_cannot_be_reached_counts_nothing(program, settings, refused_port):
    settings.API_READS_A_MINUTE = 1
    away = {
        "BACKEND": "django.core.cache.backends.redis.RedisCache",
        "LOCATION": f"redis://127.0.0.1:{refused_port}/0",
    }
    settings.CACHES = settings.CACHES | {"asked": away}
    assert [program.get("me").status_code for _ in range(2)] == [200, 200]


@pytest.mark.parametrize(
    ("error", "status", "code"),
    [(SuspiciousOperation("odd"), 400, "request_refused"), (ZeroDivisionError(), 500, "server_error")],
)
def test_what_nobody_expected_is_a_problem_too(planner, monkeypatch, error, status, code):
    def broken(*_: object) -> None:
        raise error

    monkeypatch.setattr(me.Me, "initial", broken)
    program = Program(planner)
    program.browser.raise_request_exception = False
    assert problem(program.get("me"), status)["code"] == code
