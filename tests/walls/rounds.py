"""Cells of rounds."""

from __future__ import annotations

from tests.walls.cells import Cell, Write

WALKED = {"people": ["{member}"], "on": "2027-03-02", "minutes": "40", "trees": ["{tree}"], "key": "walls"}

CELLS = [
    Cell("rounds", "/rounds", get=200),
    Cell("round", "/rounds/{round}", get=200, post=Write(302, WALKED, empty=400)),
]
