"""Cells of the season, the programme, estimates and numbers."""

from __future__ import annotations

from tests.walls.cells import Cell, Write, planners
from tests.walls.rows import PROGRAMME_ROW

DATES = {
    "opens_0": "5",
    "opens_1": "6",
    "closes_0": "15",
    "closes_1": "7",
    "why": "Later here.",
    "version": "{=club_row_version}",
}

CELLS = [
    Cell("home", "/", get=302),
    Cell("season", "/season", get=200),
    Cell(
        "season-again",
        "/season/again",
        post=Write(planners(302)),
        no_ids="works out the asker's own season as a whole",
    ),
    Cell("season-state", "/season/state", get=200),
    Cell("programme", "/programme", get=200),
    Cell(
        "programme-row",
        f"/programme/{PROGRAMME_ROW}",
        get=200,
        post=[Write(planners(302), DATES, empty=400), Write(planners(409), DATES | {"version": "99"})],
        no_ids="a row of the programme belongs to no club, and what is kept of it is the asker's own",
    ),
    Cell(
        "programme-row-back",
        f"/programme/{PROGRAMME_ROW}/back",
        post=Write(planners(302), {"version": "{=club_row_version}"}, empty=planners(409)),
        no_ids="a row of the programme belongs to no club, and what is put back is the asker's own",
    ),
    Cell("estimate", "/estimate", "task=WIRE_DETAIL&fine=40", get=200),
    Cell("evidence", "/evidence", get=200),
    Cell("number", "/numbers/job/{job}", get=200),
    Cell("number", "/numbers/week-likely/2027-03-08", get=200),
]
