"""The season: its load against the hours people offer."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from collection.queries.access import club_of
from collection.queries.clock import local
from collection.queries.club_pages import season_waits
from collection.queries.growth import club_growth
from collection.queries.requests import requests_of
from collection.queries.season import season_of
from collection.usecases import season_asked
from collection.web.pages import season as season_pages
from collection.web.views.base import page


@require_safe
@page
def home(request: Any) -> HttpResponse:
    """The way in: the season for those who plan, else one's own page with days, requests and trees."""
    return redirect("season" if request.actor.plans or request.actor.member_id is None else "you")


@require_safe
@page
def season_view(request: Any) -> HttpResponse:
    """The season's load against the hours people offer."""
    club = club_of(request.actor)
    found = season_of(request.actor, today=request.today)
    now = local(timezone.now(), club.zone)
    shown = season_pages.season_page(
        found,
        request.actor,
        last_frost=club.last_frost,
        now=f"{now:%a} {now.day} {now:%b %Y, %H:%M}",
        waits=club.season_asked_at is not None,
        requests=requests_of(request.actor, today=request.today),
        growth=club_growth(request.actor, today=request.today),
    )
    return render(request, "web/season/season.html", {"page": shown})


@require_POST
@page
def season_again(request: Any) -> HttpResponse:
    """Ask for the season to be worked out again; the page says so until it is."""
    season_asked.ask(actor=request.actor)
    return redirect("season")


@require_safe
@page
def season_state(request: Any) -> HttpResponse:
    """Whether the season is being worked out, for the page that waits."""
    waits = season_waits(request.actor.club_id)
    return JsonResponse({"state": "waiting" if waits else "ready"})
