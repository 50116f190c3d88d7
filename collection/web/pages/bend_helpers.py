"""The people of a bend's page: who may lead, helpers in order, who is left out and why."""

from __future__ import annotations

from types import SimpleNamespace

from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.bend_values import Asked, BendSheet
from collection.queries.helpers import Candidate
from collection.queries.labels import counted
from collection.web.pages.parts import Action, hidden, number_of

ANSWERED = {"declined": "Said no.", "late": "Was too late for the place."}


def leads_of(sheet: BendSheet, actor: Actor, *, main: bool) -> list[SimpleNamespace]:
    """People who may lead, while nobody does."""
    assert sheet.helpers is not None
    if sheet.team.lead_id is not None:
        return []
    first = main and bool(sheet.sanction.signed)
    return [
        _person(
            number + 1,
            candidate,
            Action(
                f"{candidate.name} leads",
                reverse("bend-lead", args=[sheet.id]),
                post=True,
                main=first and number == 0,
                hidden=hidden(member=candidate.member_id, version=sheet.version),
            )
            if actor.plans
            else None,
        )
        for number, candidate in enumerate(sheet.helpers.leads)
    ]


def no_lead(sheet: BendSheet, actor: Actor) -> Action | None:
    """The way to take the lead away again."""
    if sheet.team.lead_id is None or sheet.over or not actor.plans:
        return None
    at = reverse("bend-lead", args=[sheet.id])
    return Action(
        f"{sheet.team.lead} does not lead", at, post=True, plain=True, small=True,
        hidden=hidden(member="", version=sheet.version),
    )  # fmt: skip


def _person(
    rank: int, candidate: Candidate, action: Action | None, note: str = "", extra: Action | None = None
) -> SimpleNamespace:
    return SimpleNamespace(
        rank=rank,
        name=candidate.name,
        reasons=[*candidate.reasons, *candidate.terms],
        points=number_of(candidate.number),
        note=note,
        actions=[found for found in (action, extra) if found],
    )


def search_of(sheet: BendSheet, *, may_do: bool, main: bool) -> SimpleNamespace:
    """Helpers in order, who is left out and why, and what to do next."""
    found = sheet.helpers
    assert found is not None
    asked = {question.member_id: question for question in (*sheet.team.asked, *sheet.team.accepted)}
    full = len(sheet.team.accepted) >= sheet.team.crew - 1
    open_ = may_do and bool(sheet.sanction.signed) and sheet.team.lead_id is not None and not full
    first = next((c.member_id for c in found.helpers if c.member_id not in asked), None)
    shown = [
        _helper(n + 1, c, sheet, asked.get(c.member_id), main=main and c.member_id == first, open_=open_)
        for n, c in enumerate(found.helpers)
    ]
    ranked = {candidate.member_id for candidate in found.helpers}
    return SimpleNamespace(
        about=_about(sheet),
        helpers=shown,
        others=[_other(question) for question in sheet.team.asked if question.member_id not in ranked],
        left_out=[f"{person.name}: {' '.join(person.why)}" for person in found.left_out],
        silent=_silent(found.no_answer),
        stops=[*found.stops, *found.lead_why],
        days=found.days_held,
        none=_nobody(sheet) if not shown and sheet.team.crew > 1 else "",
    )


def _about(sheet: BendSheet) -> str:
    found = sheet.helpers
    assert found is not None
    if sheet.team.lead_id is None and found.team:
        return f"In order beside {found.team[0]}, whose pair has the most points: {found.when}."
    if found.team and not sheet.team.accepted:
        return f"In order, with reasons. The first are free together on {found.when}."
    return "In order, with reasons."


def _nobody(sheet: BendSheet) -> str:
    found = sheet.helpers
    assert found is not None
    if found.stops or found.lead_why:
        return "Nobody is proposed while this stands in the way."
    if found.lead is None and not found.leads:
        return "Nobody who comes may lead. An expert in bends who can hold leads."
    return "Nobody is free for this yet. Ask people for a yes to a workday in the window."


def _silent(count: int) -> str:
    if not count:
        return ""
    have = "has" if count == 1 else "have"
    return f"{counted(count, 'more person', 'more people')} {have} not said yes for a day in the window."


def _helper(
    rank: int, candidate: Candidate, sheet: BendSheet, asked: Asked | None, *, main: bool, open_: bool
) -> SimpleNamespace:
    if asked is not None and asked.answer in ("", "accepted"):
        extra = _take_back(asked) if asked.answer == "" else None
        note = "Has the place" if asked.answer == "accepted" else f"Asked: {asked.when}"
        return _person(rank, candidate, None, note, extra)
    note = (
        {"declined": "Said no.", "late": "Was too late for the place."}.get(asked.answer, "") if asked else ""
    )
    ask = Action(
        f"Ask {candidate.name}",
        reverse("bend-ask", args=[sheet.id]),
        post=True,
        main=main,
        hidden=hidden(member=candidate.member_id),
    )
    return _person(rank, candidate, ask if open_ and candidate.slot.dated else None, note)


def _take_back(asked: Asked) -> Action:
    at = reverse("invitation-withdraw", args=[asked.invitation_id])
    return Action("Take the question back", at, post=True, plain=True, small=True)


def _other(asked: Asked) -> SimpleNamespace:
    """Somebody who was asked and is no longer proposed."""
    words = {"": "has not answered", "declined": "said no", "late": "was too late for the place"}
    actions = [_take_back(asked)] if asked.answer == "" else []
    return SimpleNamespace(sentence=f"{asked.name} {words[asked.answer]}: {asked.when}.", actions=actions)
