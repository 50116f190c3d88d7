"""A day's plan on its page: the drawing, each person's jobs, what did not fit."""

from __future__ import annotations

from types import SimpleNamespace

from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.answers import Comer
from collection.queries.day_after import numbered
from collection.queries.day_plan import DayPlan, Seat, Unplaced
from collection.queries.labels import counted, in_words, length
from collection.queries.speech import clock
from collection.queries.workdays import Day
from collection.web.drawings.dayplan import DayPlan as Drawing
from collection.web.drawings.dayplan import draw_day
from collection.web.drawings.dayplan_rows import Bar, Column, PersonRow, Step
from collection.web.pages.parts import Action, Choose, Option, Tag, hidden, number_of

WAITING = {"waiting", "working"}
Numbers = dict[tuple[int, int], int]


def numbers_of(plan: DayPlan) -> Numbers:
    """The number of each job through the day, as the drawing, the list and the day's record use it."""
    return {(seat.job_id, seat.sitting): number for number, seat in numbered(plan.seats)}


def drawing(found: Day, plan: DayPlan) -> Drawing:
    """People down, time across."""
    people = [comer for comer in found.comers if comer.here]
    index = {comer.id: n for n, comer in enumerate(people)}
    rows = [
        PersonRow(comer.name, _comer_note(comer, found), comer.arrives_min, comer.leaves_min)
        for comer in people
    ]
    numbers = numbers_of(plan)
    seats = [s for s in plan.seats if all(person in index for person, _, _ in s.people)]
    bars = [bar for seat in seats for bar in _bars(seat, index, numbers[seat.job_id, seat.sitting])]
    everybody = tuple(range(len(people)))
    columns = [Column("Tea" if b - a <= 20 else "Break", a, b, everybody) for a, b in found.breaks]
    if found.briefing_min:
        columns.insert(
            0, Column("Briefing", found.opens_min, found.opens_min + found.briefing_min, everybody)
        )
    if found.closing_min:
        start = found.closes_min - found.closing_min
        columns.append(Column("Notes, water, count the kit", start, found.closes_min, everybody))
    return draw_day(rows, bars, columns, starts=found.opens_min, ends=found.closes_min)


def _bars(seat: Seat, index: dict[int, int], number: int) -> list[Bar]:
    """A pair's job is one bar with its own rest inside; one person's stops at a break and goes on."""
    people = tuple(index[person] for person, _, _ in seat.people)
    steps = tuple(_step(seat, *step) for step in seat.steps)
    name = seat.tree_title + (", goes on another day" if seat.part else "")
    if len(people) > 1:
        key = f"{seat.job_id}-{seat.sitting}"
        return [
            Bar(
                key, seat.accession, seat.title, name, people, seat.starts_min, seat.ends_min, steps,
                number=number,
            )
        ]  # fmt: skip
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
            number=number,
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


def _comer_note(comer: Comer, found: Day) -> str:
    said = comer.level
    if comer.arrives_min > found.opens_min:
        said += f", from {clock(comer.arrives_min)}"
    if comer.leaves_min < found.closes_min:
        said += f", until {clock(comer.leaves_min)}"
    return said


def by_person(found: Day, plan: DayPlan, actor: Actor, *, frozen: bool) -> list[SimpleNamespace]:
    """Each person's jobs, folded under the name; whoever starts first comes first."""
    numbers = numbers_of(plan)
    own: dict[int, list[SimpleNamespace]] = {}
    spans: dict[int, list[tuple[int, int]]] = {}
    known: dict[int, str] = {}
    for seat in sorted(plan.seats, key=lambda s: numbers[s.job_id, s.sitting]):
        for n, (person, name, role) in enumerate(seat.people):
            actions = [] if n or frozen else _seat_actions(seat, found, actor, person)
            row = _seat_row(seat, numbers[seat.job_id, seat.sitting], name, role, actions)
            own.setdefault(person, []).append(row)
            spans.setdefault(person, []).append((seat.starts_min, seat.ends_min))
            known[person] = name
    return [
        SimpleNamespace(
            name=known[person],
            about=f"{counted(len(rows), 'job', 'jobs')}, {clock(min(a for a, _ in spans[person]))} to "
            f"{clock(max(b for _, b in spans[person]))}",
            rows=rows,
        )
        for person, rows in own.items()
    ]


def _seat_row(seat: Seat, number: int, name: str, role: str, actions: list[Action]) -> SimpleNamespace:
    others = [other for _, other, _ in seat.people if other != name]
    held = seat.held
    return SimpleNamespace(
        number=number,
        when=f"{clock(seat.starts_min)} to {clock(seat.ends_min)}",
        job=_seat_words(seat, role),
        tag=Tag(seat.accession, reverse("tree", args=[seat.tree_id])) if seat.tree_id else None,
        partner=f"With {' and '.join(others)}." if others else "",
        hours=number_of(seat.number),
        held=f"Hold together from {clock(held[0])} to {clock(held[1])}." if held else "",
        actions=actions,
    )


def _seat_words(seat: Seat, role: str) -> str:
    said = seat.title
    if len(seat.people) > 1:
        said += ", leads" if role == "lead" else ", second pair of hands"
    if seat.part:
        said += ", goes on another day"
    said += ", put here by the coordinator" if seat.pinned else ""
    return f"{said}. {seat.lift}" if seat.lift else said


def _seat_actions(seat: Seat, found: Day, actor: Actor, person: int) -> list[Action]:
    plan = found.plan
    if not actor.plans or plan is None or plan.state in WAITING or found.over:
        return []
    others = [str(p) for p, _, _ in seat.people[1:]]
    choose = Choose(
        f"lead-{seat.job_id}-{seat.sitting}",
        "lead",
        "Who leads",
        tuple(Option(c.id, c.name, c.id == person) for c in found.comers if c.here),
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


def not_placed(plan: DayPlan, actor: Actor, *, frozen: bool) -> SimpleNamespace | None:
    """Jobs that did not fit or were left out, with every reason; folded when there are many."""
    rows = [_unplaced(item, plans=actor.plans) for item in plan.unplaced]
    rows += _left_out(plan, actor, frozen=frozen)
    if not rows:
        return None
    return SimpleNamespace(
        rows=rows,
        fold=len(rows) > 3,
        more=f"See {in_words(len(rows)).lower()} jobs and why they do not fit",
    )


# Where people are the reason, the list of people is the place to go.
ASK_PEOPLE = frozenset({"no_one_free_for", "no_one_to_hold", "no_one_with_skill", "no_lead"})


def _what_to_do(item: Unplaced, tree: str, *, plans: bool) -> Action | None:
    if plans and ASK_PEOPLE.intersection(item.codes):
        return Action("See what people can do", reverse("people"))
    return Action("See the tree", tree) if tree else None


def _unplaced(item: Unplaced, *, plans: bool) -> SimpleNamespace:
    url = reverse("tree", args=[item.tree_id]) if item.tree_id else ""
    return SimpleNamespace(
        tag=Tag(item.accession, url),
        job=item.title,
        hours=number_of(item.number) if item.number else None,
        why=item.why,
        action=_what_to_do(item, url, plans=plans),
        nothing="Nothing to do now",
        actions=[],
    )


def _left_out(plan: DayPlan, actor: Actor, *, frozen: bool) -> list[SimpleNamespace]:
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
            if actor.plans and not frozen
            else None,
            nothing="Nothing to do now",
            actions=[],
        )
        for job, name in plan.left_out
    ]
