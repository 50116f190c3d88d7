"""Invented pages of wire with everything on them, as the templates read them."""

from __future__ import annotations

from types import SimpleNamespace as Box
from typing import Any

from collection.web.forms.wire import OffForm, StockForm, WireForm
from tests.web.sample_values import action, piece, plain, tag

CAUTIONS = Box(
    bends=False, lifting=False, wire=True, blades=False, sprays=False, lime=False, held=False, power=False
)


def wire_pages() -> dict[str, tuple[str, dict[str, Any]]]:
    """The list, one wire, wire put on, and the rack."""
    foot = {"foot_left": "", "foot_right": ""}
    row = Box(
        tag=tag(),
        label="W1",
        where="Branch B2",
        bench="C2",
        wire="2.5 mm copper, snug, 1.2 m",
        look="Tue 1 Jun 2027",
        apex="Apex, look first",
        last="none yet",
        action=action("Look", small=True),
    )
    listed = Box(
        title="Wire",
        lead=[piece("One look is late.")],
        groups=[Box(title="Late", rows=[row]), Box(title="To come", rows=[row, row])],
        actions=[action("Wire on the rack", plain=True)],
        clocks=[Box(name="Juniper", weeks="14 to 40 growing weeks", beside="6 wires looked at.")],
        empty=None,
        cautions=CAUTIONS,
        **foot,
    )
    one = Box(
        title="Wire W1",
        tag=tag(),
        name="Shimpaku, C2",
        lead=[piece("Look on Tuesday 1 June 2027.")],
        facts=[Box(label="Where", text="Branch B2")],
        number=plain("11.2 growing weeks"),
        answers=[action("Loose", post=True), action("Snug", post=True), action("It marks", post=True)],
        after="After this look, the next is due in 28 days.",
        off=Box(title="Off", about="", url="/wire/wires/1/off", form=OffForm({}), words="It came off"),
        cautions=CAUTIONS,
        **foot,
    )
    new = Box(
        title="Wire put on",
        tag=tag(),
        name="Shimpaku",
        lead=[piece("Say where it sits.")],
        url="/trees/1/wire/new",
        form=WireForm({}),
        words="Write it down",
        cautions=CAUTIONS,
        **foot,
    )
    rack = Box(
        title="Wire on the rack",
        lead=[piece("Weigh it now and then.")],
        rows=[Box(metal="Copper", gauge="2 mm", grams="500 g", metres="18 m")],
        none="",
        form=Box(title="Write the rack down", about="", url="/wire/stock", form=StockForm({}), words="Write"),
        back=action("Back to wire", plain=True),
        **foot,
    )
    return {
        "wire": ("web/wire/list.html", {"page": listed}),
        "wire-one": ("web/wire/one.html", {"page": one}),
        "wire-new": ("web/wire/new.html", {"page": new}),
        "wire-stock": ("web/wire/stock.html", {"page": rack}),
    }
