"""Cells of the API: the list of operations, the document, who asks, estimates, numbers, the season."""

from __future__ import annotations

from tests.walls.cells import Cell, Write, everybody, planners

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
    Cell("api-season", "/api/v1/season", get=200),
    Cell(
        "api-season-again",
        "/api/v1/season/again",
        post=Write(planners(202)),
        no_ids="the season of the club of whoever asks",
    ),
    Cell("api-programme", "/api/v1/programme", get=200),
    Cell(
        "api-programme-row",
        "/api/v1/programme/G01-DECANDLE-0601",
        get=200,
        put=Write(
            planners(200),
            {"opens": "06-10", "closes": "07-15", "why": "We saw it."},
            empty=400,
            match="{=club_row_version}",
        ),
        delete=Write(planners(200), match="{=club_row_version}"),
        no_ids="a row of the programme belongs to no club",
    ),
    Cell("api-number", "/api/v1/numbers/job/{job}", get=200),
    Cell("api-notices", "/api/v1/notices", get=200),
    Cell("api-messages", "/api/v1/messages", get=200),
]
