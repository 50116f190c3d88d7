from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from django.db import connection

from tests.usecases.importing import test_offers, test_trees
from tests.usecases.importing.sheets import Rows, text

pytestmark = pytest.mark.django_db(transaction=True)
PEOPLE: Rows = [
    ["Name", "E-mail", "Wiring", "First aid"],
    ["Eva Dale", "e@example.org", "expert", "yes"],
    ["Udo", "", "", ""],
]
# By kind: the rows, the table they go to, how many rows of it they make.
SHEETS: dict[str, tuple[Rows, str, int]] = {
    "trees": (test_trees.GOOD, "Tree", 2),
    "people": (PEOPLE, "Member", 2),
    "offers": (test_offers.GOOD, "Offer", 2),
}


def environment(folder: Path) -> dict[str, str]:
    """A SQLite file in the folder, with all tables; or this run's test database where that is a server."""
    given = os.environ | {"DJANGO_SETTINGS_MODULE": "collection.conf.settings_test"}
    given["TEIRE_DATA_DIR"] = str(folder)
    given.pop("DATABASE_URL", None)
    if connection.vendor == "postgresql":
        known = connection.settings_dict
        host = f"{known['HOST']}:{known['PORT']}" if known["PORT"] else known["HOST"]
        who = f"{known['USER']}:{known['PASSWORD']}" if known["PASSWORD"] else known["USER"]
        given["DATABASE_URL"] = f"postgres://{who}@{host}/{known['NAME']}"
    else:
        connection.ensure_connection()
        with closing(sqlite3.connect(folder / "teire.sqlite3")) as file:
            connection.connection.backup(file)
    return given


def test_a_process_killed_at_any_write_of_taking_a_file_in_leaves_nothing_of_it(
    tmp_path: Path, root: Path
) -> None:
    given = []
    for kind, (sheet, *_) in SHEETS.items():
        (tmp_path / f"{kind}.csv").write_bytes(text(sheet))
        given.append(f"{kind}={tmp_path / kind}.csv")
    run = subprocess.run(
        [sys.executable, "-m", "tests.usecases.importing.killed", *given],
        cwd=root,
        env=environment(tmp_path),
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    for kind, ends in json.loads(run.stdout).items():
        _, table, taken = SHEETS[kind]
        (_, before), *killed, (ended, after) = ends
        assert len(killed) >= 3  # at least the rows, their changes and the file itself
        assert {how for how, _ in killed} == {"killed"}
        assert [left for _, left in killed] == [before] * len(killed)
        # The next try, not killed, finds no lock and no half of the rows in its way.
        assert ended == "done"
        assert after[table] == before.get(table, 0) + taken
        assert after["Accepted"] == before.get("Accepted", 0) + 1
