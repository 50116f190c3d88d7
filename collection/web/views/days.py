"""Workdays: the list, a day with its plan, answers."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from collection.queries.access import plan_for
from collection.queries.answers import answer_versions
from collection.queries.errors import Refused
from collection.queries.missing import missing_before
from collection.queries.people import names
from collection.queries.requests import requests_of
from collection.queries.workdays import Day, day_list, day_of, plan_state
from collection.usecases.workdays import offer_hours
from collection.web.forms.day import AnswerForm, OwnAnswerForm
from collection.web.pages.day import day_page
from collection.web.pages.days import list_page
from collection.web.pages.missing import missing_page
from collection.web.views.base import at_field, page

# Two forms for answers stand on a coordinator's page.
OTHER = "other_%s"


@require_safe
@page
def days_view(request: Any) -> HttpResponse:
    """Workdays."""
    rows = day_list(request.actor)
    asked = requests_of(request.actor, today=request.today)
    return render(
        request, "web/day/list.html", {"page": list_page(rows, request.today, request.actor, asked)}
    )


@require_safe
@page
def day_view(request: Any, workday_id: int) -> HttpResponse:
    """One workday: who comes, and its plan."""
    found = day_of(request.actor, workday_id)
    return _day(request, found, *_forms(request, found))


@require_safe
@page
def missing(request: Any, workday_id: int) -> HttpResponse:
    """What is missing before a day, for coordinators."""
    found = missing_before(request.actor, workday_id)
    return render(request, "web/day/missing.html", {"page": missing_page(found)})


@require_safe
@page
def plan_view(request: Any, plan_id: int) -> HttpResponse:
    """A plan by itself, as it was sent out."""
    plan = plan_for(request.actor, plan_id)
    found = day_of(request.actor, plan.workday_id, plan_id=plan.pk)
    shown = day_page(found, request.actor, request.today, frozen=True)
    return render(request, "web/day/day.html", {"page": shown})


@require_safe
@page
def plan_state_view(request: Any, plan_id: int) -> HttpResponse:
    """How a plan stands, for the page that waits."""
    return JsonResponse(plan_state(request.actor, plan_id))


@require_POST
@page
def answer(request: Any, workday_id: int) -> HttpResponse:
    """Say whether somebody comes: a member for himself, a coordinator for anybody."""
    found = day_of(request.actor, workday_id)
    own, other = _forms(request, found)
    read = answer_versions(request.actor, workday_id)
    mine = request.POST.get("member") == str(request.actor.member_id)
    if mine or other is None:
        form: AnswerForm = OwnAnswerForm(request.POST, me=_me(request), versions=read)
        own = form
    else:
        people = names(request.actor, request.today)
        form = AnswerForm(request.POST, people=people, versions=read, auto_id=OTHER)
        other = form
    if form.is_valid():
        try:
            _keep(request, workday_id, form)
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, _thanks(request, form.cleaned_data))
            return redirect("day", workday_id)
    return _day(request, found, own, other, status=400)


def _keep(request: Any, workday_id: int, form: AnswerForm) -> None:
    data = form.cleaned_data
    offer_hours(
        actor=request.actor,
        workday_id=workday_id,
        member_id=int(data["member"]),
        answer=data["answer"],
        arrives=data["arrives"],
        leaves=data["leaves"],
        version=form.version(),
    )


def _thanks(request: Any, data: dict[str, Any]) -> str:
    if int(data["member"]) == request.actor.member_id:
        return "Your answer is kept. Thank you."
    name = dict(names(request.actor, request.today)).get(int(data["member"]), "")
    return f"The answer of {name} is written down."


def _me(request: Any) -> tuple[int, str]:
    return (request.actor.member_id, request.actor.name)


def _forms(request: Any, found: Day) -> tuple[AnswerForm | None, AnswerForm | None]:
    """The form of the own answer, and for coordinators the one for anybody."""
    if found.over:
        return None, None
    first: dict[str, Any] = {"arrives": _wall(found.opens_min), "leaves": _wall(found.closes_min)}
    if found.mine:
        mine = found.mine
        first = {
            "answer": mine.answer, "arrives": _wall(mine.arrives_min), "leaves": _wall(mine.leaves_min)
        }  # fmt: skip
    read = answer_versions(request.actor, found.id)
    own = OwnAnswerForm(me=_me(request), initial=first, versions=read)
    if not request.actor.plans:
        return own, None
    people = names(request.actor, request.today)
    return own, AnswerForm(people=people, versions=read, auto_id=OTHER)


def _wall(minutes: int) -> str:
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _day(
    request: Any, found: Day, own: AnswerForm | None, other: AnswerForm | None, *, status: int = 200
) -> HttpResponse:
    lacks = None
    if request.actor.plans and not found.over and found.date >= request.today:
        lacks = len(missing_before(request.actor, found.id).lacks)
    shown = day_page(found, request.actor, request.today, own=own, other=other, lacks=lacks)
    return render(request, "web/day/day.html", {"page": shown}, status=status)
