"""What every page does: find who asks, and answer refusals in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import wraps
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from collection.queries.access import Actor, actor_of
from collection.queries.clock import today_in
from collection.queries.errors import Refused, Stale
from collection.queries.people import club_facts
from collection.queries.sentences import say
from collection.web.views.two_answers import all_theirs, say_it_stays, settled, stale_page

STATUS = {"not_found": 404, "forbidden": 403, "invalid": 400, "stale": 409, "conflict": 409}
# Refusals that are never said beside a field: ``page`` makes a page of each. See ``at_field``.
OWN_PAGE = frozenset({"not_found", "forbidden", "stale"})
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
            request.actor = _who_asks(request)
            facts = club_facts(request.actor.club_id)
            request.actor = replace(request.actor, settled=settled(request))
            request.club_name, request.today = facts.name, today_in(facts.zone)
            request.club = facts
            answer = view(request, *args, **kwargs)
            if all_theirs(request):
                say_it_stays(request)
            return answer
        except Refused as refused:
            return refusal(request, refused)

    return wrapped


def _who_asks(request: Any) -> Actor:
    """The member who asks, in the club he chose, or in his first one when he is no longer in that."""
    chosen = request.session.get("club")
    try:
        return actor_of(request.user, club_id=chosen, door="page")
    except Refused:
        if chosen is None:
            raise
        request.session.pop("club")
        return actor_of(request.user, door="page")


def refusal(request: HttpRequest, refused: Refused) -> HttpResponse:
    """The page that says why not, with the status of its kind; a stale edit gets both values."""
    if isinstance(refused, Stale) and refused.wanted:
        return stale_page(request, refused)
    status = STATUS[refused.kind]
    template = {404: "404.html", 403: "403.html"}.get(status, "web/refused.html")
    return render(request, template, {"sentence": say(refused.reason)}, status=status)


def number(text: str) -> int:
    """A whole number that was sent; 0 for anything else, as no row and no version has it."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else 0


def version_sent(request: Any) -> int:
    """The version of the row that the person had read, as the page's button sent it."""
    return number(request.POST.get("version", ""))


def at_field(form: Any, refused: Refused, fields: Mapping[str, str] | None = None) -> None:
    """Say a refusal beside the field it is about, or above the form; what has a page of its own goes on.

    ``fields`` gives the form's name for a column where the two differ. Use it in every view that keeps what
    was typed:

        except Refused as refused:
            at_field(form, refused)

    A stale edit then becomes the page of two answers by itself, as long as the form has a hidden ``version``
    that reaches ``edit``: the page sends the same body to the same address again, with the version of now.
    """
    if refused.kind in OWN_PAGE:
        raise refused
    field = (fields or {}).get(refused.field, refused.field)
    form.add_error(field if field in form.fields else None, say(refused.reason))


def act(request: HttpRequest, back: str, done: str, use_case: Callable[[], Any]) -> HttpResponse:
    """Run a use case for a button, say what was done or why not, and go back to a page.

    Not found, forbidden and stale stay pages of their own.
    """
    try:
        use_case()
    except Refused as refused:
        if refused.kind in OWN_PAGE:
            raise
        messages.error(request, say(refused.reason))
    else:
        messages.success(request, done)
    return HttpResponseRedirect(back)
