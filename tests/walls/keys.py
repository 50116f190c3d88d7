"""Cells of the keys for programs: everybody has his own."""

from __future__ import annotations

from collection.usecases import program_keys
from tests.walls.cells import Cell, Write
from tests.walls.rows import Rows

NEW = {"name": "The morning sheet", "days": "30", "may": "read"}


def furnish(rows: Rows) -> None:
    """A key of the coordinator's."""
    rows.ids["program_key"], _ = program_keys.make_key(actor=rows.planner, name="Sheet", days=30)


CELLS = [
    Cell("keys", "/you/keys", get=200, post=Write(201, NEW, empty=400), no_ids="makes a key of one's own"),
    Cell(
        "key-take-back",
        "/you/keys/{program_key}/take-back",
        # The key is the coordinator's: nobody else may end it.
        post=Write({"member": 404, "bench_lead": 404, "coordinator": 302, "admin": 404}),
    ),
]
