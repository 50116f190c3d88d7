"""A backup that is damaged in any way is refused in words, never with an error of the zip reader."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from collection.queries.errors import Refused
from collection.usecases.keeping import archive

GOOD = {
    "made_at": "2027-03-03T09:00:00+00:00", "kind": "sqlite", "database": "teire.sqlite3",
    "tables": {"collection_tree": [1, "a"]}, "migrations": ["collection.0001"],
    "files": {"teire.sqlite3": "b"},
}  # fmt: skip


def zipped(folder: Path, contents: object = GOOD) -> Path:
    path = folder / "backup.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as into:
        into.writestr(archive.CONTENTS, json.dumps(contents) + " " * 5000)
        into.writestr("teire.sqlite3", b"a row " * 5000)
    return path


def spoil(path: Path, name: str, change: Callable[[bytearray, int, int], None]) -> None:
    """Change a file inside: ``change(bytes, where its data begins, where its entry of the list begins)``."""
    with zipfile.ZipFile(path) as found:
        info = found.getinfo(name)
    data = bytearray(path.read_bytes())
    begins = info.header_offset + 30 + len(name)
    listed = data.rindex(name.encode()) - 46
    change(data, begins, listed)
    path.write_bytes(bytes(data))


def stream(data: bytearray, begins: int, listed: int) -> None:
    data[begins] ^= 0xFF


def locked(data: bytearray, begins: int, listed: int) -> None:
    data[listed + 8] |= 1


def method(data: bytearray, begins: int, listed: int) -> None:
    data[listed + 10] = 77


@pytest.mark.parametrize("change", [stream, locked, method])
def test_a_spoilt_list_of_contents_is_no_backup(tmp_path, change):
    path = zipped(tmp_path)
    spoil(path, archive.CONTENTS, change)
    with pytest.raises(Refused) as refused:
        archive.read(path)
    assert refused.value.reason.code == "not_a_backup"


@pytest.mark.parametrize("change", [stream, locked, method])
def test_a_spoilt_file_inside_is_named(tmp_path, change):
    path = zipped(tmp_path)
    contents = archive.read(path)
    spoil(path, "teire.sqlite3", change)
    with pytest.raises(Refused) as refused:
        archive.unpack(path, contents, tmp_path / "out")
    assert refused.value.reason.values["file"] == "teire.sqlite3"


@pytest.mark.parametrize(
    "wrong",
    [
        [],
        None,
        {},
        GOOD | {"tables": None},
        GOOD | {"tables": []},
        GOOD | {"files": []},
        GOOD | {"migrations": None},
    ],
)
def test_a_list_of_contents_of_another_shape_is_no_backup(tmp_path, wrong):
    with pytest.raises(Refused) as refused:
        archive.read(zipped(tmp_path, wrong))
    assert refused.value.reason.code == "not_a_backup"
