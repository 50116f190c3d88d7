"""One file that holds the house: a list of contents, the database, the pictures."""

from __future__ import annotations

import hashlib
import json
import os
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from collection.queries.errors import Refused
from collection.usecases.keeping.digest import Digests

CONTENTS = "contents.json"
PIECE = 1 << 20
# What the zip reader says of a file that is damaged, locked, or packed in a way it does not know.
UNREADABLE = (zipfile.BadZipFile, zlib.error, OSError, EOFError, RuntimeError)


@dataclass(frozen=True, slots=True)
class Contents:
    """What a backup holds.

    Attributes:
        made_at: ISO time in UTC.
        kind: ``sqlite`` or ``postgresql``.
        database: Name of the database inside the file.
        tables: Rows and digest of each table.
        migrations: "app.name" of every migration that had run.
        files: Digest (SHA-256) of each file inside, by its name.
    """

    made_at: str
    kind: str
    database: str
    tables: Digests
    migrations: list[str]
    files: dict[str, str]

    def rows(self, table: str) -> int:
        """Rows of one of our tables."""
        return self.tables.get(f"collection_{table}", (0, ""))[0]


def write(target: Path, contents: Contents, database: Path, media: Path) -> None:
    """Write the file under another name and move it into place when it is whole and on the disk."""
    half = target.with_name(target.name + ".part")
    half.touch(mode=0o600)
    with zipfile.ZipFile(half, "w", zipfile.ZIP_DEFLATED, allowZip64=True) as into:
        into.writestr(CONTENTS, json.dumps(asdict(contents), indent=1))
        into.write(database, contents.database)
        for path in pictures(media):
            into.write(path, inside(path, media))
    with half.open("rb") as written:
        os.fsync(written.fileno())
    half.replace(target)


def read(source: Path) -> Contents:
    """The list of contents.

    Raises:
        Refused: ``not_a_backup`` or ``backup_missing``.
    """
    try:
        with zipfile.ZipFile(source) as found:
            data: dict[str, Any] = json.loads(found.read(CONTENTS))
        data["tables"] = {name: (int(rows), str(digest)) for name, (rows, digest) in data["tables"].items()}
        data["files"] = {str(name): str(digest) for name, digest in data["files"].items()}
        data["migrations"] = [str(name) for name in data["migrations"]]
        return Contents(**data)
    except FileNotFoundError:
        raise Refused("backup_missing", kind="not_found", file=str(source)) from None
    except (*UNREADABLE, AttributeError, KeyError, TypeError, ValueError):
        raise Refused("not_a_backup", file=source.name) from None


def unpack(source: Path, contents: Contents, folder: Path) -> None:
    """Lay every file of the backup into a folder, each compared with its digest.

    Raises:
        Refused: ``backup_damaged`` naming the file inside that is not as it was written.
    """
    with zipfile.ZipFile(source) as found:
        names = set(found.namelist()) - {CONTENTS}
        if names != set(contents.files):
            odd = sorted(names ^ set(contents.files))[0]
            raise Refused("backup_damaged", kind="conflict", file=odd)
        for name, digest in contents.files.items():
            if PurePosixPath(name).is_absolute() or ".." in PurePosixPath(name).parts:
                raise Refused("backup_damaged", kind="conflict", file=name)
            target = folder / name
            target.parent.mkdir(parents=True, exist_ok=True)
            try:
                with found.open(name) as old, target.open("wb") as new:
                    while piece := old.read(PIECE):
                        new.write(piece)
            except UNREADABLE:
                raise Refused("backup_damaged", kind="conflict", file=name) from None
            if file_digest(target) != digest:
                raise Refused("backup_damaged", kind="conflict", file=name)


def file_digest(path: Path) -> str:
    """SHA-256 of a file."""
    with path.open("rb") as found:
        return hashlib.file_digest(found, "sha256").hexdigest()


def pictures(media: Path) -> Iterator[Path]:
    """Every file under the folder of pictures, in order of their names."""
    if media.is_dir():
        yield from sorted(path for path in media.rglob("*") if path.is_file())


def inside(path: Path, media: Path) -> str:
    """The name of a picture inside the backup."""
    return f"media/{path.relative_to(media).as_posix()}"
