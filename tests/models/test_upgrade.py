"""A database in use, with its walls up, takes the later migrations; real processes, an embedded file."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from collection.models import walls

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def migrate(tmp_path: Path) -> Callable[[str], None]:
    def to(name: str) -> None:
        env = {k: v for k, v in os.environ.items() if k != "DATABASE_URL"}
        env |= {"TEIRE_DATA_DIR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "collection.conf.settings_test"}
        words = [sys.executable, "manage.py", "migrate", "collection", *([name] if name else [])]
        done = subprocess.run(words, cwd=ROOT, env=env, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr[-2000:]

    return to


def test_tables_are_rebuilt_under_walls_that_stand_again_afterwards(
    migrate: Callable[[str], None], tmp_path: Path
) -> None:
    migrate("")
    migrate("0001")  # back to the first tables, which takes the walls down
    migrate("")
    with sqlite3.connect(tmp_path / "teire.sqlite3") as file:
        names = {row[0] for row in file.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")}
    assert names == walls.expected("sqlite")
