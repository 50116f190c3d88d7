"""A house is backed up, loses something, and gets it back, by the commands a person would type."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.keeping.house import House, house_in

TREES = "SELECT count(*) FROM collection_tree"
NAMES = "SELECT accession, species FROM collection_tree ORDER BY id"


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    with house_in(tmp_path_factory.mktemp("house")) as made:
        made.found()
        (made.folder / "media" / "trees").mkdir(parents=True)
        (made.folder / "media" / "trees" / "front.jpg").write_bytes(b"a picture" * 1000)
        yield made


@pytest.fixture(scope="module")
def backup(house: House) -> Path:
    said = house.run("backup")
    assert "60 trees, 12 people, 55 sittings, 1 pictures" in said
    assert "every file and every table is as it was written" in said
    (made,) = (house.folder / "backups").glob("teire-*.zip")
    return made


def contents(file: Path) -> dict[str, object]:
    with zipfile.ZipFile(file) as found:
        return json.loads(found.read("contents.json"))


def test_only_its_owner_may_read_a_backup(backup: Path):
    assert backup.stat().st_mode & 0o077 == 0


def test_a_check_changes_nothing_and_says_what_is_inside(house: House, backup: Path):
    before = house.ask(NAMES)
    said = house.run("restore", str(backup), "--check")
    assert "can be put back: 60 trees, 12 people" in said
    assert house.ask(NAMES) == before
    assert not list((house.folder / "backups").glob("before-restore-*"))


def test_what_was_lost_comes_back_and_what_was_there_is_kept(house: House, backup: Path):
    before, picture = house.ask(NAMES), house.folder / "media" / "trees" / "front.jpg"
    house.ask("UPDATE collection_tree SET species = 'lost'")
    picture.write_bytes(b"spoilt")
    said = house.run("restore", str(backup))
    assert "Put back as of" in said
    assert house.ask(NAMES) == before
    assert picture.read_bytes() == b"a picture" * 1000
    (kept,) = (house.folder / "backups").glob("before-restore-*.zip")
    (old_pictures,) = house.folder.glob("media.before-*")
    assert (old_pictures / "trees" / "front.jpg").read_bytes() == b"spoilt"
    house.run("restore", str(kept))
    assert house.ask("SELECT DISTINCT species FROM collection_tree") == [("lost",)]
    house.run("restore", str(backup))
    assert house.ask(NAMES) == before


def test_the_walls_between_clubs_stand_after_a_restore(house: House, backup: Path):
    house.run("restore", str(backup))
    held = {
        True: "SELECT count(*) FROM pg_constraint WHERE conname LIKE 'wall%'",
        False: "SELECT count(*) FROM sqlite_master WHERE type = 'trigger'",
    }[bool(house.url)]
    assert int(str(house.ask(held)[0][0])) > 20
    assert house.run("migrate", "--check") == ""


def test_a_damaged_backup_is_refused_before_anything_changes(house: House, backup: Path, tmp_path: Path):
    before = house.ask(NAMES)
    whole = backup.read_bytes()
    for place in (len(whole) // 3, len(whole) // 2):
        spoilt = tmp_path / f"spoilt-{place}.zip"
        spoilt.write_bytes(whole[:place] + bytes([whole[place] ^ 0xFF]) + whole[place + 1 :])
        assert "is damaged" in house.run("restore", str(spoilt), fails=True)
    cut = tmp_path / "cut.zip"
    cut.write_bytes(whole[: len(whole) // 2])
    assert "is not a backup" in house.run("restore", str(cut), fails=True)
    assert "There is no file" in house.run("restore", str(tmp_path / "none.zip"), fails=True)
    assert house.ask(NAMES) == before


def test_an_altered_table_inside_is_seen_although_the_file_is_whole(
    house: House, backup: Path, tmp_path: Path
):
    altered = tmp_path / "altered.zip"
    with zipfile.ZipFile(backup) as old, zipfile.ZipFile(altered, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "contents.json":
                listed = json.loads(data)
                listed["tables"]["collection_tree"][1] = "0" * 64
                data = json.dumps(listed).encode()
            new.writestr(name, data)
    assert "collection_tree is not as it was written" in house.run(
        "restore", str(altered), "--check", fails=True
    )


def test_a_backup_of_a_newer_version_or_another_kind_is_refused(house: House, backup: Path, tmp_path: Path):
    for change, said in (
        ({"migrations": ["collection.9999_later"]}, "newer version"),
        ({"kind": "sqlite" if house.url else "postgresql"}, "kind it was made on"),
    ):
        other = tmp_path / "other.zip"
        with zipfile.ZipFile(backup) as old, zipfile.ZipFile(other, "w") as new:
            for name in old.namelist():
                data = old.read(name)
                new.writestr(name, json.dumps(contents(backup) | change) if name == "contents.json" else data)
        assert said in " ".join(house.run("restore", str(other), fails=True).split())


def test_everybody_signs_in_again_after_a_restore(house: House, backup: Path):
    expire = "'2099-01-01 00:00:00'"
    house.ask(f"INSERT INTO django_session VALUES ('abc', 'data', {expire})")
    house.run("restore", str(backup))
    assert house.ask("SELECT count(*) FROM django_session")[0][0] == 0


def test_only_the_newest_backups_are_kept(house: House, backup: Path, tmp_path: Path):
    for day in (1, 2, 3):
        (tmp_path / f"teire-2026010{day}-090000.zip").write_bytes(b"old")
    said = house.run("backup", f"--to={tmp_path}", "--keep=2")
    assert "Older backups removed: 2." in said
    kept = sorted(path.name[:14] for path in tmp_path.glob("*.zip"))
    assert len(kept) == 2
    assert kept[0] == "teire-20260103"


def test_a_house_without_a_database_says_that_there_is_nothing_to_keep(tmp_path: Path):
    with house_in(tmp_path / "empty") as empty:
        assert "nothing to keep" in empty.run("backup", fails=True)


def test_a_backup_makes_a_house_of_an_empty_folder(house: House, backup: Path, tmp_path: Path):
    with house_in(tmp_path / "fresh") as fresh:
        fresh.run("restore", str(backup))
        assert fresh.ask(NAMES) == house.ask(NAMES)
        assert fresh.ask(TREES)[0][0] == 60
        assert "60 trees" in fresh.run("backup")
