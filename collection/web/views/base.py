"""What every page does: find who asks, and answer refusals in words."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from collection.queries.access import Actor, actor_of
from collection.queries.clock import today_in
from collection.queries.errors import Refused
from collection.queries.people import club_facts
from collection.queries.sentences import say

STATUS = {"not_found": 404, "forbidden": 403, "invalid": 400, "stale": 409, "conflict": 409}
View = Callable[..., HttpResponse]


class ActorRequest(HttpRequest):
    """A request whose person is known."""

    actor: Actor
    club_name: str
    today: Any


def page(view: View) -> View:
    """A page for members: signs in first, finds the club, and turns a refusal into its own page."""

    @login_required
    @wraps(view)
    def wrapped(request: Any, *args: Any, **kwargs: Any) -> HttpResponse:
        try:
            request.actor = actor_of(
                request.user, today=today_in("UTC"), club_id=request.session.get("club"), door="page"
            )
            facts = club_facts(request.actor.club_id)
            request.club_name, request.today = facts.name, today_in(facts.zone)
            request.club = facts
            return view(request, *args, **kwargs)
        except Refused as refused:
            return refusal(request, refused)

    return wrapped


def refusal(request: HttpRequest, refused: Refused) -> HttpResponse:
    """The page that says why not, with the status of its kind."""
    status = STATUS[refused.kind]
    template = {404: "404.html", 403: "403.html"}.get(status, "web/refused.html")
    return render(request, template, {"sentence": say(refused.reason)}, status=status)


def act(request: HttpRequest, back: str, done: str, use_case: Callable[[], Any]) -> HttpResponse:
    """Run a use case for a button, say what was done or why not, and go back to a page.

    Not found and forbidden stay pages of their own.
    """
    try:
        use_case()
    except Refused as refused:
        if refused.kind in ("not_found", "forbidden"):
            raise
        messages.error(request, say(refused.reason))
    else:
        messages.success(request, done)
    return HttpResponseRedirect(back)
