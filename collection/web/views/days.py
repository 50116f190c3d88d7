"""Workdays: the list, a day and its plan, a new day, answers."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.queries.access import must_plan
from collection.queries.answers import answer_versions
from collection.queries.errors import Refused
from collection.queries.people import names
from collection.queries.places import sites
from collection.queries.workdays import day_list, day_of, plan_state
from collection.usecases import plans
from collection.usecases.workdays import create_workday, offer_hours
from collection.web.forms.day import AnswerForm, NewDayForm
from collection.web.pages import days as day_pages
from collection.web.pages.parts import lead
from collection.web.pages.parts import page as values
from collection.web.views.base import act, at_field, page


@require_safe
@page
def days_view(request: Any) -> HttpResponse:
    """Workdays."""
    rows = day_list(request.actor)
    return render(
        request, "web/day/list.html", {"page": day_pages.list_page(rows, request.today, request.actor)}
    )


@require_safe
@page
def day_view(request: Any, workday_id: int) -> HttpResponse:
    """One workday and its plan."""
    found = day_of(request.actor, workday_id)
    form = None if found.state in ("held", "cancelled") else answer_form(request, workday_id)
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


@require_safe
@page
def plan_state_view(request: Any, plan_id: int) -> HttpResponse:
    """How a plan stands, for the page that waits."""
    return JsonResponse(plan_state(request.actor, plan_id))


@require_http_methods(["GET", "HEAD", "POST"])
@page
def new(request: Any) -> HttpResponse:
    """A coordinator puts a workday on the list."""
    must_plan(request.actor)
    places = [(site.id, site.name) for site in sites(request.actor)]
    posted = request.method == "POST"
    everybody = names(request.actor, request.today)
    form = NewDayForm(request.POST if posted else None, sites=places, people=everybody, aiders=everybody)
    if posted and form.is_valid():
        try:
            day = _create(request, form)
        except Refused as refused:
            at_field(form, refused, {"date": "on"})
        else:
            messages.success(request, "The day is on the list. Say who comes.")
            return redirect("day", day)
    shown = values(
        title="A new workday",
        lead=lead("Times are the club's own, in steps of five minutes."),
        url=reverse("day-new"),
        form=form,
        foot_left="",
        foot_right="",
    )
    return render(request, "web/day/new.html", {"page": shown}, status=400 if posted else 200)


def _create(request: Any, form: NewDayForm) -> int:
    data = form.cleaned_data
    return create_workday(actor=request.actor, site_id=int(data["site"]), on=data["on"], **form.values())


@require_POST
@page
def answer(request: Any, workday_id: int) -> HttpResponse:
    """Say whether somebody comes: a member for himself, a coordinator for anybody."""
    found = day_of(request.actor, workday_id)
    form = answer_form(request, workday_id)
    if form.is_valid():
        data = form.cleaned_data
        try:
            offer_hours(
                actor=request.actor,
                workday_id=workday_id,
                member_id=int(data["member"]),
                answer=data["answer"],
                arrives=data["arrives"],
                leaves=data["leaves"],
                version=form.version(),
            )
        except Refused as refused:
            at_field(form, refused, {"date": "on"})
        else:
            messages.success(request, "The answer is written down.")
            return redirect("day", workday_id)
    shown = day_pages.day_page(found, request.actor, form)
    return render(request, "web/day/day.html", {"page": shown}, status=400)


def answer_form(request: Any, workday_id: int) -> AnswerForm:
    """The form of an answer, filled in when it was sent."""
    return AnswerForm(
        request.POST if request.method == "POST" else None,
        people=people_for(request),
        versions=answer_versions(request.actor, workday_id),
    )


def people_for(request: Any) -> list[tuple[int, str]]:
    """Whom the person may answer for."""
    everybody = names(request.actor, request.today)
    return [p for p in everybody if request.actor.plans or p[0] == request.actor.member_id]
