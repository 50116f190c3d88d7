"""Invented pages of heavy bends with everything on them, as the templates read them."""

from __future__ import annotations

from types import SimpleNamespace as Box
from typing import Any

from collection.web.forms.bend import BendForm, RefuseForm
from tests.web.sample_values import action, opened, piece, plain, tag

CAUTIONS = Box(
    bends=True, lifting=True, wire=True, blades=False, sprays=False, lime=False, held=True, power=True
)
PAIR = [
    Box(name="Imke T.", role="leads, keeps a hand on the bend, gives the only orders"),
    Box(name="", role="steadies pot and trunk, then holds the branch or turns the screw on call"),
]


def person(rank: int, name: str, *actions: Box) -> Box:
    """Somebody in an order."""
    return Box(
        rank=rank,
        name=name,
        reasons=["Here 9:30 to 13:30 on Saturday 28 November 2026, free at 9:45", "Has worked on this tree"],
        points=opened("77 points", ("Held 3 bends", "12 of 20", "assumption"), total="77 points"),
        note="",
        actions=list(actions),
    )


def bend_page() -> Box:
    """One bend while the second pair of hands is sought."""
    return Box(
        tag=tag("2011.007"),
        tree="Black pine, bench A1",
        title="Heavy bend, branch 2",
        lead=[piece("Saturday 28 November, 9:45 to 12:40. "), piece("The window closes.", missing=True)],
        state="Imke T. leads. A second pair of hands is wanted.",
        mine=[Box(sentence="You are asked to hold.", actions=[action("Yes", post=True)])],
        people=PAIR,
        hours=opened("2.7 h each", ("Bend", "82 min", "guess"), total="161 min"),
        each="",
        hands="5.4 h of hands",
        hold="both hold 1 h 23",
        given=[Box(name="Dilip M.", when="Saturday, 9:45", actions=[action("Give back", post=True)])],
        facts=[Box(label="Thickness", text="28 mm")],
        why_title="Why two",
        why=[Box(words="The branch is 28 mm thick.", people="two", most=True, note="for the lift only")],
        limit="One person bends up to 20 mm on two-flush pine (assumption).",
        figures=Box(
            rows=[Box(label="Strain in the outer skin", number=plain("6.5 %"), beside="wants a wrap")],
            stages=[Box(stage="Stage 1", drop=plain("20 mm"), when="Mon 1 Mar 2027")],
            notes=["These figures rank bends."],
        ),
        sanction=Box(sentences=["Signed off by Carol."], actions=[action("Release", post=True)]),
        refuse=Box(
            title="Say no", about="", url="/bends/1/refuse", form=RefuseForm({"version": "1"}), words="Say no"
        ),
        cautions=CAUTIONS,
        leads=[person(1, "Oswin R.", action("Oswin R. leads", post=True))],
        change_lead=action("Imke T. does not lead", post=True, plain=True),
        search=Box(
            about="In order, with reasons.",
            helpers=[person(1, "Dilip M.", action("Ask Dilip M.", post=True, main=True)), person(2, "Petra")],
            others=[Box(sentence="Joss has not answered.", actions=[action("Take back", post=True)])],
            left_out=["Wilma: Asked for no lifting."],
            silent="2 more people have not said yes.",
            stops=["The owner has not agreed."],
            days=["Saturday 5 December: it rests."],
            none="Nobody is free for this yet.",
        ),
        closed="",
        foot_left="The order of helpers rests on assumptions.",
        foot_right="",
    )


def bend_pages() -> dict[str, tuple[str, dict[str, Any]]]:
    """The list, one bend, and wanting one."""
    foot = {"foot_left": "", "foot_right": ""}
    row = Box(
        tag=tag("2011.007"),
        species="Black pine",
        what="Branch B2, 28 mm",
        when="Sun 1 Nov to Mon 30 Nov 2026",
        hours=plain("2.7 h each"),
        people=[Box(name="Imke T.", role="leads"), Box(name="", role="second pair of hands")],
        action=action("Open the bend"),
        note="Imke T. leads. A second pair of hands is wanted.",
    )
    over = Box(tag=tag(), what="Shimpaku: branch B1, 30 mm", url="/bends/2", state="Done on Sat 3 Oct 2026.")
    listed = Box(
        title="Heavy bends",
        lead=[piece("One heavy bend wants people.")],
        bends=[row, row],
        over=[over],
        empty=Box(sentence="No heavy bend is wanted now.", example="2011.007, 28 mm", action=action("Trees")),
        **foot,
    )
    new = Box(
        title="A heavy bend",
        tag=tag(),
        name="The Leaning Heron",
        lead=[piece("Say which branch.")],
        url="/trees/1/bends/new",
        form=BendForm({}),
        words="Put the bend on the list",
        cautions=CAUTIONS,
        **foot,
    )
    return {
        "bends": ("web/bend/list.html", {"page": listed}),
        "bend": ("web/bend/bend.html", {"page": bend_page()}),
        "bend-new": ("web/bend/new.html", {"page": new}),
    }
