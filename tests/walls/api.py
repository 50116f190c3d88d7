"""Cells of the API."""

from __future__ import annotations

from tests.walls.cells import Cell, Write

CELLS = [
    Cell(
        "api-estimates",
        "/api/v1/estimates",
        # Works something out and keeps nothing.
        post=Write(200, {"task": "WIRE_DETAIL", "fine": 40}, empty=400, changes=False),
        no_ids="needs no tree",
    ),
]
