"""Workdays: the list, and a day's plan as drawing and list."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.answers import Comer
from collection.queries.day_plan import DayPlan, Seat, Unplaced, fair_shares
from collection.queries.labels import day, in_words, length
from collection.queries.speech import clock
from collection.queries.trees import Hands, hands_sentence, when_of
from collection.queries.workdays import Day, DayRow
from collection.web.drawings.dayplan import DayPlan as Drawing
from collection.web.drawings.dayplan import draw_day
from collection.web.drawings.dayplan_rows import Bar, Column, PersonRow, Step
from collection.web.pages.parts import (
    Action,
    Choose,
    Empty,
    Option,
    Piece,
    Tag,
    cautions_for,
    hidden,
    lead,
    number_of,
    page,
)

STATE_WORDS = {
    "draft": "Draft",
    "open": "Open for offers",
    "sent": "The plan is out",
    "held": "Held",
    "cancelled": "Cancelled",
}
WAITING = {"waiting", "working"}


def list_page(days: list[DayRow], today: date, actor: Actor) -> SimpleNamespace:
    """Everything ``day/list.html`` reads."""
    ahead = [row for row in days if row.date >= today]
    past = [row for row in reversed(days) if row.date < today][:10]
    groups = [
        SimpleNamespace(title=title, days=[_row(row) for row in rows])
        for title, rows in (("Ahead", ahead), ("Lately", past))
        if rows
    ]
    said = f"{in_words(len(ahead))} {'day is' if len(ahead) == 1 else 'days are'} ahead."
    return page(
        title="Days",
        lead=lead(said),
        groups=groups,
        empty=Empty("Workdays will be listed here.", "Saturday 28 November, 9:30 to 13:30, bench shed"),
        actions=[
            *([Action("A new workday", reverse("day-new"), main=not days)] if actor.plans else []),
            Action("Your messages", reverse("messages"), plain=True),
        ],
        foot_left="Times are the club's own.",
        foot_right="",
    )


def _row(row: DayRow) -> SimpleNamespace:
    return SimpleNamespace(
        title=day(row.date),
        url=reverse("day", args=[row.id]),
        when=f"{row.opens.hour}:{row.opens:%M} to {row.closes.hour}:{row.closes:%M}",
        where=row.site,
        people=row.people,
        plan=row.plan if row.state in ("open", "sent", "draft") else STATE_WORDS[row.state].lower(),
    )


def day_page(day_: Day, actor: Actor, answer: Form | None = None) -> SimpleNamespace:
    """Everything ``day/day.html`` reads."""
    plan = day_.plan
    waiting = plan is not None and plan.state in WAITING
    ready = plan is not None and bool(plan.seats)
    tasks = {seat.task for seat in plan.seats} if plan else set()
    return page(
        title=day(day_.date),
        lead=_opening(day_),
        actions=_actions(day_, actor),
        status=_status(day_),
        poll_url=reverse("plan-state", args=[plan.id]) if plan and waiting else "",
        drawing=_drawing(day_) if ready else None,
        rows=[row for seat in plan.seats for row in _seat_rows(seat, day_, actor)] if plan and ready else [],
        not_placed=[*map(_unplaced, plan.unplaced), *_left_out(plan, actor)] if plan else [],
        shares=fair_shares(plan.seats, [c.name for c in day_.comers if c.here]) if plan else (),
        people=[_comer(comer, day_, actor) for comer in day_.comers],
        no_plan=_no_plan(day_),
        last_hands=[
            SimpleNamespace(
                tag=Tag(accession, reverse("tree", args=[tree])),
                sentence=_last_words(hands),
            )
            for accession, tree, hands in day_.last
        ],
        answer=_answer(day_, actor, answer),
        cautions=cautions_for(tasks),
        foot_left="If someone does not come, choose Not here beside the name." if actor.plans else "",
        foot_right=f"Plan {plan.number}, {plan.ready_on}" if plan and plan.ready_on else "",
    )


def _answer(day_: Day, actor: Actor, form: Form | None) -> SimpleNamespace | None:
    if form is None:
        return None
    return SimpleNamespace(
        title="An answer",
        about="Also by telephone." if actor.plans else "",
        url=reverse("day-answer", args=[day_.id]),
        form=form,
        words="Write an answer down" if actor.plans else "Say whether you come",
    )


def _last_words(hands: Hands | None) -> str:
    if hands is None:
        return "Nobody has worked on it since the club keeps records."
    return f"{', '.join(hands.who) or 'Not known who'}, {when_of(hands)}: {hands_sentence(hands)}."


def _opening(day_: Day) -> tuple[Piece, ...]:
    plan, here = day_.plan, [comer for comer in day_.comers if comer.here]
    said = (
        f"{in_words(len(here))} {'person' if len(here) == 1 else 'people'}, {clock(day_.opens_min)} to "
        f"{clock(day_.closes_min)}, {day_.site}. "
    )
    if plan is None or not plan.seats:
        return lead(said)
    jobs = len({seat.job_id for seat in plan.seats})
    pairs = len({seat.job_id for seat in plan.seats if len(seat.people) > 1})
    said += f"{in_words(jobs)} {'job fits' if jobs == 1 else 'jobs fit'}"
    said += f", {in_words(pairs).lower()} of them with two pairs of hands. " if pairs else ". "
    if not plan.unplaced:
        return lead(said + "Nothing is left over.")
    left = len(plan.unplaced)
    return lead(
        said, Piece(f"{in_words(left)} {'job does' if left == 1 else 'jobs do'} not fit.", missing=True)
    )


def _status(day_: Day) -> str:
    plan = day_.plan
    if plan is None:
        return ""
    return {
        "waiting": "The plan is waiting to be worked out.",
        "working": "The plan is being worked out. This page shows it as soon as it is ready.",
        "out_of_date": "This plan is out of date: something about the day changed since. Plan again.",
        "failed": "This plan could not be worked out. Plan again. If it fails again, tell the club admin.",
        "ready": _ready_words(day_, plan),
    }[plan.state]


def _ready_words(day_: Day, plan: DayPlan) -> str:
    if plan.sent_out:
        return "This plan has been sent out."
    if day_.state == "sent":
        return "An earlier plan was sent out. This newer one has not been sent out yet."
    return "This plan has not been sent out yet."


def _actions(day_: Day, actor: Actor) -> list[Action]:
    plan = day_.plan
    if not actor.plans or day_.state in ("held", "cancelled"):
        return []
    actions = []
    if plan and plan.state == "ready" and not plan.sent_out:
        actions.append(
            Action("Send the plan out", reverse("plan-send", args=[plan.id]), post=True, main=True)
        )
    words = "Plan again" if plan else "Plan this day"
    actions.append(Action(words, reverse("day-plan", args=[day_.id]), post=True, main=plan is None))
    return actions


def _no_plan(day_: Day) -> Empty | None:
    if day_.plan is not None:
        return None
    if not day_.comers:
        return Empty("Nobody has said yes yet. A plan needs people.", "Two people from 9:30 to 13:30")
    return Empty("Who does what will be drawn here.", "Heavy bend, 9:45 to 12:25, two people")


def _drawing(day_: Day) -> Drawing:
    assert day_.plan is not None
    people = [comer for comer in day_.comers if comer.here]
    index = {comer.id: n for n, comer in enumerate(people)}
    rows = [
        PersonRow(comer.name, _comer_note(comer, day_), comer.arrives_min, comer.leaves_min)
        for comer in people
    ]
    seats = [s for s in day_.plan.seats if all(person in index for person, _, _ in s.people)]
    bars = [bar for seat in seats for bar in _bars(seat, index)]
    everybody = tuple(range(len(people)))
    columns = [Column("Tea" if b - a <= 20 else "Break", a, b, everybody) for a, b in day_.breaks]
    if day_.briefing_min:
        columns.insert(0, Column("Briefing", day_.opens_min, day_.opens_min + day_.briefing_min, everybody))
    if day_.closing_min:
        start = day_.closes_min - day_.closing_min
        columns.append(Column("Notes, water, count the kit", start, day_.closes_min, everybody))
    return draw_day(rows, bars, columns, starts=day_.opens_min, ends=day_.closes_min)


def _bars(seat: Seat, index: dict[int, int]) -> list[Bar]:
    """A pair's job is one bar with its own rest inside; one person's stops at a break and goes on."""
    people = tuple(index[person] for person, _, _ in seat.people)
    steps = tuple(_step(seat, *step) for step in seat.steps)
    name = seat.tree_title + (", goes on another day" if seat.part else "")
    if len(people) > 1:
        key = f"{seat.job_id}-{seat.sitting}"
        return [Bar(key, seat.accession, seat.title, name, people, seat.starts_min, seat.ends_min, steps)]
    stretches: list[list[int]] = []
    for kind, start, end in seat.steps:
        if kind == "break":
            continue
        if stretches and stretches[-1][1] == start:
            stretches[-1][1] = end
        else:
            stretches.append([start, end])
    return [
        Bar(
            f"{seat.job_id}-{seat.sitting}-{n}",
            seat.accession,
            "goes on" if n else seat.title,
            name if n == len(stretches) - 1 or not n else "",
            people,
            start,
            end,
        )
        for n, (start, end) in enumerate(stretches)
    ]


def _step(seat: Seat, kind: str, start: int, end: int) -> Step:
    words = {
        "setup": "Set up",
        "work": "Work",
        "held": f"{'Both' if len(seat.people) == 2 else 'All'} hold, {length(end - start)}",
        "clean": "Clean down",
        "break": "Rest",
    }[kind]
    detail = f"{seat.people[0][1]} leads" if kind == "held" else ""
    return Step(start, end, words, detail, held=kind == "held")


def _comer_note(comer: Comer, day_: Day) -> str:
    said = comer.level
    if comer.arrives_min > day_.opens_min:
        said += f", from {clock(comer.arrives_min)}"
    if comer.leaves_min < day_.closes_min:
        said += f", until {clock(comer.leaves_min)}"
    return said


def _seat_rows(seat: Seat, day_: Day, actor: Actor) -> list[SimpleNamespace]:
    rows = []
    for n, (person, name, role) in enumerate(seat.people):
        others = [other for _, other, _ in seat.people if other != name]
        held = seat.held
        rows.append(
            SimpleNamespace(
                person=name,
                start=clock(seat.starts_min),
                end=clock(seat.ends_min),
                job=_seat_words(seat, role),
                tag=Tag(seat.accession, reverse("tree", args=[seat.tree_id])),
                partner=" and ".join(others),
                hours=number_of(seat.number),
                held=f"Hold together from {clock(held[0])} to {clock(held[1])}." if held else "",
                actions=_seat_actions(seat, day_, actor, person) if n == 0 else [],
            )
        )
    return rows


def _seat_words(seat: Seat, role: str) -> str:
    said = seat.title
    if len(seat.people) > 1:
        said += ", leads" if role == "lead" else ", second pair of hands"
    if seat.part:
        said += ", goes on another day"
    return said + (", put here by the coordinator" if seat.pinned else "")


def _seat_actions(seat: Seat, day_: Day, actor: Actor, person: int) -> list[Action]:
    plan = day_.plan
    if not actor.plans or plan is None or plan.state in WAITING or day_.state in ("held", "cancelled"):
        return []
    others = [str(p) for p, _, _ in seat.people[1:]]
    choose = Choose(
        f"lead-{seat.job_id}-{seat.sitting}",
        "lead",
        "Who leads",
        tuple(Option(c.id, c.name, c.id == person) for c in day_.comers if c.here),
    )
    move = reverse("plan-move", args=[plan.id, seat.job_id])
    return [
        Action(
            "Move to this person",
            move,
            post=True,
            plain=True,
            small=True,
            choose=choose,
            hidden=hidden(others=",".join(others)),
        ),
        Action(
            "Leave this job out",
            reverse("plan-leave-out", args=[plan.id, seat.job_id]),
            post=True,
            plain=True,
            small=True,
        ),
    ]


def _unplaced(item: Unplaced) -> SimpleNamespace:
    url = reverse("tree", args=[item.tree_id]) if item.tree_id else ""
    return SimpleNamespace(
        tag=Tag(item.accession, url),
        job=item.title,
        hours=number_of(item.number) if item.number else None,
        why=item.why,
        action=Action("See the tree", url) if url else None,
        nothing="Nothing to do now",
        actions=[],
    )


def _left_out(plan: DayPlan, actor: Actor) -> list[SimpleNamespace]:
    return [
        SimpleNamespace(
            tag=None,
            job=name,
            hours=None,
            why=("Left out by the coordinator.",),
            action=Action(
                "Take it back in",
                reverse("plan-put-back", args=[plan.id, job]),
                post=True,
                plain=True,
                small=True,
            )
            if actor.plans
            else None,
            nothing="Nothing to do now",
            actions=[],
        )
        for job, name in plan.left_out
    ]


def _comer(comer: Comer, day_: Day, actor: Actor) -> SimpleNamespace:
    notes = [comer.level]
    if comer.is_lead:
        notes.append("leads the day")
    if comer.first_aider:
        notes.append("first aider")
    actions = []
    if actor.plans and day_.plan and day_.state not in ("held", "cancelled"):
        url = reverse("plan-not-here", args=[day_.plan.id, comer.id])
        words = "Not here" if comer.here else "Here after all"
        actions.append(
            Action(
                words, url, post=True, plain=True, small=True, hidden=hidden(here="" if comer.here else "yes")
            )
        )
    hours = f"{clock(comer.arrives_min)} to {clock(comer.leaves_min)}"
    return SimpleNamespace(
        name=comer.name,
        comes=hours if comer.here else f"Not here ({hours} was offered)",
        note=", ".join(notes),
        actions=actions,
    )
