"""Cells of messages, and of the links in them."""

from __future__ import annotations

from datetime import UTC, datetime

from collection import models
from collection.queries.links import Ticket, token_of
from tests.walls.cells import Cell, Write, everybody, planners
from tests.walls.rows import Rows

MESSAGES = [
    Cell("messages", "/messages", get=200),
    Cell("messages-club", "/messages/club", get=planners(200)),
]
# A link opens its one page to whoever holds it; its token is no id that could be swapped for another.
LINKS = [
    Cell(
        "link",
        f"/a/{{={name}}}",
        get=everybody(200),
        post=Write(everybody(302), {"answer": answer}, empty=everybody(409)),
        no_ids="the token names row and person and is signed",
    )
    for name, answer in (
        ("day_link", "no"), ("place_link", "no"), ("wire_link", "loose"), ("guy_link", "marking"),
        ("stop_link", "stop"),
    )
] + [
    Cell(
        "link",
        "/a/stop-nonsense",
        get=everybody(404),
        post=Write(everybody(404), {"answer": "stop"}, changes=False),
        no_ids="no token at all",
    )
]  # fmt: skip
CELLS = MESSAGES + LINKS
LATER = datetime(2027, 3, 6, 13, tzinfo=UTC)


def furnish(rows: Rows) -> None:
    """A link of each purpose, made for the person asked to help."""
    member = rows.ids["member"]
    subjects = {"day": "day", "place": "invitation", "wire": "wire", "guy": "guy", "stop": "member"}
    for purpose, name in subjects.items():
        ticket = Ticket(purpose, rows.ids[name], member, 1, LATER)
        rows.words[f"{purpose}_link"] = token_of(ticket)
    assert models.Invitation.objects.filter(pk=rows.ids["invitation"], member_id=member).exists()
