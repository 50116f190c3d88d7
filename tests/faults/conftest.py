"""A real database for real processes: migrated once, copied for each test."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults.real import Migrated, Real, migrated
from tests.mailsink import Server


@pytest.fixture(scope="session")
def an_empty_one(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Migrated]:
    with migrated(tmp_path_factory.mktemp("migrated")) as found:
        yield found


@pytest.fixture
def real(an_empty_one: Migrated, tmp_path: Path) -> Iterator[Real]:
    """Starts processes on a database of this test's own."""
    with an_empty_one.copy(tmp_path) as found:
        yield found


@pytest.fixture
def server() -> Iterator[Server]:
    """A mail server that keeps what it gets."""
    with Server() as found:
        yield found
