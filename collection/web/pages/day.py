"""A workday's page: people first, then its plan."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.day_plan import DayPlan, fair_shares
from collection.queries.labels import day, in_words
from collection.queries.speech import clock, listed
from collection.queries.trees import Hands, hands_sentence, when_of
from collection.queries.wire_needed import TASK_ORDERS
from collection.queries.workdays import Day
from collection.web.pages import day_plan
from collection.web.pages.day_people import own_answer, people_part, silent_part
from collection.web.pages.missing import count_words
from collection.web.pages.parts import Action, Empty, Fact, Piece, Tag, cautions_for, lead, page

WAITING = day_plan.WAITING


def day_page(
    found: Day,
    actor: Actor,
    today: date,
    *,
    own: Form | None = None,
    other: Form | None = None,
    frozen: bool = False,
    lacks: int | None = None,
) -> SimpleNamespace:
    """Everything ``day/day.html`` reads.

    Args:
        own: The form of the own answer, None where none is taken.
        other: A coordinator's form for anybody's answer, None where none is taken.
        lacks: How many things are missing before the day; None where that is not told.
        frozen: The page only shows a plan as it was sent out; nothing on it can be pressed.
    """
    plan = found.plan
    drawn = plan is not None and bool(plan.seats)
    here = [comer.name for comer in found.comers if comer.here]
    return page(
        title=day(found.date),
        lead=_opening(found, actor, frozen=frozen),
        actions=[] if frozen else _actions(found, actor, today),
        facts=_facts(found),
        status=_status(found, actor, frozen=frozen),
        poll_url=_poll(found, actor, frozen=frozen),
        sent=None if frozen else _sent(found, actor),
        missing=_missing(found, lacks),
        dark=() if found.over else found.sun.warnings,
        own=own_answer(found, own) if own is not None else None,
        people=people_part(found, actor, frozen=frozen),
        silent=silent_part(found, other) if other is not None else None,
        drawing=day_plan.drawing(found, plan) if plan and drawn else None,
        groups=day_plan.by_person(found, plan, actor, frozen=frozen) if plan and drawn else [],
        not_placed=day_plan.not_placed(plan, actor, frozen=frozen) if plan else None,
        shares=fair_shares(plan.seats, here) if plan else (),
        no_plan=_no_plan(found, actor),
        last_hands=_last(found),
        change=[] if frozen else _change(found, actor),
        cautions=cautions_for(
            {seat.task for seat in plan.seats} if plan else set(),
            lifting=any(seat.lift for seat in plan.seats) if plan else False,
        ),
        foot_left=_foot(found, actor, frozen=frozen),
        foot_right=f"Plan {plan.number}, {plan.ready_on}" if plan and plan.ready_on else "",
    )


def _foot(found: Day, actor: Actor, *, frozen: bool) -> str:
    presses = actor.plans and found.plan is not None and not found.over and not frozen
    return "If someone does not come, choose Not here beside the name." if presses else ""


def _last(found: Day) -> list[SimpleNamespace]:
    return [
        SimpleNamespace(tag=Tag(accession, reverse("tree", args=[tree])), sentence=_last_words(hands))
        for accession, tree, hands in found.last
    ]


def _last_words(hands: Hands | None) -> str:
    if hands is None:
        return "Nobody has worked on it since the club keeps records."
    return (
        f"{listed(hands.who) if hands.who else 'Not known who'}, {when_of(hands)}: {hands_sentence(hands)}."
    )


def _opening(found: Day, actor: Actor, *, frozen: bool) -> tuple[Piece, ...]:
    plan, here = found.plan, [comer for comer in found.comers if comer.here]
    if found.state == "cancelled":
        return lead(Piece(f"This day is cancelled. {found.why}", missing=True))
    people = found.came or len(here)
    said = (
        f"{in_words(people)} {'person' if people == 1 else 'people'}, {clock(found.opens_min)} to "
        f"{clock(found.closes_min)}, {found.site}. "
    )
    if frozen and plan:
        said = f"Plan {plan.number} as it was sent out. " + said
    elif found.state == "draft":
        said = "A draft: only coordinators see it. " + said
    elif found.state == "held":
        said = "The day was held. " + said
    if plan is None or not plan.seats:
        return lead(said)
    said += _jobs_words(plan)
    left = len(plan.unplaced)
    if not left or not actor.plans or found.over:
        return lead(said)
    return lead(
        f"{said} ", Piece(f"{in_words(left)} {'job does' if left == 1 else 'jobs do'} not fit.", missing=True)
    )


def _jobs_words(plan: DayPlan) -> str:
    jobs = len({seat.job_id for seat in plan.seats})
    pairs = len({seat.job_id for seat in plan.seats if len(seat.people) > 1})
    said = f"{in_words(jobs)} {'job fits' if jobs == 1 else 'jobs fit'}"
    return said + (f", {in_words(pairs).lower()} of them with two pairs of hands." if pairs else ".")


def _facts(found: Day) -> list[Fact]:
    breaks = ", ".join(f"{clock(a)} to {clock(b)}" for a, b in found.breaks)
    where = f"{found.site}, {found.address}" if found.address else found.site
    facts = (
        ("Where", where),
        ("Break", breaks),
        ("Lead", found.lead),
        ("First aider", found.first_aider),
        ("Bring", found.bring),
        ("Sun", found.sun.said),
    )
    return [Fact(label, text) for label, text in facts if text]


def _poll(found: Day, actor: Actor, *, frozen: bool) -> str:
    plan = found.plan
    waits = plan is not None and plan.state in WAITING and actor.plans and not frozen
    return reverse("plan-state", args=[plan.id]) if plan and waits else ""


def _status(found: Day, actor: Actor, *, frozen: bool) -> str:
    plan = found.plan
    if plan is None or found.over:
        return ""
    if frozen or not actor.plans:
        changed = plan.state == "out_of_date"
        return "Something changed since this plan went out. The coordinator knows." if changed else ""
    if plan.sent_out:
        if plan.state == "out_of_date":
            return "This plan has been sent out, and something changed since. Plan again, then send it out."
        return "This plan has been sent out."
    return {
        "waiting": "The plan is waiting to be worked out.",
        "working": "The plan is being worked out. This page shows it as soon as it is ready.",
        "out_of_date": "This plan is out of date: something about the day changed since. Plan again.",
        "failed": "This plan could not be worked out. Plan again. If it fails again, tell the club admin.",
        "ready": "This plan has not been sent out yet.",
    }[plan.state]


def _sent(found: Day, actor: Actor) -> SimpleNamespace | None:
    """For coordinators: members see another plan than the newest."""
    if found.sent is None or found.plan is None or not actor.plans:
        return None
    newest, sent = max(found.plan.number, found.sent.number), found.sent
    said = f"Members see plan {sent.number}, which was sent out. Plan {newest} below is newer."
    return SimpleNamespace(
        said=said, url=reverse("plan", args=[sent.id]), words=f"See plan {sent.number}, as members see it"
    )


def _missing(found: Day, lacks: int | None) -> SimpleNamespace | None:
    if not lacks:
        return None
    return SimpleNamespace(
        said=count_words(lacks), url=reverse("day-missing", args=[found.id]), words="See what, and mend it"
    )


def _actions(found: Day, actor: Actor, today: date) -> list[Action]:
    """What comes next on this day; the first is the main thing to do."""
    mine = _my_day(found, actor)
    found_ones = _planner_actions(found, today) if actor.plans else []
    if mine:
        found_ones.append(Action("Your day", mine, main=not found_ones))
    if found.plan is not None and any(seat.task in TASK_ORDERS for seat in found.plan.seats):
        found_ones.append(Action("Wire for this day", reverse("day-wire", args=[found.id]), plain=True))
    return found_ones


def _planner_actions(found: Day, today: date) -> list[Action]:
    plan, started = found.plan, found.date <= today
    if found.state == "cancelled":
        return []
    came = Action("Who came", reverse("day-came", args=[found.id]))
    after = Action("What was done", reverse("day-after", args=[found.id]))
    if found.state == "held":
        return [after.as_main(), came]
    again = Action("Plan again", reverse("day-plan", args=[found.id]), post=True)
    actions = [came, after] if started else []
    if plan is None:
        words = Action("Plan this day", reverse("day-plan", args=[found.id]), post=True)
        actions += [words] if found.comers else []
    elif plan.state == "ready" and not plan.sent_out:
        actions += [*_send(found, plan.id), again]
    elif plan.state not in WAITING:
        actions.append(again)
    if found.state == "draft":
        url = reverse("day-open", args=[found.id])
        actions.insert(0, Action("Open for offers", url, post=True))
    # A plan that went out and still fits asks for nothing.
    rests = plan is not None and plan.sent_out and plan.state == "ready" and not started
    return actions if rests or not actions else [actions[0].as_main(), *actions[1:]]


def _send(found: Day, plan_id: int) -> list[Action]:
    """The way to send a plan out; a day without a lead or a first aider first leads to naming them."""
    at = reverse("plan-send", args=[plan_id])
    named = {"a lead": found.lead_id, "a first aider": found.first_aider_id}
    nobody = [words for words, member in named.items() if member is None]
    if not nobody:
        return [Action("Send the plan out", at, post=True)]
    name = Action(f"Name {' and '.join(nobody)}", reverse("day-change", args=[found.id]))
    return [name, Action(f"Send the plan out without {' or '.join(nobody)}", at, post=True)]


def _my_day(found: Day, actor: Actor) -> str:
    """The way to the person's own page of the day, "" when the plan is not out or he does not come."""
    out = found.state in ("sent", "held") and (found.sent or (found.plan and found.plan.sent_out))
    comes = any(comer.id == actor.member_id for comer in found.comers)
    return reverse("my-day", args=[found.id]) if out and comes else ""


def _change(found: Day, actor: Actor) -> list[Action]:
    if not actor.plans or found.over:
        return []
    return [
        Action("Change times, place or lead", reverse("day-change", args=[found.id])),
        Action("Move to another date", reverse("day-move", args=[found.id]), plain=True),
        Action("Cancel this day", reverse("day-cancel", args=[found.id]), plain=True),
    ]


def _no_plan(found: Day, actor: Actor) -> Empty | None:
    if found.plan is not None or found.over:
        return None
    if not actor.plans:
        return Empty(
            "The plan is not out yet. Who does what will be shown here.", "Heavy bend, 9:45 to 12:25"
        )
    if not found.comers:
        return Empty("Nobody has said yes yet. A plan needs people.", "Two people from 9:30 to 13:30")
    return Empty("Who does what will be drawn here.", "Heavy bend, 9:45 to 12:25, two people")
