"""The day itself and after it: a person's own page, who came, what was done."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.queries.day_after import Guest, came_of, day_after
from collection.queries.errors import Refused
from collection.queries.labels import counted
from collection.queries.my_day import my_day
from collection.queries.sentences import say
from collection.usecases.attendance import mark_came
from collection.usecases.day_record import record_as_planned
from collection.web.forms.day import CameForm
from collection.web.pages.day_held import after_page, came_page
from collection.web.pages.my_day import my_day_page
from collection.web.views.base import OWN_PAGE, at_field, page


@require_safe
@page
def mine(request: Any, workday_id: int) -> HttpResponse:
    """What whoever asks does on the day."""
    found = my_day(request.actor, workday_id)
    return render(request, "web/day/mine.html", {"page": my_day_page(found, request.today)})


@require_http_methods(["GET", "HEAD", "POST"])
@page
def came(request: Any, workday_id: int) -> HttpResponse:
    """A coordinator says who came, and that the day was held."""
    found = came_of(request.actor, workday_id, today=request.today)
    posted = request.method == "POST"
    first = [guest for guest in found.guests if guest.expected or guest.came]
    form = CameForm(
        request.POST if posted else None,
        expected=_named(first),
        others=_named([guest for guest in found.guests if guest not in first]),
        initial=_known(first),
    )
    if posted and form.is_valid():
        held = request.POST.get("held") == "yes"
        try:
            mark_came(
                actor=request.actor,
                workday_id=workday_id,
                member_ids=form.member_ids(),
                hours=form.hours(),
                today=request.today,
                held=held,
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, "The day was held. Thank you." if held else "Who came is written down.")
            return redirect("day-after" if held or found.state == "held" else "day", workday_id)
    status = 400 if posted else 200
    return render(request, "web/day/came.html", {"page": came_page(found, form)}, status=status)


def _named(guests: list[Guest]) -> list[tuple[int, str]]:
    return [(guest.id, guest.name) for guest in guests]


def _known(guests: list[Guest]) -> dict[str, Any]:
    """Ticks and hours as they are known; who said yes is ticked until somebody says otherwise."""
    ticked = [str(g.id) for g in guests if g.came or (g.came is None and g.expected)]
    first: dict[str, Any] = {"came": ticked}
    for guest in guests:
        first |= {f"arrived_{guest.id}": guest.arrived, f"left_{guest.id}": guest.left}
    return first


@require_safe
@page
def after(request: Any, workday_id: int) -> HttpResponse:
    """Which planned jobs are on record."""
    found = day_after(request.actor, workday_id, today=request.today)
    return render(request, "web/day/after.html", {"page": after_page(found, request.actor)})


@require_POST
@page
def record(request: Any, workday_id: int) -> HttpResponse:
    """Record the ticked jobs as they were planned."""
    asked = request.POST.getlist("jobs")
    chosen = [tuple(int(part) for part in text.split("~")) for text in asked if _is_key(text)]
    try:
        kept = record_as_planned(
            actor=request.actor,
            workday_id=workday_id,
            chosen=[(job, sitting) for job, sitting in chosen],
            request_key=request.POST.get("key", ""),
            today=request.today,
        )
    except Refused as refused:
        if refused.kind in OWN_PAGE:
            raise
        found = day_after(request.actor, workday_id, today=request.today)
        shown = after_page(found, request.actor, say(refused.reason), frozenset(asked))
        return render(request, "web/day/after.html", {"page": shown}, status=400)
    messages.success(request, f"{counted(kept, 'job is', 'jobs are')} on record, with minutes as planned.")
    return redirect("day-after", workday_id)


def _is_key(text: str) -> bool:
    parts = text.split("~")
    return len(parts) == 2 and all(part.isascii() and part.isdigit() and len(part) < 19 for part in parts)
