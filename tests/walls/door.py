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
        # Who is in already is sent on; who writes a wrong password sees the page again.
        post=Write(INSIDE | {"anonymous": 400}, {"login": "n@example.org", "password": "x"}, changes=False),
        no_ids="names an account, which belongs to no club",
    ),
    Cell(
        "sign-out",
        "/sign-out",
        post=Write(everybody(302) | {"anonymous": TO_SIGN_IN}, changes=False),
        no_ids="ends the asker's own visit",
    ),
    Cell(
        "password-forgotten",
        "/password/forgotten",
        get=everybody(200),
        # A letter goes out either way; nothing is kept of it.
        post=Write(everybody(302), {"email": "nobody@example.org"}, empty=everybody(400), changes=False),
        no_ids="names an e-mail, and answers the same to every one",
    ),
    Cell("password-sent", "/password/sent", get=everybody(200)),
    Cell(
        "password-new",
        "/password/new/1-no-such-key",
        get=everybody(410),
        post=Write(everybody(410), {"password1": "four odd garden words"}, changes=False),
        no_ids="the key of a letter belongs to an account",
    ),
]
