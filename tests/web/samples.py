"""Invented pages, as the templates read them. Club, people, trees and figures are made up."""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace as Box
from typing import Any

from django import forms

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


def opened(text: str, *lines: tuple[str, str, str], total: str = "", notes: tuple[str, ...] = ()) -> Box:
    """A number that opens."""
    rows = [Box(label=a, figure=b, trust=c) for a, b, c in lines]
    return Box(text=text, url="/numbers/1", lines=rows, total=total, total_label="", notes=list(notes))


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


def season_page() -> Box:
    """The season with everything on it."""
    hours = opened("17 h", ("8 trees, 127 min each", "1,016 min", "guess"), total="16.9 h")
    pair = [Box(name="Oswin R.", role="leads"), Box(name="", role="second pair of hands")]
    return Box(
        title="The next 26 weeks",
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
        questions=[Box(sentence="When was it last repotted?", tags=[tag("2012.018"), tag("2005.001")])],
        notes=["Daily watering is not counted."],
        empty=None,
        actions=[],
        foot_left="Club weeks start on Monday. Last frost set to 5 April.",
        foot_right="Worked out Wed 25 Nov 2026, 9:10",
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
                held=["Held until Sunday 21 February: the tree rests after structural wiring."],
                actions=[],
            ),
            Box(
                title="Carry to bench A2",
                when="24 kg, two people, by 1 December",
                hours=opened("0.3 h each", ("Carry", "10 min", "guess"), total="20 min"),
                people=[Box(name="Maren K.", role=""), Box(name="", role="second pair of hands")],
                note="",
                held=[],
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
            )
        ],
        history=[Box(when="1 Mar 2009", what="Came into the collection.", who="Petra V.")],
        add_job=None,
        cautions=Box(bends=False, lifting=True, wire=True, blades=False, sprays=False, lime=False),
        foot_left="In the collection since 2009",
        foot_right="Changed Wed 25 Nov 2026 by Maren K.",
    )


def day_page() -> Box:
    """A planned Saturday."""
    hours = opened("1.5 h", ("Wiring", "90 min", "estimate, 14 logs"), total="90 min")
    row = {"start": "9:45", "end": "11:15", "tag": tag(), "hours": hours}
    return Box(
        title="Saturday 28 November 2026",
        lead=[
            piece("Eight people, 9:30 to 13:30, bench shed and yard. Seven jobs fit, two with two people. "),
            piece("Three jobs do not fit.", missing=True),
        ],
        actions=[action("Send the plan out", post=True, main=True), action("Plan again", post=True)],
        status="",
        poll_url="",
        drawing=day_plan(),
        rows=[
            Box(
                person="Imke T.",
                job="Heavy bend, branch 2",
                partner="Dilip M.",
                held="Both hold 10:26 to 11:49",
                actions=[move()],
                **row,
            ),
            Box(person="Oswin R.", job="Detail wiring", partner="", held="", actions=[], **row),
        ],
        not_placed=[
            Box(
                tag=tag("2007.002"),
                job="Needle juniper, detail wiring",
                hours=wiring_hours(),
                why=["Nobody with wiring skill is left.", "The window closes on Monday."],
                action=action("Ask a wirer"),
                nothing="",
            ),
            Box(
                tag=tag("2020.011"),
                job="Trident maple, structural pruning",
                hours=plain("1.4 h"),
                why=["The tree rests until Monday 14 December, after root work."],
                action=None,
                nothing="Nothing to do now",
            ),
        ],
        shares=["Imke and Dilip hold for 1 h 23, under the two-hour limit."],
        people=[
            Box(
                name=p.name,
                comes="9:30 to 13:30",
                note=p.note,
                actions=[action("Not here", post=True, plain=True, small=True)],
            )
            for p in PEOPLE
        ],
        no_plan=None,
        last_hands=[Box(tag=tag("2011.007"), sentence="Imke T. on Saturday 3 October, 1 h 30.")],
        cautions=Box(bends=True, lifting=True, wire=True, blades=True, sprays=False, lime=False),
        foot_left="If someone does not come, choose the name and Not here.",
        foot_right="Plan 3, Wed 25 Nov 2026, 9:12",
    )


class SittingForm(forms.Form):
    """Fields as the page that records a sitting names them."""

    key = forms.CharField(widget=forms.HiddenInput, initial="k1")
    people = forms.MultipleChoiceField(
        label="Who worked",
        choices=[("1", "Imke T."), ("2", "Dilip M."), ("3", "Wilma S.")],
        widget=forms.CheckboxSelectMultiple,
    )
    trees = forms.CharField(label="Which tree", help_text="Its tag, like 2009.014")
    on = forms.DateField(label="Day", widget=forms.DateInput(attrs={"type": "date"}))
    started = forms.TimeField(label="Started", widget=forms.TimeInput(attrs={"type": "time"}))
    stopped = forms.TimeField(label="Stopped", widget=forms.TimeInput(attrs={"type": "time"}))
    minutes = forms.IntegerField(label="Or minutes for each person", min_value=1, max_value=600)
    left_open = forms.BooleanField(label="The tree is left open", required=False)
    left = forms.CharField(label="What is left", required=False)
    bench = forms.CharField(label="Or a whole bench", required=False)
    breaks_min = forms.IntegerField(label="Breaks, in minutes", required=False)
    note = forms.CharField(label="Note for the next pair of hands", widget=forms.Textarea, required=False)


