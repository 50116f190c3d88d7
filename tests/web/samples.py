"""Invented pages, as the templates read them. Club, people, trees and figures are made up."""

from __future__ import annotations

from datetime import date, timedelta

from collection.web.drawings.dayplan import Bar, Column, DayPlan, PersonRow, Step, draw_day
from collection.web.drawings.ribbon import Ribbon, WeekLoad, WindowBar, draw_ribbon
from collection.web.drawings.tree import BranchMark, GuyMark, TreeView, draw_tree

MONDAY = date(2026, 11, 23)
LIKELY = [21, 12, 9, 8, 4, 3, 3, 5, 7, 8, 10, 11, 13, 16, 20, 29, 34, 31, 28, 21, 17, 14, 12, 13, 15, 16]
OFFERED = [21, 14, 14, 14, 4, 4, 4, 14, 14, 14, 14, 14, 14, *[21] * 9, 14, 14, 21, 21]


def weeks(likely: list[int] = LIKELY, offered: list[int] = OFFERED) -> list[WeekLoad]:
    """Weeks with the cautious figure a sixth above the likely one and what is not offered missing."""
    return [
        WeekLoad(MONDAY + timedelta(weeks=i), w, round(1.17 * w + 1.2, 1), o, max(w - o, 0))
        for i, (w, o) in enumerate(zip(likely, offered, strict=True))
    ]


def windows() -> list[WindowBar]:
    """Eight windows of a southern-pine-and-juniper season."""
    rows = (
        ("Shimpaku: wiring", "3 trees, 9 h", date(2026, 9, 1), date(2026, 11, 30)),
        ("Black pine: heavy bend", "1 tree, 5 h", date(2026, 10, 1), date(2026, 11, 30)),
        ("Black pine: buds and needles", "9 trees, 61 h", date(2026, 10, 15), date(2027, 2, 28)),
        ("Shimpaku: spring bends", "2 trees, 15 h", date(2027, 2, 20), date(2027, 4, 10)),
        ("Maple: repot", "14 trees, 22 h", date(2027, 2, 20), date(2027, 3, 31)),
        ("Black pine: repot", "8 trees, 17 h", date(2027, 3, 5), date(2027, 4, 15)),
        ("Shimpaku: repot", "6 trees, 13 h", date(2027, 3, 20), date(2027, 5, 10)),
        ("Black pine: candles", "9 trees, 12 h", date(2027, 4, 20), date(2027, 7, 10)),
    )
    return [WindowBar(*row) for row in rows]


def ribbon() -> Ribbon:
    """A half year with four short weeks in March: 122 h of work, 84 h offered."""
    return draw_ribbon(weeks(), windows())


PEOPLE = (
    PersonRow("Imke T.", "expert, leads bends", 570, 810),
    PersonRow("Oswin R.", "expert, bench C", 570, 810),
    PersonRow("Dilip M.", "practised", 570, 810),
    PersonRow("Petra V.", "practised", 570, 810),
    PersonRow("Maren K.", "practised", 570, 810),
    PersonRow("Wilma S.", "learning", 570, 810),
    PersonRow("Joss A.", "leaves 12:30", 570, 750),
    PersonRow("Teo B.", "learning, from 10:30", 630, 810),
)


def bars() -> list[Bar]:
    """Two pair jobs with held steps, a learner beside, single jobs round a tea break."""
    bend = (
        Step(585, 611, "Set up, talk it through"),
        Step(611, 626, "Wrap"),
        Step(626, 709, "Both hold, 1 h 23", "Imke bends, Dilip turns the screw", held=True),
        Step(709, 724, "Tea"),
        Step(724, 760, "Guys, clean down"),
    )
    wire = (
        Step(585, 601, "Set up"),
        Step(601, 644, "Both hold, 43 min", "Maren wires, Joss steadies", held=True),
        Step(644, 660, "Clean"),
    )
    return [
        Bar("a", "2011.007", "Heavy bend, branch 2", "black pine, bench A1", (0, 2), 585, 760, bend),
        Bar("b", "2009.014", "Detail wiring", "shimpaku, 1 h 30", (1,), 585, 675),
        Bar("c", "2009.014", "goes on", "done at 12:26", (1,), 690, 746),
        Bar("d", "2016.022", "Buds and needles", "black pine, 1 h 30", (3,), 585, 675, (), 5),
        Bar("e", "2016.022", "goes on", "1 h 30, carries over", (3,), 690, 780, (), 5),
        Bar("f", "2013.019", "5 mm wire", "black pine", (4, 6), 585, 660, wire),
        Bar("g", "2019.008", "Bud choice", "black pine, 1 h 24", (4,), 690, 780),
        Bar("h", "", "Winter cover", "lower bench, 1 h", (6,), 690, 750),
        Bar("i", "", "Winter cover", "", (7,), 640, 675),
        Bar("j", "", "Winter cover, then labels", "with Joss until 12:30", (7,), 690, 780),
    ]


def day_plan() -> DayPlan:
    """The drawing of a Saturday morning."""
    columns = [
        Column("Briefing", 570, 585),
        Column("Tea", 675, 690),
        Column("Notes, photos, water, count the kit", 780, 810),
    ]
    return draw_day(PEOPLE, bars(), columns, starts=570, ends=810)


def branches() -> list[BranchMark]:
    """Eight branches of a leaning juniper, five of them wired."""
    alu3, alu2 = "3 mm aluminium", "2.5 mm aluminium"
    return [
        BranchMark("B1", "Lower left", 9, 0.20, 22, 420, 3, f"{alu3}, 1.1 m", "look 6 August"),
        BranchMark("B2", "Lower right", 3, 0.31, 19, 380, 4, f"{alu3}, 0.9 m", "look 6 August"),
        BranchMark("B3", "Middle left", 9, 0.43, 15, 310, 3, f"{alu2}, 0.8 m", "look 19 July"),
        BranchMark("B4", "Middle right", 3, 0.54, 14, 300, 4, f"{alu2}, 0.7 m", "look 19 July"),
        BranchMark("B5", "Upper left", 10, 0.65, 11, 220, 4),
        BranchMark("B6", "Upper right", 2, 0.75, 10, 210, 4),
        BranchMark("B7", "Under the apex", 11, 0.84, 8, 140, 2),
        BranchMark("A", "Apex", 2, 0.97, 7, 120, 2, "1.5 mm copper, 0.4 m", "look 1 June"),
    ]


def tree_view() -> TreeView | None:
    """The front view of that juniper."""
    return draw_tree(
        "2009.014",
        branches(),
        [GuyMark("B1", "Guy wire, 1 mm copper, to the pot rim", "look after every gale")],
    )
