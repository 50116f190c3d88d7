"""An embedded database is copied before its tables change."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from tests.keeping.house import House


def test_a_copy_with_every_row_is_kept_before_the_tables_change_and_only_the_newest_five(tmp_path: Path):
    house = House(tmp_path, "")
    house.run("migrate", "collection", "0001")
    house.ask(
        "INSERT INTO collection_club (version, name, latitude, longitude, altitude_m, zone, last_frost,"
        " first_frost, weeks_later, inches, settings, sample, created_at) VALUES"
        " (1, 'Hill Street', 51.2, 0, 0, 'UTC', '', '', '{}', 0, '{}', 0, '2026-01-01')"
    )
    (tmp_path / "copies").mkdir()
    for n in range(7):
        (tmp_path / "copies" / f"before-older-{n}.sqlite3").touch()
    said = house.run("migrate")
    (kept,) = (tmp_path / "copies").glob("before-migration-*")
    assert str(kept) in said
    assert len(list((tmp_path / "copies").iterdir())) == 5
    with closing(sqlite3.connect(kept)) as old:
        assert old.execute("SELECT name FROM collection_club").fetchall() == [("Hill Street",)]
        columns = {row[1] for row in old.execute("PRAGMA table_info(collection_workday)")}
        triggers = old.execute("SELECT count(*) FROM sqlite_master WHERE type = 'trigger'").fetchone()
    assert "cancelled_why" not in columns
    # The walls stood before, so they did not keep the tables from changing; and they stand again.
    assert triggers[0] > 100
    assert house.ask("SELECT count(*) FROM sqlite_master WHERE type = 'trigger'")[0][0] > triggers[0]
    assert house.ask("SELECT name FROM collection_club") == [("Hill Street",)]
    house.run("migrate")
    assert len(list((tmp_path / "copies").glob("before-migration-*"))) == 1


def test_a_new_database_has_nothing_to_copy(tmp_path: Path):
    House(tmp_path, "").run("migrate")
    assert not (tmp_path / "copies").exists()