class TaskForm(forms.Form):
    """One task of a sitting."""

    task = forms.ChoiceField(label="Task", choices=[("WIRE_DETAIL", "Detail wiring"), ("REPOT", "Repot")])
    amount = forms.DecimalField(label="How much", required=False, help_text="Branches, metres or litres")


class EstimateForm(forms.Form):
    """A few quantities."""

    task = forms.ChoiceField(label="Task", choices=[("WIRE_DETAIL", "Detail wiring")])
    secondary = forms.IntegerField(label="Side branches", min_value=0)
    wire_thin_m = forms.DecimalField(label="Thin wire, in metres", min_value=0, max_value=60)


def sitting_page() -> Box:
    """A sitting typed with a mistake in it."""
    return Box(
        title="Record a sitting",
        lead=[piece("Write down what was done, so that the next person can go on.")],
        url="/sittings/new",
        tags=[tag()],
        last_note="Do not move B2, it creaked.",
        last_who="Oswin wrote on Saturday 24 October:",
        form=SittingForm({"people": ["1"], "trees": "2009.014", "minutes": "900", "key": "k1"}),
        tasks=forms.formset_factory(TaskForm, extra=2)(prefix="tasks"),
        send="Keep this sitting",
        cautions=Box(bends=False, lifting=True, wire=True, blades=False, sprays=False, lime=False),
        foot_left="",
        foot_right="",
    )


def empty(sentence: str) -> Box:
    """A list with nothing in it."""
    return Box(
        sentence=sentence,
        example="2018.003, larch, 6 branches to wire, by 20 March.",
        action=action("Record a sitting"),
    )


def small_pages() -> dict[str, tuple[str, dict[str, Any]]]:
    """Pages with little on them."""
    foot = {"foot_left": "", "foot_right": ""}
    tree = Box(
        tag=tag(),
        name="The Leaning Heron",
        species="Shimpaku",
        bench="C2",
        stage="Refining",
        last_hands="Oswin R., 24 Oct",
        jobs="2",
        open="Left open",
    )
    trees = Box(
        title="Trees",
        lead=[piece("120 trees on 9 benches. 3 are left open.")],
        query="",
        search_url="/trees",
        rows=[tree] * 6,
        before=None,
        after=Box(url="?after=6"),
        where="Trees 1 to 6 of 120",
        empty=None,
        actions=[],
        **foot,
    )
    day = Box(
        title="Saturday 28 November 2026",
        url="/days/1",
        when="9:30 to 13:30",
        where="Club ground",
        people="8",
        plan="Plan 3, ready",
    )
    days = Box(
        title="Days",
        lead=[piece("The next workday is on Saturday.")],
        groups=[Box(title="To come", days=[day] * 2)],
        empty=None,
        actions=[],
        **foot,
    )
    result = Box(
        sentence="Likely 3.1 h for one practised person, in one sitting.",
        number=wiring_hours(),
        recount="",
        facts=[
            Box(label="8 times in 10 between", text="2.4 and 4.0 h"),
            Box(label="Plan with", text="3.4 h"),
        ],
        notes=["This is a guess: nobody has counted the branches yet."],
    )
    estimate = Box(
        title="How long will it take",
        lead=[piece("No tree is needed.")],
        url="/estimate",
        form=EstimateForm(),
        result=result,
        cautions=None,
        **foot,
    )
    number = Box(
        title="Detail wiring of 2009.014",
        about="Likely hours:",
        number=wiring_hours(),
        back_url="/trees/2009.014",
        back_words="Back to the tree",
        **foot,
    )
    return {
        "trees": ("web/tree/list.html", {"page": trees}),
        "days": ("web/day/list.html", {"page": days}),
        "estimate": ("web/estimate/estimate.html", {"page": estimate}),
        "number": ("web/number.html", {"page": number}),
        "login": ("registration/login.html", {"form": EstimateForm({}), "next": "/"}),
        "refused": ("web/refused.html", {"sentence": "Somebody changed this while you were writing."}),
        "404": ("404.html", {}),
        "403": ("403.html", {}),
        "500": ("500.html", {}),
    }


def pages() -> dict[str, tuple[str, dict[str, Any]]]:
    """Every page with its template and what it reads."""
    return {
        "season": ("web/season/season.html", {"page": season_page()}),
        "tree": ("web/tree/tree.html", {"page": tree_page()}),
        "day": ("web/day/day.html", {"page": day_page()}),
        "sitting": ("web/sitting/new.html", {"page": sitting_page()}),
        **small_pages(),
    }
