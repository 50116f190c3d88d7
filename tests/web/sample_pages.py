"""Invented pages with everything on them, as the templates read them."""

from __future__ import annotations

from types import SimpleNamespace as Box
from typing import Any

from tests.web.sample_bends import bend_pages
from tests.web.sample_days import day_pages
from tests.web.sample_forms import sitting_page, small_pages
from tests.web.sample_values import action, opened, piece, plain, tag, wiring_hours
from tests.web.sample_wire import wire_pages
from tests.web.samples import branches, ribbon, tree_view, weeks, windows


def season_page() -> Box:
    """The season with everything on it."""
    asked = Box(said="You are asked to hold at a bend.", url="/bends/1", words="Answer")
    hours = opened("17 h", ("8 trees, 127 min each", "1,016 min", "guess"), total="16.9 h")
    pair = [Box(name="Oswin R.", role="leads"), Box(name="", role="second pair of hands")]
    return Box(
        title="The next 26 weeks",
        asked=[asked],
        lead=[
            piece("Four weeks in March are short. They need "),
            piece(number=opened("122 h", ("Week of 8 March", "29 h", "estimate"), total="122 h")),
            piece(" of work and people have offered 84 h, so "),
            piece("38 hours are missing", missing=True),
            piece(". Of these, 26 are repots that need someone who can lead one."),
        ],
        ribbon=ribbon(),
        caption=[
            "Solid: likely hours of work in each week.",
            "Dots: the cautious figure.",
            "Hatched: hours nobody has offered.",
        ],
        weeks=[
            Box(
                week=f"{w.monday.day} {w.monday:%b %Y}",
                likely=opened(
                    f"{w.likely_h} h", ("Repots", f"{w.likely_h} h", "guess"), total=f"{w.likely_h} h"
                ),
                cautious=plain(f"{w.cautious_h} h"),
                offered=plain(f"{w.offered_h} h"),
                missing=plain(f"{w.missing_h} h"),
                short=w.missing_h > 0,
            )
            for w in weeks()
        ],
        windows=[
            Box(work=w.label, opens="20 Feb", closes="31 March", trees="8", hours=hours) for w in windows()
        ],
        pair_jobs=[
            Box(
                tag=tag("2014.031"),
                species="White pine",
                what="Structural wiring, 5 mm wire",
                when="by 1 March",
                hours=opened("0.9 h each", ("Wire", "55 min", "guess"), total="55 min"),
                people=pair,
                action=None,
                note="2 people fit",
            )
        ],
        opens_next=[Box(opens="Sat 20 Feb", work="Maple: repot", trees="14", hours=hours)] * 3,
        closing=[
            Box(when="Closes Monday 30 November", sentence="Shimpaku wiring on 3 trees, 9 h.", tag=None),
            Box(
                when="Closes Monday 30 November",
                sentence="Heavy bend, booked for Saturday.",
                tag=tag("2011.007"),
            ),
        ],
        rounds=[Box(when="Mon 30 Nov", what="Look at wires", bench="Bench C", trees="12", hours=hours)],
        growth=Box(
            about="From 96.0 h in 2026 to 210.4 h in 2031, if refining goes on.",
            rows=[Box(year=2026, hours=plain("96.0 h")), Box(year=2027, hours=plain("131.5 h"))],
            notes=["The limit of each height and stage is an assumption."],
        ),
        questions=[Box(sentence="When was it last repotted?", tags=[tag("2012.018"), tag("2005.001")])],
        notes=["Daily watering is not counted."],
        empty=None,
        actions=[],
        foot_left="Club weeks start on Monday. Last frost: 5 April.",
        foot_right="Worked out Wed 25 Nov 2026, 9:10",
    )


def moving() -> Box:
    """A tree that two people move."""
    rule = Box(
        name="The club's own rule",
        answer="2 people",
        number=plain("2"),
        said="Two people lift it.",
        decides=True,
    )
    return Box(
        answer="Two people move it, by the club's own rule.",
        mass=plain("24 kg, weighed"),
        rules=[rule],
        notes=["These figures say when to get help."],
    )


