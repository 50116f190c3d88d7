"""Forms about a workday: a new one, its facts, open for offers, another date, calling it off."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from collection.queries.access import Actor, must_plan
from collection.queries.errors import Refused
from collection.queries.labels import day
from collection.queries.people import first_aid_names, names
from collection.queries.places import sites
from collection.queries.workdays import Day, day_of
from collection.usecases import workdays
from collection.usecases.clubs import add_site
from collection.web.forms.day import MOST_BREAKS, CancelForm, ChangeDayForm, DayForm, MoveForm, NewDayForm
from collection.web.pages.day_forms import cancel_page, change_page, move_page, new_page
from collection.web.views.base import act, at_field, page

FIELDS = {"date": "on", "lead_id": "lead", "first_aider_id": "first_aider", "breaks": "break_from"}
FORMS = ["GET", "HEAD", "POST"]
TOLD = "Messages of the club shows who is to hear of it."


@require_http_methods(FORMS)
@page
def new(request: Any) -> HttpResponse:
    """A coordinator puts a workday on the list, as a draft."""
    must_plan(request.actor)
    posted = request.method == "POST"
    form = NewDayForm(request.POST if posted else None, **_choices(request), initial=NEW)
    if posted and form.is_valid():
        try:
            made = workdays.create_workday(
                actor=request.actor,
                site_id=_site(request.actor, form),
                on=form.cleaned_data["on"],
                state="draft",
                **form.values(),
            )
        except Refused as refused:
            at_field(form, refused, FIELDS)
        else:
            messages.success(request, "The day is a draft. Open it for offers when it is right.")
            return redirect("day", made)
    return render(request, "web/day/form.html", {"page": new_page(form)}, status=400 if posted else 200)


NEW = {"briefing_min": 15, "closing_min": 30, "least_people": 2}


@require_http_methods(FORMS)
@page
def change(request: Any, workday_id: int) -> HttpResponse:
    """A coordinator changes when, where and with whom a day is held."""
    must_plan(request.actor)
    found = day_of(request.actor, workday_id)
    posted = request.method == "POST"
    pairs = min(len(found.breaks) + 1, MOST_BREAKS)
    form = ChangeDayForm(
        request.POST if posted else None, **_choices(request, found), breaks=pairs, initial=_stands(found)
    )
    if posted and form.is_valid():
        data = form.cleaned_data
        try:
            changes = form.values() | {"site_id": _site(request.actor, form)}
            workdays.change_workday(
                actor=request.actor, workday_id=workday_id, version=data["version"], changes=changes
            )
        except Refused as refused:
            at_field(form, refused, FIELDS)
        else:
            messages.success(request, "The day is changed.")
            return redirect("day", workday_id)
    status = 400 if posted else 200
    return render(request, "web/day/form.html", {"page": change_page(found, form)}, status=status)


@require_http_methods(FORMS)
@page
def move(request: Any, workday_id: int) -> HttpResponse:
    """A coordinator moves a day to another date."""
    must_plan(request.actor)
    found = day_of(request.actor, workday_id)
    posted = request.method == "POST"
    form = MoveForm(request.POST if posted else None, initial={"version": found.version})
    if posted and form.is_valid():
        data = form.cleaned_data
        try:
            workdays.move_workday(
                actor=request.actor,
                workday_id=workday_id,
                on=data["on"],
                keep_answers=data["keep_answers"],
                version=data["version"],
                today=request.today,
            )
        except Refused as refused:
            at_field(form, refused, FIELDS)
        else:
            messages.success(request, f"The day is now on {day(data['on'])}. {TOLD}")
            return redirect("day", workday_id)
    status = 400 if posted else 200
    return render(request, "web/day/form.html", {"page": move_page(found, form)}, status=status)


@require_http_methods(FORMS)
@page
def cancel(request: Any, workday_id: int) -> HttpResponse:
    """A coordinator calls a day off, with a reason."""
    must_plan(request.actor)
    found = day_of(request.actor, workday_id)
    posted = request.method == "POST"
    form = CancelForm(request.POST if posted else None, initial={"version": found.version})
    if posted and form.is_valid():
        data = form.cleaned_data
        try:
            workdays.cancel_workday(
                actor=request.actor, workday_id=workday_id, why=data["why"], version=data["version"]
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, f"The day is cancelled. {TOLD}")
            return redirect("day", workday_id)
    status = 400 if posted else 200
    return render(request, "web/day/form.html", {"page": cancel_page(found, form)}, status=status)


@require_POST
@page
def open_day(request: Any, workday_id: int) -> HttpResponse:
    """A draft takes answers from now on."""
    return act(
        request,
        reverse("day", args=[workday_id]),
        "The day is open for offers. Everybody is told.",
        lambda: workdays.open_for_offers(actor=request.actor, workday_id=workday_id),
    )


def _choices(request: Any, found: Day | None = None) -> dict[str, Any]:
    """Places and people to choose from; what a day has already is always among them."""
    places = [(site.id, site.name) for site in sites(request.actor)]
    everybody = names(request.actor, request.today)
    aiders = first_aid_names(request.actor, request.today)
    if found is not None:
        places += [(found.site_id, found.site)] if found.site_id not in dict(places) else []
        everybody += _kept(everybody, found.lead_id, found.lead)
        aiders += _kept(aiders, found.first_aider_id, found.first_aider)
    return {"sites": places, "people": everybody, "aiders": aiders}


def _kept(people: list[tuple[int, str]], member_id: int | None, name: str) -> list[tuple[int, str]]:
    return [] if member_id is None or member_id in dict(people) else [(member_id, name)]


def _site(actor: Actor, form: DayForm) -> int:
    """The place chosen, or the garden that was named, which joins the club's places."""
    data = form.cleaned_data
    if not data["garden"].strip():
        return int(data["site"])
    return add_site(actor=actor, name=data["garden"].strip(), kind="home", address=data["address"].strip())


def _stands(found: Day) -> dict[str, Any]:
    """The day as it stands, for its form."""
    first: dict[str, Any] = {
        "version": found.version,
        "opens": _wall(found.opens_min),
        "closes": _wall(found.closes_min),
        "site": found.site_id,
        "briefing_min": found.briefing_min,
        "closing_min": found.closing_min,
        "lead": found.lead_id or "",
        "first_aider": found.first_aider_id or "",
        "least_people": found.least,
        "most_people": found.most,
        "bring": found.bring,
    }
    for number, (start, end) in enumerate(found.breaks, start=1):
        tail = "" if number == 1 else f"_{number}"
        first |= {f"break_from{tail}": _wall(start), f"break_to{tail}": _wall(end)}
    return first


def _wall(minutes: int) -> str:
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
