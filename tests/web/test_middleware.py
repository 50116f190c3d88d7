"""Headers of every answer, and what the log may say about a request."""

from __future__ import annotations

import json
import logging
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory, override_settings
from django.urls import path

from collection.conf.logging import JsonLines
from collection.web.middleware import AddRequestId, RequestId, SecurityHeaders, given_id, shown_path
from tests.factories import MemberFactory


class Lines(logging.Handler):
    """Keeps what the real formatter and filter make of each record."""

    def __init__(self) -> None:
        super().__init__()
        self.addFilter(AddRequestId())
        self.setFormatter(JsonLines())
        self.texts: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.texts.append(self.format(record))

    @property
    def last(self) -> dict[str, object]:
        return json.loads(self.texts[-1])


@pytest.fixture
def lines() -> Iterator[Lines]:
    handler = Lines()
    logger = logging.getLogger("teire")
    before = logger.level
    logger.addHandler(handler)
    logger.setLevel(logging.INFO)
    yield handler
    logger.removeHandler(handler)
    logger.setLevel(before)


def answer(request: HttpRequest) -> HttpResponse:
    return HttpResponse("ok")


def breaks(request: HttpRequest) -> HttpResponse:
    raise RuntimeError("Ana's telephone number")


def sorry(request: HttpRequest) -> HttpResponse:
    return HttpResponse("sorry", status=500)


urlpatterns = [path("breaks/", breaks)]
handler500 = sorry


def ask(address: str, **headers: str) -> tuple[HttpRequest, HttpResponse]:
    request = RequestFactory().get(address, headers=headers)
    return request, RequestId(answer)(request)


def test_every_answer_forbids_inline_code_and_foreign_frames() -> None:
    response = SecurityHeaders(answer)(RequestFactory().get("/"))
    policy = dict(part.strip().split(" ", 1) for part in response["Content-Security-Policy"].split(";"))
    assert policy == {
        "default-src": "'self'",
        "object-src": "'none'",
        "base-uri": "'none'",
        "frame-ancestors": "'none'",
        "form-action": "'self'",
    }
    assert "unsafe" not in response["Content-Security-Policy"]
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Referrer-Policy"] == "same-origin"
    assert response["Cross-Origin-Opener-Policy"] == "same-origin"
    assert "camera=()" in response["Permissions-Policy"]


def test_a_line_says_which_request_what_came_of_it_and_for_which_club(lines: Lines) -> None:
    request = RequestFactory().get("/season/", {"token": "secret"})
    request.actor = SimpleNamespace(club_id=7, name="Not For The Log")  # type: ignore[attr-defined]
    response = RequestId(answer)(request)
    line = lines.last
    assert isinstance(line.pop("ms"), int)
    assert line.pop("at")
    assert line == {
        "level": "info",
        "logger": "teire.request",
        "event": "request",
        "request_id": response["X-Request-ID"],
        "method": "GET",
        "path": "/season/",
        "status": 200,
        "club": 7,
    }


def test_a_line_break_in_a_name_cannot_forge_a_line(lines: Lines) -> None:
    forged = 'Ana\n{"level":"error","event":"forged"}\r\u2028'
    logging.getLogger("teire.test").warning("greeting %s", forged)
    ask("/trees/%0A%7B%22event%22:%22forged%22%7D/")
    assert len(lines.texts) == 2
    assert all(len(text.splitlines()) == 1 for text in lines.texts)
    assert json.loads(lines.texts[0])["event"] == f"greeting {forged}"
    assert lines.last["event"] == "request"


def test_a_secret_in_the_path_or_the_query_stays_out_of_the_log(lines: Lines) -> None:
    token = "cxq1f2-9b1b6c0a4e0f4d2a8c7e6f5a4b3c2d1e"
    ask(f"/password/set/MQ/{token}/?next={token}")
    assert token not in lines.texts[-1]
    assert lines.last["path"] == "/password/set/MQ/.../"
    assert shown_path("/trees/NB-2019-014/sittings/") == "/trees/NB-2019-014/sittings/"


