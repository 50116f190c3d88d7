"""Rounds: what is due on which bench, and ticking a whole one off."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from collection.queries.errors import Refused
from collection.queries.people import names
from collection.queries.rounds import RoundSheet, round_sheet, rounds_of
from collection.usecases.rounds import tick
from collection.usecases.sittings import Worked
from collection.web.forms.rounds import RoundForm
from collection.web.forms.sitting import began
from collection.web.pages.rounds import round_page, rounds_page
from collection.web.views.base import at_field, page


@require_safe
@page
def rounds_view(request: Any) -> HttpResponse:
    """Every round that is due."""
    found = rounds_of(request.actor, today=request.today)
    return render(request, "web/round/list.html", {"page": rounds_page(found, request.today)})


@require_http_methods(["GET", "HEAD", "POST"])
@page
def round_view(request: Any, round_id: int) -> HttpResponse:
    """One round: its trees, and who walked it."""
    found = round_sheet(request.actor, round_id)
    posted = request.method == "POST"
    form = RoundForm(
        request.POST if posted else None,
        people=names(request.actor, request.today),
        trees=[(pk, f"{accession} {title}") for pk, accession, title, _ in found.trees],
        today=request.today,
        initial=_first(request, found),
    )
    if posted and form.is_valid():
        try:
            _tick(request, round_id, form)
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, f"{found.row.title} is ticked off. Thank you.")
            return redirect("rounds")
    shown = round_page(found, form if found.open or posted else None)
    return render(request, "web/round/round.html", {"page": shown}, status=400 if posted else 200)


def _first(request: Any, found: RoundSheet) -> dict[str, Any]:
    return {
        "people": [str(request.actor.member_id)],
        "on": request.today,
        "minutes": found.minutes or None,
        "trees": [str(pk) for pk, *_ in found.trees],
    }


def _tick(request: Any, round_id: int, form: RoundForm) -> None:
    data = form.cleaned_data
    started = began(data["on"], data["minutes"], ZoneInfo(request.club.zone))
    tick(
        actor=request.actor,
        round_id=round_id,
        people=[Worked(int(pk), data["minutes"]) for pk in data["people"]],
        started=started,
        ended=started + timedelta(minutes=data["minutes"]),
        left_out=form.left_out(),
        request_key=data["key"],
        now=timezone.now(),
    )
