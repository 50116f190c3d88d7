"""Cells of wire and guys on trees, and of wire on the rack."""

from __future__ import annotations

from tests.walls.cells import Cell, Write, planners

GEAR = {"label": "X9", "branch": "{branch}", "gauge_mm": "2.5", "metal": "copper", "on": "2027-03-01"}

CELLS = [
    Cell("wire", "/wire", get=200),
    Cell(
        "wire-stock",
        "/wire/stock",
        get=200,
        post=Write(planners(302), {"metal": "copper", "gauge_mm": "3", "grams": "400"}),
        no_ids="the club's own rack",
    ),
    Cell("wire-needed", "/trees/{tree}/wire", get=200),
    Cell("day-wire", "/days/{day}/wire", get=200),
    Cell("wire-one", "/wire/wires/{wire}", get=200),
    Cell("wire-look", "/wire/wires/{wire}/look", post=Write(302, {"seen": "marking"})),
    Cell("wire-off", "/wire/wires/{wire}/off", post=Write(302, {"on": "2027-03-03"}, empty=400)),
    Cell("guy-one", "/wire/guys/{guy}", get=200),
    Cell("guy-look", "/wire/guys/{guy}/look", post=Write(302, {"seen": "snug"})),
    Cell("guy-off", "/wire/guys/{guy}/off", post=Write(302, {"on": "2027-03-03"}, empty=400)),
    Cell(
        "wire-new",
        "/trees/{tree}/wire/new",
        get=200,
        post=Write(302, GEAR | {"length_m": "2.4", "fit": "snug"}, empty=400),
    ),
    Cell("guy-new", "/trees/{tree}/guys/new", get=200, post=Write(302, GEAR, empty=400)),
]
