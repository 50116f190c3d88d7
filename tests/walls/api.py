"""Cells of the API."""

from __future__ import annotations

from tests.walls.cells import Cell, Write, everybody

CELLS = [
    Cell("api", "/api/v1/", get=everybody(200)),
    Cell("api-schema", "/api/v1/schema", get=everybody(200)),
    Cell("api-schema-yaml", "/api/v1/schema.yaml", get=everybody(200)),
    Cell("api-me", "/api/v1/me", get=200),
    Cell(
        "api-estimates",
        "/api/v1/estimates",
        # Works something out and keeps nothing.
        post=Write(200, {"task": "WIRE_DETAIL", "fine": 40}, empty=400, changes=False),
        no_ids="needs no tree",
    ),
]
