"""A link from a mail: GET shows what it is about and changes nothing, POST does one act of one person.

Nobody needs to sign in. Mail programs open links by themselves, so nothing is done before a button is
pressed; and a mail program's own one-tap stop is the one POST without a form of ours.
"""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt, csrf_protect
from django.views.decorators.http import require_http_methods

from collection.queries.errors import Refused
from collection.queries.link_pages import Asked, asked_by
from collection.queries.links import ticket_in
from collection.queries.sentences import say
from collection.usecases import answers_by_mail
from collection.web.pages import links as pages


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@csrf_exempt
def link(request: Any, token: str) -> HttpResponse:
    """The page of a link, or the one-tap stop of a mail program (RFC 8058)."""
    if request.method == "POST" and request.POST.get("List-Unsubscribe") == "One-Click":
        ticket = ticket_in(token, timezone.now())
        if ticket is not None and answers_by_mail.stop(ticket=ticket, now=timezone.now()):
            return HttpResponse("Stopped.\n", content_type="text/plain; charset=utf-8")
        return _gone(request)
    return _by_hand(request, token)


@csrf_protect
def _by_hand(request: Any, token: str) -> HttpResponse:
    now = timezone.now()
    ticket = ticket_in(token, now)
    asked = asked_by(ticket, now) if ticket else None
    if ticket is None or asked is None:
        return _gone(request)
    if request.method == "POST":
        try:
            answers_by_mail.answer(
                ticket=ticket,
                choice=request.POST.get("answer", ""),
                now=now,
                shown=request.POST.get("shown", ""),
            )
        except Refused as refused:
            again = asked_by(ticket, now)
            if again is None or refused.kind == "not_found":
                return _gone(request)
            return _shown(request, again, say(refused.reason), status=409)
        return HttpResponseRedirect(request.path)
    return _shown(request, asked)


def _shown(request: Any, asked: Asked, refused: str = "", status: int = 200) -> HttpResponse:
    request.club_name = asked.club_name
    shown = pages.link_page(asked, request.path, request.GET.get("say", ""), refused)
    return render(request, "web/link/link.html", {"page": shown}, status=status)


def _gone(request: Any) -> HttpResponse:
    """One page for a wrong, an old and a foreign link."""
    sentence = say(Refused("link_gone", kind="not_found").reason)
    return render(request, "web/link/gone.html", {"sentence": sentence}, status=404)
