"""Workday pages with everything on them, made by the pages' own functions from invented values."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time
from types import SimpleNamespace as Box
from typing import Any

from collection.queries.access import Actor
from collection.queries.answers import Answer, Comer, Silent
from collection.queries.day_after import Came, DayAfter, Guest, PlannedJob
from collection.queries.day_plan import DayPlan, Seat, Unplaced
from collection.queries.missing import Lack, Missing
from collection.queries.my_day import MyDay, MyJob
from collection.queries.opened import Line, Opened
from collection.queries.sun import DaySun
from collection.queries.trees import Hands
from collection.queries.workdays import Day, DayRow, SentPlan
from collection.web.forms.day import AnswerForm, CameForm, CancelForm, NewDayForm, OwnAnswerForm
from collection.web.pages import day_forms, day_held
from collection.web.pages.day import day_page
from collection.web.pages.days import list_page
from collection.web.pages.missing import missing_page
from collection.web.pages.my_day import my_day_page

DAY = date(2026, 11, 28)
BOSS = Actor(1, 1, "coordinator", "Imke T.")
PEOPLE = ("Imke T.", "Dilip M.", "Oswin R.", "Petra S.", "Wilma S.", "Maren K.", "Agnes L.")
STOPPED = Hands(
    2, date(2026, 10, 24), ("Oswin R.",), "Detail wiring", 55, "Stopped at the apex.", left_open=True
)

SUN = DaySun(
    time(7, 41),
    time(12, 56),
    495.0,
    "rises 7:41, sets 12:56, 8 h 15 of daylight",
    ("The day ends after sunset at 12:56. End earlier, or bring lamps.",),
    False,
)


def hours(minutes: float) -> Opened:
    lines = (Line("Work", f"{minutes:.0f} min", minutes / 60),)
    return Opened(f"{minutes / 60:.1f} h", minutes / 60, "sum", lines, f"{minutes / 60:.1f} h")


def seat(job: int, task: str, title: str, people: tuple[int, ...], starts: int, ends: int) -> Seat:
    """A job; with two people most of it is held."""
    middle = "held" if len(people) > 1 else "work"
    roles = ("lead", "hand")
    return Seat(
        job_id=job,
        sitting=1,
        tree_id=job,
        accession=f"2011.{job:03d}",
        tree_title="Black pine",
        task=task,
        title=title,
        people=tuple((p, PEOPLE[p - 1], roles[n]) for n, p in enumerate(people)),
        starts_min=starts,
        ends_min=ends,
        steps=(("setup", starts, starts + 10), (middle, starts + 10, ends - 10), ("clean", ends - 10, ends)),
        part=job == 4,
        pinned=False,
        number=hours(ends - starts),
    )


SEATS = (
    seat(7, "HEAVY_BEND", "Heavy bend of 28 mm", (1, 2), 585, 700),
    seat(2, "WIRE_DETAIL", "Detail wiring", (3,), 585, 675),
    seat(3, "REPOT", "Repotting", (4,), 585, 640),
    seat(4, "PRUNE_STRUCT", "Structural pruning", (2,), 705, 760),
)


def plan(number: int = 3, *, sent_out: bool = False) -> DayPlan:
    why = ("Nobody with wiring skill is left.", "The window closes on Monday.")
    return DayPlan(
        id=number,
        number=number,
        state="ready",
        sent_out=sent_out,
        ready_on="25 Nov 2026, 09:12",
        best=True,
        seats=SEATS,
        unplaced=tuple(
            Unplaced(n, f"2007.{n:03d}", n, "Detail wiring", hours(80), why, ()) for n in range(11, 15)
        ),
        left_out=((21, "2020.011 trimming"),),
    )


def day(**changes: Any) -> Day:
    """A planned Saturday."""
    comers = tuple(
        Comer(n, name, "practised", 570, 810 if n < 7 else 720, True, n == 1, n == 2)
        for n, name in enumerate(PEOPLE, start=1)
    )
    found = Day(
        id=1,
        version=4,
        date=DAY,
        opens_min=570,
        closes_min=810,
        briefing_min=15,
        closing_min=30,
        breaks=((675, 690),),
        site_id=1,
        site="Bench shed",
        address="4 Mill Lane",
        state="open",
        why="",
        bring="Gloves",
        lead_id=1,
        lead="Imke T.",
        first_aider_id=2,
        first_aider="Dilip M.",
        least=4,
        most=8,
        zone="Europe/London",
        comers=comers,
        perhaps=("Rafael B.",),
        declined=("Tevita M.",),
        silent=(Silent(9, "Callum H.", "01234 567"), Silent(10, "Edith M.", "")),
        mine=Answer("yes", 570, 810, "Maren K."),
        plan=plan(),
        sent=SentPlan(2, 2),
        sun=SUN,
        last=(("2011.007", 7, None), ("2011.002", 2, STOPPED)),
    )
    return replace(found, **changes)


def my_day() -> MyDay:
    """A pair job that comes next, one that is done, one on a tree that was left open."""
    jobs = (
        MyJob(1, SEATS[0], "hand", done=False, where="Bench A1", note=None),
        MyJob(4, SEATS[3], "lead", done=False, where="Bench A2", note=STOPPED),
        MyJob(2, SEATS[1], "lead", done=True, where="Bench A2", note=None),
    )
    return MyDay(
        workday_id=1,
        date=DAY,
        name="Dilip M.",
        site="Bench shed",
        address="4 Mill Lane",
        bring="Gloves",
        lead="Imke T.",
        first_aider="Dilip M.",
        opens_min=570,
        closes_min=810,
        arrives_min=570,
        leaves_min=810,
        briefing_min=15,
        closing_min=30,
        breaks=((675, 690),),
        changed=True,
        sun=SUN,
        jobs=jobs,
    )


def after() -> DayAfter:
    """Seven jobs of which one is on record and one goes on."""
    jobs = tuple(
        PlannedJob(n, s, 80, done=n == 2, here=s.people if n != 3 else ())
        for n, s in enumerate(SEATS, start=1)
    )
    return DayAfter(1, DAY, "held", has_plan=True, marked=True, came=PEOPLE[:3], jobs=jobs)


def lacking() -> Missing:
    """One of each thing that can be missing."""
    tree, bend = (7, "2011.007"), ("bend", 1)
    lacks = (
        Lack("people", "One more person is needed, 4 at least.", ("day", 1)),
        Lack("lead", "Nobody leads the day yet.", ("day-change", 1)),
        Lack("first_aider", "There is no first aider yet.", ("day-change", 1)),
        Lack("consent", "Ana has not agreed to work on it this season.", ("tree", 7), tree, ("Ana", "01 2")),
        Lack("sign_off", "The heavy bend is not signed off yet.", bend, tree),
        Lack("second", "Repotting needs 2 people, and not enough are free together.", ("day", 1), tree),
        Lack("bring", "It stands elsewhere, and nobody brings it.", ("tree-edit", 7), tree),
        Lack("invitation", "Ben was asked to help and has not answered.", bend, tree),
    )
    return Missing(1, DAY, lacks, ((2, "2011.002", "Petra S."),))


def came_form() -> CameForm:
    return CameForm(
        {"came": ["1"], "arrived_1": "soon"}, expected=[(1, PEOPLE[0])], others=[(9, "Callum H.")]
    )


def came() -> Came:
    guests = (Guest(1, PEOPLE[0], True, None, None, None), Guest(9, "Callum H.", False, None, None, None))
    return Came(1, DAY, "sent", marked=False, guests=guests)


def rows() -> list[DayRow]:
    states = (("draft", ""), ("open", ""), ("sent", "yes"), ("held", "yes"), ("cancelled", ""))
    return [
        DayRow(
            n, date(2026, 12, n), time(9, 30), time(13, 30), "Bench shed", 3, 4, 8, state, "ready",
            "Frost" if state == "cancelled" else "", mine,
        )
        for n, (state, mine) in enumerate(states, start=1)
    ]  # fmt: skip


def day_pages() -> dict[str, tuple[str, dict[str, Any]]]:
    """Every page about workdays with its template and what it reads."""
    own = OwnAnswerForm(me=(1, "Imke T."), initial={"answer": "yes"})
    other = AnswerForm(people=[(9, "Callum H.")], auto_id="other_%s")
    new = NewDayForm({"opens": "9:32"}, sites=[(1, "Bench shed")], people=[(1, "Imke T.")], breaks=2)
    made: dict[str, tuple[str, Box]] = {
        "day": ("day", day_page(day(), BOSS, DAY, own=own, other=other)),
        "day-sent": ("day", day_page(day(plan=plan(2, sent_out=True), sent=None), BOSS, DAY, frozen=True)),
        "day-missing": ("missing", missing_page(lacking())),
        "days": ("list", list_page(rows(), date(2026, 12, 2), BOSS)),
        "day-new": ("form", day_forms.new_page(new)),
        "day-cancel": ("form", day_forms.cancel_page(day(), CancelForm({"why": ""}))),
        "day-mine": ("mine", my_day_page(my_day(), DAY)),
        "day-came": ("came", day_held.came_page(came(), came_form())),
        "day-after": ("after", day_held.after_page(after(), BOSS, "Choose at least one job.")),
    }
    return {name: (f"web/day/{template}.html", {"page": page}) for name, (template, page) in made.items()}
