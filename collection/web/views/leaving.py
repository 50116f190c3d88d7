"""Leaving the club: what it touches, then doing it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth import logout
from django.http import HttpResponse
from django.shortcuts import redirect, render

from collection.queries.errors import Refused
from collection.queries.leaving import leaving_of
from collection.usecases.leaving import leave
from collection.web.forms.leaving import LeaveForm
from collection.web.pages import leaving as pages
from collection.web.views.base import at_field, page
from collection.web.views.people import read_and_send


@read_and_send
@page
def leave_view(request: Any, member_id: int) -> HttpResponse:
    """First what it touches; the button does it in one go."""
    found = leaving_of(request.actor, member_id, today=request.today)
    if found.nothing_left:
        return render(request, "web/said.html", {"page": pages.nothing_page(found)})
    posted = request.method == "POST"
    form = LeaveForm(request.POST if posted else None, leaving=found, initial={"version": found.version})
    if posted and form.is_valid():
        try:
            stays = leave(
                actor=request.actor,
                member_id=member_id,
                version=form.cleaned_data["version"] or 0,
                today=request.today,
                owned=form.owned(),
                cared=form.cared(),
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            return _gone(request, found.name, found.is_me, stays)
    shown = pages.leave_page(found, form)
    return render(request, "web/person/leave.html", {"page": shown}, status=400 if posted else 200)


def _gone(request: Any, name: str, is_me: bool, stays: bool) -> HttpResponse:
    """A coordinator goes back to the people; who left himself is out, or in his other club."""
    if not is_me:
        messages.success(request, f"{name} has left the club. What was done stays on record.")
        return redirect("people")
    club = request.club.name
    if stays:
        request.session.pop("club", None)
    else:
        logout(request)
    messages.success(request, f"You have left {club}. Thank you for what you did there.")
    return redirect("season" if stays else "sign-in")
