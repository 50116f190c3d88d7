"""A person's own page: how he is reached, what he says, his hours, his mail, his sign-in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from collection.queries.accounts import club_to_enter, sign_in_of
from collection.queries.errors import Refused
from collection.queries.person import person
from collection.queries.requests import requests_of
from collection.usecases import abilities, accounts, habits, members
from collection.web.forms.people import HabitForm, SaysForm
from collection.web.pages import you as pages
from collection.web.views.base import act, at_field, number, page, version_sent


@require_safe
@page
def you_view(request: Any) -> HttpResponse:
    """One's own page."""
    return _shown(request)


def _shown(request: Any, **filled: Form) -> HttpResponse:
    found = person(request.actor, request.actor.member_id, today=request.today)
    mine = sign_in_of(request.actor, request.user, today=request.today)
    asked = requests_of(request.actor, today=request.today)
    shown = pages.you_page(found, mine, request.club.name, request.today, filled, asked)
    return render(request, "web/person/you.html", {"page": shown}, status=400 if filled else 200)


def _filled(request: Any, name: str, form: Form, done: str, use_case: Callable[[], Any]) -> HttpResponse:
    if form.is_valid():
        try:
            use_case()
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, done)
            return redirect("you")
    return _shown(request, **{name: form})


@require_POST
@page
def says(request: Any) -> HttpResponse:
    """What one can lift, is trained for, would like to learn."""
    me = request.actor.member_id
    found = person(request.actor, me, today=request.today)
    form = SaysForm(request.POST, said=found.says or (), auto_id="says_%s")
    return _filled(
        request,
        "says",
        form,
        "Your answers are written down.",
        lambda: abilities.answer_all(
            actor=request.actor, member_id=me, answers=form.answers(), on=request.today
        ),
    )


@require_POST
@page
def hours(request: Any) -> HttpResponse:
    """Hours most weeks."""
    form = HabitForm(request.POST, auto_id="habit_%s")
    return _filled(
        request,
        "hours",
        form,
        "Your hours are written down.",
        lambda: habits.add_habit(actor=request.actor, member_id=request.actor.member_id, **form.values()),
    )


@require_POST
@page
def mail(request: Any) -> HttpResponse:
    """Mail wanted or not."""
    wants = request.POST.get("wants") == "yes"
    return act(
        request,
        reverse("you"),
        "You get mail from the club." if wants else "You get no more mail from the club.",
        lambda: members.want_mail(
            actor=request.actor,
            member_id=request.actor.member_id,
            version=version_sent(request),
            wants=wants,
        ),
    )


@require_POST
@page
def theme(request: Any) -> HttpResponse:
    """Light, dark, or as the device says."""
    return act(
        request,
        reverse("you"),
        "The pages look as you chose.",
        lambda: accounts.choose_theme(account_id=request.user.pk, theme=request.POST.get("theme", "")),
    )


@require_POST
@page
def club(request: Any) -> HttpResponse:
    """Go to another club one is a member of."""
    wanted = club_to_enter(
        request.actor, request.user, number(request.POST.get("club", "")), today=request.today
    )
    request.session["club"] = wanted.id
    messages.success(request, f"You are in {wanted.name} now.")
    return redirect("season")
