"""Cells of the way in, and of the health of the service."""

from __future__ import annotations

from tests.walls.cells import MEMBERS, TO_SIGN_IN, Cell, Write, everybody

INSIDE = dict.fromkeys(("outsider", *MEMBERS), 302)

CELLS = [
    Cell("healthz", "/healthz", get=everybody(200)),
    Cell("readyz", "/readyz", get=everybody(200)),
    Cell(
        "sign-in",
        "/sign-in",
        get=INSIDE | {"anonymous": 200},
        # Django's form page takes PUT for POST and answers OPTIONS itself.
        post=Write(INSIDE | {"anonymous": 200}, {"username": "nobody", "password": "nothing"}, changes=False),
        put=Write(INSIDE | {"anonymous": 200}, {"username": "nobody", "password": "nothing"}, changes=False),
        options=INSIDE | {"anonymous": 200},
        no_ids="names an account, which belongs to no club",
    ),
    Cell(
        "sign-out",
        "/sign-out",
        post=Write(everybody(302) | {"anonymous": TO_SIGN_IN}, changes=False),
        options=everybody(200),
        no_ids="ends the asker's own visit",
    ),
]