def test_djangos_own_line_about_a_request_is_shortened_too(lines: Lines) -> None:
    token = "9b1b6c0a4e0f4d2a8c7e6f5a4b3c2d1e"
    request = RequestFactory().get(f"/set/{token}/")
    logging.getLogger("teire.test").error("%s: %s", "Forbidden", request.path, extra={"request": request})
    assert lines.last["event"] == "Forbidden: /set/.../"


def test_an_error_is_logged_by_kind_and_place_without_its_words(lines: Lines) -> None:
    try:
        raise LookupError("ana@example.org")
    except LookupError:
        logging.getLogger("teire.test").exception("could not do it")
    assert lines.last["error"] == "LookupError"
    assert "test_middleware.py" in str(lines.last["where"])
    assert "ana@example.org" not in lines.texts[-1]


@override_settings(ROOT_URLCONF="tests.web.test_middleware", DEBUG=False)
def test_an_unexpected_error_of_a_page_leaves_its_place_and_its_request_in_the_log(lines: Lines) -> None:
    response = Client(raise_request_exception=False).get("/breaks/")
    error, request = (json.loads(text) for text in lines.texts)
    assert response.status_code == 500
    assert (error["error"], error["path"]) == ("RuntimeError", "/breaks/")
    assert error["where"][-1].endswith(" breaks")
    assert "Ana" not in lines.texts[0]
    assert (request["status"], request["level"]) == (500, "error")
    assert error["request_id"] == request["request_id"] == response["X-Request-ID"]


def test_extra_values_outside_the_list_are_not_written(lines: Lines) -> None:
    logging.getLogger("teire.test").warning("sent", extra={"email": "ana@example.org", "plan": 4})
    assert "example.org" not in lines.texts[-1]
    assert lines.last["plan"] == 4


def test_the_number_a_proxy_gave_is_kept_only_when_it_is_plain() -> None:
    assert ask("/", **{"X-Request-ID": "0c5e7e9a-front-1"})[1]["X-Request-ID"] == "0c5e7e9a-front-1"
    odd = RequestFactory().get("/", headers={"X-Request-ID": "a b\u2028forged"})
    assert given_id(odd) == ""
    assert len(ask("/")[1]["X-Request-ID"]) == 16


def test_a_number_ends_with_its_request(lines: Lines) -> None:
    ask("/")
    logging.getLogger("teire.test").warning("after")
    assert "request_id" not in lines.last


EVENTS = [("teire.start", "up\nand running"), ("elsewhere", "short of water")]


def _log_two_lines(root: Path, **env: str) -> str:
    """Start a process on our settings that logs twice; returns its standard error."""
    code = (
        "import django, logging; django.setup(); "
        "logging.getLogger('teire.start').info('up\\nand running'); "
        "logging.getLogger('elsewhere').warning('short of %s', 'water')"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=root,
        capture_output=True,
        text=True,
        check=True,
        env={name: value for name, value in os.environ.items() if name != "DATABASE_URL"} | env,
    )
    return done.stderr


def _events(lines: str) -> list[tuple[str, str]]:
    written = [json.loads(text) for text in lines.splitlines()]
    return [(line["logger"], line["event"]) for line in written]


def test_one_machine_keeps_its_lines_in_a_file_and_leaves_the_screen_to_people(
    root: Path, tmp_path: Path
) -> None:
    assert _log_two_lines(root, TEIRE_DATA_DIR=str(tmp_path)) == ""
    assert _events((tmp_path / "teire.log").read_text(encoding="utf-8")) == EVENTS


def test_a_server_writes_json_lines_on_standard_error(root: Path, tmp_path: Path) -> None:
    said = _log_two_lines(
        root, DATABASE_URL=f"sqlite:///{tmp_path / 'a.sqlite3'}", TEIRE_DATA_DIR=str(tmp_path)
    )
    assert _events(said) == EVENTS


@pytest.mark.django_db
@pytest.mark.parametrize("address", ["/trees?q=%00", "/trees?group=%00&stage=%00", "/people?q=a%00b"])
def test_the_character_0_in_a_query_is_left_out(address):
    browser = Client()
    browser.force_login(MemberFactory(coordinator=True).account)
    answer = browser.get(address)
    assert answer.status_code == 200
    assert b"\x00" not in answer.content
