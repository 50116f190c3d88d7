"""Shared by every test."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.core.cache import cache

ROOT = Path(__file__).resolve().parents[1]
# Folders whose tests import tools that only the full check installs, by the marker that asks for them.
ON_DEMAND = {"browser": "browser", "server": "server"}


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """A folder that is not asked for is not even read."""
    marker = ON_DEMAND.get(collection_path.name) if collection_path.parent == ROOT / "tests" else None
    asked = config.getoption("markexpr") or ""
    return True if marker and (marker not in asked or f"not {marker}" in asked) else None


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder of the project."""
    return ROOT


@pytest.fixture(scope="session", autouse=True)
def _static_folder() -> None:
    """The app that serves static files warns about a missing folder, and a warning is an error here."""
    Path(settings.STATIC_ROOT).mkdir(parents=True, exist_ok=True)


@pytest.fixture(autouse=True)
def _no_tries_counted() -> None:
    """No test is kept waiting because another one signed in often."""
    cache.clear()


@pytest.fixture
def refused_port() -> Iterator[int]:
    """A port of this machine that is taken but where nobody listens."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        yield taken.getsockname()[1]
