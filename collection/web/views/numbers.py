"""One number of its own, and how long a job takes without a tree."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from collection.queries import estimates
from collection.queries.errors import Refused
from collection.queries.find_number import find
from collection.queries.labels import hours_range, length, task_name
from collection.queries.sentences import say
from collection.web.forms.estimate import EstimateForm
from collection.web.pages.parts import Fact, cautions_for, lead, number_of
from collection.web.pages.parts import page as values
from collection.web.views.base import page


@require_safe
@page
def number_view(request: Any, kind: str, key: str) -> HttpResponse:
    """One opened number on a page of its own."""
    found = find(request.actor, kind, key, today=request.today)
    shown = values(
        title=found.title,
        about=found.about,
        number=number_of(found.number),
        back_url=reverse(found.back, args=found.back_args),
        back_words=found.back_words,
        foot_left="Each line can be worked out again from what stands in it.",
        foot_right="",
    )
    return render(request, "web/number.html", {"page": shown})


@require_safe
@page
def estimate_view(request: Any) -> HttpResponse:
    """How long will it take, without a tree."""
    form = EstimateForm(request.GET or None)
    result, tasks = None, set()
    if request.GET and form.is_valid():
        data = form.cleaned_data
        tasks = {data["task"]}
        try:
            result = _answer(request.actor.club_id, data)
        except Refused as refused:
            form.add_error(refused.field or None, say(refused.reason))
    shown = values(
        title="How long will it take",
        lead=lead("Say what is to be done and what you counted. Branches, wire or a task alone are enough."),
        url=reverse("estimate"),
        form=form,
        result=result,
        cautions=cautions_for(tasks),
        foot_left="Paces are a table of assumptions until the club's own logs replace them.",
        foot_right="",
    )
    return render(request, "web/estimate/estimate.html", {"page": shown})


def _answer(club_id: int, data: dict[str, Any]) -> Any:
    counts = {name: data[name] for name in ("primary", "secondary", "fine") if data.get(name)}
    other = estimates.other_kind(data["task"])
    if data.get("amount") and other:
        counts[other] = data["amount"]
    if data.get("diameter_mm"):
        counts["bend_mm"] = data["diameter_mm"]
    found = estimates.ask(
        club_id,
        task=data["task"],
        counts=counts,
        branches_total=data.get("branches_total"),
        wire_m=data.get("wire_m"),
        group=data.get("group") or "",
        stage=data.get("stage") or "",
        height_cm=data.get("height_cm"),
        pot_litres=data.get("pot_litres"),
        skill=data.get("skill") or "practised",
    )
    number = estimates.opened(found)
    sides = estimates.two_paces(found)
    recount = sides.said if sides and sides.recount else ""
    who = "one person" if found.crew == 1 else f"{found.crew} people together"
    return values(
        sentence=f"{task_name(data['task'])}: likely {number.text}, for {who}.",
        number=number_of(replace(number, notes=tuple(note for note in number.notes if note != recount))),
        facts=[
            Fact(*fact)
            for fact in (
                *_side_by_side(sides),
                *hours_range(
                    found.low_min, found.likely_min, found.high_min, found.mean_min, found.cautious_min
                ),
            )
        ],
        notes=(),
        recount=recount,
    )


def _side_by_side(sides: estimates.TwoPaces | None) -> list[tuple[str, str]]:
    """The two answers where branches and wire were both counted."""
    if sides is None:
        return []
    return [
        ("Wiring, from the branches alone", length(sides.branches_min)),
        ("Wiring, from the wire alone", length(sides.metres_min)),
        ("The two together", "2 to 1 for the branches, an assumption"),
    ]
