"""Take files in again and again, each time in a process of its own that is killed after one more write.

The database is there already. Run as a program: ``python -m tests.usecases.importing.killed KIND=FILE ...``.
Writes JSON: by kind a list, for each process how it ended ("killed" or "done") and the rows of every table
afterwards.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import traceback
from datetime import date
from pathlib import Path
from typing import Any

import django

Ends = list[tuple[str, dict[str, int]]]


def main(files: list[str]) -> None:
    django.setup()
    pairs = [given.partition("=") for given in files]
    sys.stdout.write(json.dumps({kind: tries(kind, Path(file)) for kind, _, file in pairs}))


def tries(kind: str, file: Path) -> Ends:
    """One process after the other, in a new club, until one lives to the end."""
    from django.db import connection

    from collection.usecases.importing.accept import preview
    from tests.factories import ClubFactory, MemberFactory, SiteFactory, WorkdayFactory, coordinator
    from tests.usecases.importing.sheets import TODAY

    club = ClubFactory()
    actor = coordinator(club)
    for name in ("Ana Bell", "Ben Cole"):
        MemberFactory(club=club, name=name)
    WorkdayFactory(site=SiteFactory(club=club), date=date(2026, 12, 5))
    preview(
        actor=actor, data=file.read_bytes(), file_name=file.name, kind=kind, today=TODAY
    )  # loads all code
    found: Ends = [("before", rows())]
    while found[-1][0] != "done":
        connection.close()
        child = os.fork()
        if child == 0:
            try:
                take_in(actor, kind, file, len(found))
            except BaseException:
                traceback.print_exc()
                sys.stderr.flush()
            os._exit(1)
        _, status = os.waitpid(child, 0)
        if status not in (0, signal.SIGKILL):
            sys.exit(f"a process ended with {status}")
        found.append(("killed" if status else "done", rows()))
    return found


def take_in(actor: Any, kind: str, file: Path, last: int) -> None:
    """Accept the file; this process dies by SIGKILL right after its ``last``-th write."""
    from django.db import connection

    from collection.usecases.importing.accept import accept
    from tests.usecases.importing.sheets import TODAY

    made = 0

    def count(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        nonlocal made
        result = execute(sql, params, many, context)
        made += sql.startswith(("INSERT", "UPDATE", "DELETE"))
        if made == last:
            os.kill(os.getpid(), signal.SIGKILL)
        return result

    with connection.execute_wrapper(count):
        accept(actor=actor, data=file.read_bytes(), file_name=file.name, kind=kind, today=TODAY)
    os._exit(0)


def rows() -> dict[str, int]:
    """Rows of every table of the program that has any."""
    from django.apps import apps

    counts = {
        model.__name__: model.objects.count() for model in apps.get_app_config("collection").get_models()
    }
    return {name: number for name, number in counts.items() if number}


if __name__ == "__main__":
    main(sys.argv[1:])
