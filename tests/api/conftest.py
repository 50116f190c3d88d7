"""Programs that ask: each signed in with a browser's cookie or with a key."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from django.core.cache import cache
from django.http import HttpResponse
from django.test import Client

from collection.models import Member
from collection.usecases.program_keys import make_key
from tests.factories import MemberFactory, actor_of


class Program:
    """Asks in JSON, with a new request key for each write unless told one."""

    def __init__(self, member: Member | None = None, *, secret: str = "") -> None:
        self.browser = Client(raise_request_exception=True)
        self.headers = {"Authorization": f"Bearer {secret}"} if secret else {}
        self.written = 0
        if member is not None:
            self.browser.force_login(member.account)

    def get(self, path: str, **query: Any) -> HttpResponse:
        return self.browser.get(f"/api/v1/{path}", query, headers=self.headers)

    def send(self, method: str, path: str, body: Any = None, **headers: str) -> HttpResponse:
        self.written += 1
        sent = {"Idempotency-Key": f"request-{id(self)}-{self.written}"} | self.headers
        sent |= {name.replace("_", "-"): value for name, value in headers.items()}
        return self.browser.generic(
            method,
            f"/api/v1/{path}",
            "" if body is None else json.dumps(body),
            content_type="application/json",
            headers={name: value for name, value in sent.items() if value},
        )

    def post(self, path: str, body: Any = None, **headers: str) -> HttpResponse:
        return self.send("POST", path, body, **headers)

    def patch(self, path: str, body: Any = None, **headers: str) -> HttpResponse:
        return self.send("PATCH", path, body, **headers)


@pytest.fixture(autouse=True)
def _fresh_counts() -> Iterator[None]:
    """What was counted of requests before is forgotten."""
    cache.clear()
    yield
    cache.clear()


@pytest.fixture
def planner(db: None) -> Member:
    """A coordinator."""
    return MemberFactory(coordinator=True)


@pytest.fixture
def program(planner: Member) -> Program:
    """A coordinator's program, with the cookie of his browser."""
    return Program(planner)


def keyed(member: Member, *, reads_only: bool = False) -> Program:
    """A program with a key of the member's."""
    _, secret = make_key(actor=actor_of(member), name="Sheet", days=30, reads_only=reads_only)
    return Program(secret=secret)