def tree_page() -> Box:
    """A tree half wired."""
    return Box(
        tag=tag(),
        name="The Leaning Heron",
        latin="Juniperus chinensis",
        latin_after="'Itoigawa', shimpaku",
        facts=[
            Box(label="Stands", text="Bench C2"),
            Box(label="Stage", text="Refining"),
            Box(label="Height", text="62 cm"),
            Box(label="Weighs", text="24 kg with pot"),
            Box(label="Kept by", text="Maren K."),
        ],
        open=Box(
            aside="Half wired. Window closes Mon 30 Nov.",
            who_wrote="Oswin wrote on Saturday 24 October:",
            note="Stopped above B4. B1 to B4 and the apex are set; do not move B2, it creaked.",
            action=action("Start work on this tree", main=True),
        ),
        actions=[action("Record a sitting")],
        jobs=[
            Box(
                title="Detail wiring",
                when="Sat 28 Nov, Oswin R.",
                hours=wiring_hours(),
                people=[],
                note="",
                held=[
                    Box(text="It rests until Sunday 21 February.", url="", words=""),
                    Box(text="Gerd asked to be asked first.", url="/people", words="People and consent"),
                ],
                ways=[action("Open the bend", small=True)],
                actions=[],
            ),
            Box(
                title="Carry to bench A2",
                when="24 kg, two people, by 1 December",
                hours=opened("0.3 h each", ("Carry", "10 min", "guess"), total="20 min"),
                people=[Box(name="Maren K.", role=""), Box(name="", role="second pair of hands")],
                note="",
                held=[],
                ways=[],
                actions=[],
            ),
        ],
        no_jobs="Nothing is due on this tree.",
        drawing=tree_view(),
        no_drawing="Nobody has drawn this tree yet.",
        branches=[
            Box(
                label=b.label,
                place=b.place,
                thickness=f"{b.diameter_mm} mm",
                wire=b.wire or "none yet",
                look=b.look,
            )
            for b in branches()
        ],
        first_look="First look: Tuesday 1 June 2027, because the apex swells first.",
        first_look_number=opened(
            "How this date was found", ("Low bound", "16 weeks", "assumption"), total="16 weeks"
        ),
        moving=moving(),
        growth=Box(
            rows=[
                Box(
                    year=2026,
                    sites=opened("120", ("Cut sites counted", "120", "counted"), total="120 cut sites"),
                    shoots=plain("216"),
                    hours=opened("4.1 h", ("Decandling", "4.1 h", "assumption"), total="4.1 h"),
                )
            ],
            again=[Box(when="Tue 3 Mar 2026", counted="120", foretold="128", share="94 %")],
            first="Foretold from the 80 cut sites of Mon 3 Mar 2025.",
            notes=["A cut site thinned to two gives two next year: common practice, no source."],
            actions=[],
        ),
        counts=[Box(what="Side branches", amount="30", when="12 Sep 2026", trust="counted by Maren K.")],
        last_hands=[
            Box(
                when="Sat 24 Oct 2026",
                who="Oswin R., Wilma S.",
                what="Structural wiring, B1 to B4, 2 h 40",
                url="",
            ),
            Box(
                when="Sat 12 Sep 2026", who="Maren K.", what="Cleaned undersides, counted", url="/sittings/4"
            ),
        ],
        no_hands="Nobody has written down any work on this tree.",
        rest=Box(
            until="Sunday 21 February",
            sentences=[
                "120 days after the structural wiring of 24 October.",
                "No bends and no root work before that date.",
            ],
        ),
        wires=[
            Box(
                label="W1",
                where="B1",
                wire="3 mm aluminium",
                metres="1.1",
                on="24 Oct 2026",
                look="6 August",
                state="snug, 20 Nov",
                url="/wire/wires/1",
            )
        ],
        whole_history="/history",
        state="The tree is lent until Saturday 20 March, to the museum.",
        questions=[Box(text="When was it last repotted?", actions=[action("Answer", small=True)])],
        left_out=[Box(title="Trimming", why="Left out by Maren K.: it rests", actions=[action("Do it")])],
        ways=[Box(title="This tree", about="", actions=[action("Count its branches", small=True)])],
        forms=[],
        cautions=Box(bends=False, lifting=True, wire=True, blades=False, sprays=False, lime=False),
        foot_left="In the collection since 2009",
        foot_right="Changed Wed 25 Nov 2026 by Maren K.",
    )


def pages() -> dict[str, tuple[str, dict[str, Any]]]:
    """Every page with its template and what it reads."""
    return {
        "season": ("web/season/season.html", {"page": season_page()}),
        "tree": ("web/tree/tree.html", {"page": tree_page()}),
        "sitting": ("web/sitting/new.html", {"page": sitting_page()}),
        **day_pages(),
        **small_pages(),
        **bend_pages(),
        **wire_pages(),
    }
