"""Back the house up, look whether a backup is good, and put one back."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from collection.queries.errors import Refused
from collection.usecases.keeping import archive, embedded, server
from collection.usecases.keeping.archive import Contents
from collection.usecases.keeping.digest import Digests, differing

NAMED = "teire-%Y%m%d-%H%M%S.zip"


@dataclass(frozen=True, slots=True)
class Kept:
    """A backup that was written and read back."""

    path: Path
    contents: Contents


def folder() -> Path:
    """Where backups lie when nobody says otherwise."""
    return Path(settings.DATA_DIR) / "backups"


def back_up(to: Path, now: datetime, *, named: str = NAMED) -> Kept:
    """Write one file with database and pictures, then read it back and compare.

    Others may go on working meanwhile: the file holds one moment.

    Raises:
        Refused: ``nothing_to_keep``, ``copy_damaged``, ``backup_damaged``, ``tool_missing``, ``tool_failed``.
    """
    if not MigrationLoader(connection).applied_migrations:
        raise Refused("nothing_to_keep", kind="conflict")
    to.mkdir(parents=True, exist_ok=True)
    media = Path(settings.MEDIA_ROOT)
    with _scratch() as scratch:
        database = scratch / ("database.sqlite3" if _is_embedded() else "database.dump")
        tables = _copy_out(database)
        files = {database.name: archive.file_digest(database)}
        files |= {archive.inside(p, media): archive.file_digest(p) for p in archive.pictures(media)}
        contents = Contents(
            made_at=now.astimezone(UTC).isoformat(timespec="seconds"),
            kind=connection.vendor,
            database=database.name,
            tables=tables,
            migrations=sorted(f"{a}.{n}" for a, n in MigrationLoader(connection).applied_migrations),
            files=files,
        )
        target = to / now.strftime(named)
        archive.write(target, contents, database, media)
    with _scratch() as scratch:
        _read_back(target, scratch)
    return Kept(target, contents)


def forget_old(in_folder: Path, keep: int) -> int:
    """Remove all but the newest backups of a folder; the number removed."""
    old = sorted(in_folder.glob("teire-*.zip"))[:-keep] if keep > 0 else []
    for path in old:
        path.unlink()
    return len(old)


def check(source: Path) -> Contents:
    """Put a backup back somewhere else and compare every table; the live house is not touched.

    Raises:
        Refused: As ``put_back``, and ``no_scratch_database``.
    """
    with _scratch() as scratch:
        contents = _read_back(source, scratch)
        if not _is_embedded():
            with server.scratch_database() as name:
                server.put_in_place(scratch / contents.database, scratch, name)
                _same(contents, server.digests(name))
    return contents


def put_back(source: Path, now: datetime) -> tuple[Contents, Kept | None]:
    """Make the house hold what the backup holds, after keeping what it holds now.

    Everybody has to sign in again afterwards.

    Returns:
        What was put back, and the backup of what was there before (None when there was nothing).

    Raises:
        Refused: ``backup_missing``, ``not_a_backup``, ``backup_damaged``, ``backup_of_other_kind``,
            ``backup_is_newer``, ``database_busy``, ``tool_missing``, ``tool_failed``, ``restore_differs``.
    """
    with _scratch() as scratch:
        contents = _read_back(source, scratch)
        before = None
        if MigrationLoader(connection).applied_migrations:
            before = back_up(folder(), now, named="before-restore-%Y%m%d-%H%M%S.zip")
        copied = scratch / contents.database
        if _is_embedded():
            embedded.live_path().parent.mkdir(parents=True, exist_ok=True)
            embedded.put_in_place(copied)
        else:
            server.put_in_place(copied, scratch)
        _same(contents, _digests_now())
        _pictures_in_place(scratch / "media", now)
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM django_session")
    return contents, before


def _is_embedded() -> bool:
    return connection.vendor == "sqlite"


def _copy_out(target: Path) -> Digests:
    if _is_embedded():
        embedded.copy(embedded.live_path(), target)
        return embedded.digests(target)
    return server.dump(target)


def _digests_now() -> Digests:
    return embedded.digests(embedded.live_path()) if _is_embedded() else server.digests()


def _read_back(source: Path, scratch: Path) -> Contents:
    """Unpack a backup, every file compared, and see that it can be used here."""
    contents = archive.read(source)
    if contents.kind != connection.vendor:
        raise Refused("backup_of_other_kind", kind="conflict", made=contents.kind, here=connection.vendor)
    known = {f"{app}.{name}" for app, name in MigrationLoader(None).disk_migrations}
    if newer := sorted(set(contents.migrations) - known):
        raise Refused("backup_is_newer", kind="conflict", first=newer[0])
    archive.unpack(source, contents, scratch)
    if _is_embedded():
        embedded.examine(scratch / contents.database)
        _same(contents, embedded.digests(scratch / contents.database))
    else:
        server.readable(scratch / contents.database)
    return contents


def _same(contents: Contents, found: Digests) -> None:
    if other := differing(contents.tables, found):
        raise Refused("restore_differs", kind="conflict", table=other[0], count=len(other))


def _pictures_in_place(coming: Path, now: datetime) -> None:
    """Swap the folder of pictures; the old one stays beside it under another name."""
    media = Path(settings.MEDIA_ROOT)
    coming.mkdir(exist_ok=True)
    ready = media.with_name("media.coming")
    shutil.rmtree(ready, ignore_errors=True)
    shutil.copytree(coming, ready)
    if media.exists():
        if any(media.iterdir()):
            media.rename(media.with_name(now.strftime("media.before-%Y%m%d-%H%M%S")))
        else:
            media.rmdir()
    ready.rename(media)


@contextmanager
def _scratch() -> Iterator[Path]:
    """A private folder beside the data, so that it has room for a copy and the same rights."""
    Path(settings.DATA_DIR).mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="keeping-", dir=settings.DATA_DIR) as name:
        yield Path(name)
