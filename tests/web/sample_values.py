"""Numbers, tags, buttons and the frame of a page, as the templates read them. All invented."""

from __future__ import annotations

from types import SimpleNamespace as Box
from typing import Any


def opened(text: str, *lines: tuple[str, str, str], total: str = "", notes: tuple[str, ...] = ()) -> Box:
    """A number that opens."""
    rows = [Box(label=a, figure=b, trust=c, exact=b.split()[0], weight=1.0) for a, b, c in lines]
    return Box(
        text=text,
        url="/numbers/1",
        lines=rows,
        rule="sum",
        exact=total.split(" ")[0],
        total=total,
        total_label="",
        notes=list(notes),
    )


def wiring_hours() -> Box:
    """183 minutes: 12 x 5.3 + 40 x 2.1 + 36, rounded line by line."""
    number = opened(
        "3.1 h",
        ("12 side branches to wire, 5.3 min each", "64 min", "estimate, 14 logs"),
        ("40 fine branches, 2.1 min each", "83 min", "estimate, 14 logs"),
        ("Set up, clean down, write it up", "36 min", "guess, no logs yet"),
        total="183 min = 3.1 h",
        notes=("8 times in 10 it takes under 3.4 h.", "Branches were counted on 12 September."),
    )
    number.total_label = "Likely, for a practised hand"
    return number


def plain(text: str) -> Box:
    """A number with no sum of its own."""
    return Box(text=text, url="", lines=[], total="", total_label="", notes=[])


def piece(text: str = "", *, number: Box | None = None, missing: bool = False) -> Box:
    """A part of the opening sentence."""
    return Box(text=text, number=number, missing=missing)


def tag(text: str = "2009.014") -> Box:
    """A way to a tree."""
    return Box(text=text, url=f"/trees/{text}")


def action(words: str, **more: Any) -> Box:
    """Something to do."""
    given: dict[str, Any] = {"url": "/do", "post": False, "main": False, "plain": False, "small": False}
    return Box(words=words, **given | {"hidden": [], "choose": None} | more)


def move() -> Box:
    """Give a job to somebody else."""
    options = [Box(value="1", text="Imke T.", chosen=True), Box(value="2", text="Oswin R.", chosen=False)]
    choose = Box(id="who-1", name="member", label="Give it to", options=options)
    return action(
        "Move", post=True, plain=True, small=True, choose=choose, hidden=[Box(name="job", value="7")]
    )


def house(page: str, theme: str = "") -> Box:
    """The club's frame."""
    nav = [
        Box(label="Season", url="/", current=page.startswith("season")),
        Box(label="Days", url="/days", current=page.startswith("day")),
        Box(label="Trees", url="/trees", current=page.startswith("tree")),
    ]
    return Box(
        club_name="Larkfold Bonsai Club",
        theme=theme,
        nav=nav,
        signed_in_as="Maren K.",
        sign_out_url="/sign-out",
        sign_in_url="/sign-in",
    )
