"""The pages people read: season, trees, days, an estimate, a number of its own."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from collection.queries import estimates
from collection.queries.access import club_of
from collection.queries.clock import local
from collection.queries.errors import Refused
from collection.queries.find_number import find
from collection.queries.labels import hours_range, task_name
from collection.queries.season import season_of
from collection.queries.sentences import say
from collection.queries.tree_sheet import tree_sheet
from collection.queries.trees import tree_list
from collection.queries.workdays import day_list, day_of, plan_state
from collection.usecases import plans, season
from collection.web.forms.day import AnswerForm
from collection.web.forms.estimate import EstimateForm
from collection.web.pages import days as day_pages
from collection.web.pages import season as season_pages
from collection.web.pages import trees as tree_pages
from collection.web.pages.parts import Fact, cautions_for, lead, number_of
from collection.web.pages.parts import page as values
from collection.web.views.base import act, page
from collection.web.views.days import people_for


@require_GET
def home(request: HttpRequest) -> HttpResponse:
    """The way in."""
    return redirect("season")


@require_GET
@page
def season_view(request: Any) -> HttpResponse:
    """The season's load against the hours people offer."""
    club = club_of(request.actor)
    found = season_of(request.actor, today=request.today)
    now = local(timezone.now(), club.zone)
    shown = season_pages.season_page(
        found, request.actor, last_frost=club.last_frost, now=f"{now:%a} {now.day} {now:%b %Y, %H:%M}"
    )
    return render(request, "web/season/season.html", {"page": shown})


@require_POST
@page
def season_again(request: Any) -> HttpResponse:
    """Work the season out again."""

    def again() -> None:
        season.regenerate(actor=request.actor, today=request.today)

    return act(request, reverse("season"), "The season has been worked out again.", again)


@require_GET
@page
def trees_view(request: Any) -> HttpResponse:
    """The register."""
    query = request.GET.get("q", "")[:80]
    start = request.GET.get("from", "0")
    found = tree_list(request.actor, query=query, start=int(start) if start.isdigit() else 0)
    return render(request, "web/tree/list.html", {"page": tree_pages.list_page(found, query)})


@require_GET
@page
def tree_view(request: Any, tree_id: int) -> HttpResponse:
    """One tree."""
    sheet = tree_sheet(request.actor, tree_id, today=request.today)
    return render(
        request, "web/tree/tree.html", {"page": tree_pages.tree_page(sheet, request.actor, request.today)}
    )


@require_GET
@page
def days_view(request: Any) -> HttpResponse:
    """Workdays."""
    rows = day_list(request.actor)
    return render(
        request, "web/day/list.html", {"page": day_pages.list_page(rows, request.today, request.actor)}
    )


@require_GET
@page
def day_view(request: Any, workday_id: int) -> HttpResponse:
    """One workday and its plan."""
    found = day_of(request.actor, workday_id)
    form = None if found.state in ("held", "cancelled") else AnswerForm(people=people_for(request))
    return render(request, "web/day/day.html", {"page": day_pages.day_page(found, request.actor, form)})


@require_POST
@page
def day_plan(request: Any, workday_id: int) -> HttpResponse:
    """Ask for a plan; it is worked out elsewhere."""
    return act(
        request,
        reverse("day", args=[workday_id]),
        "A new plan has been asked for.",
        lambda: plans.request_plan(actor=request.actor, workday_id=workday_id),
    )


@require_GET
@page
def plan_state_view(request: Any, plan_id: int) -> HttpResponse:
    """How a plan stands, for the page that waits."""
    return JsonResponse(plan_state(request.actor, plan_id))


@require_GET
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


@require_GET
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
    who = "one person" if found.crew == 1 else f"{found.crew} people together"
    return values(
        sentence=f"{task_name(data['task'])}: likely {number.text}, for {who}.",
        number=number_of(number),
        facts=[
            Fact(*fact)
            for fact in hours_range(
                found.low_min, found.likely_min, found.high_min, found.mean_min, found.cautious_min
            )
        ],
        notes=(),
        recount="",
    )
