"""Two furnished clubs and people of every role, made once for all cells of a module."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
import time_machine
from django.conf import settings
from django.db import transaction
from django.test import Client

from collection.usecases import reference
from tests.factories import AccountFactory, SiteFactory
from tests.walls.asking import digests, modules
from tests.walls.cells import MEMBERS
from tests.walls.rows import NOW, Rows, furnish


@dataclass(frozen=True)
class House:
    """Our club, the other one, a key to the door for each role of ours, and the digest of each table."""

    ours: Rows
    theirs: Rows
    keys: dict[str, str]
    clean: dict[str, str]

    def browser(self, role: str, **options: Any) -> Client:
        """A fresh browser of somebody: nothing left of an earlier request."""
        client = Client(**options)
        if role in self.keys:
            client.cookies[settings.SESSION_COOKIE_NAME] = self.keys[role]
        return client

    def me(self, role: str) -> int | None:
        return self.ours.people[role].pk if role in MEMBERS else None


def furnished() -> Rows:
    """A new club with a row of everything, those of the modules of cells too."""
    rows = furnish(SiteFactory().club)
    for module in modules():
        if module.__name__ != "tests.walls.rows" and hasattr(module, "furnish"):
            module.furnish(rows)
    return rows


def _key(account: Any) -> str:
    client = Client()
    client.force_login(account)
    return client.cookies[settings.SESSION_COOKIE_NAME].value


@pytest.fixture(scope="module")
def _house(django_db_setup: None, django_db_blocker: Any) -> Iterator[House]:
    with django_db_blocker.unblock(), time_machine.travel(NOW, tick=False):
        around = transaction.atomic()
        around._from_testcase = True  # type: ignore[attr-defined]
        around.__enter__()
        try:
            reference.load()
            ours, theirs = furnished(), furnished()
            accounts = {role: member.account for role, member in ours.people.items()}
            keys = {role: _key(account) for role, account in accounts.items()}
            keys["outsider"] = _key(AccountFactory())
            yield House(ours, theirs, keys, digests())
        finally:
            transaction.set_rollback(True)
            around.__exit__(None, None, None)


@pytest.fixture
def house(_house: House, db: None) -> House:
    """The two clubs; what a test writes is taken back after it."""
    return _house
