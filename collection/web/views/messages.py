"""What people were told: one's own messages, and for coordinators those of the club."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from collection.queries.messages import club_messages, own_messages, still_to_hear
from collection.web.pages import messages as pages
from collection.web.views.base import number, page


@require_safe
@page
def own(request: Any) -> HttpResponse:
    """What the person who asks was told."""
    found = own_messages(request.actor, start=_start(request))
    return render(request, "web/message/list.html", {"page": pages.own_page(found, request.actor)})


@require_safe
@page
def whole_club(request: Any) -> HttpResponse:
    """What everybody was told, and whom no mail reaches."""
    now = timezone.now()
    found = club_messages(request.actor, today=request.today, now=now, start=_start(request))
    waiting = still_to_hear(request.actor, now=now)
    return render(request, "web/message/list.html", {"page": pages.club_page(found, waiting)})


def _start(request: Any) -> int:
    return number(request.GET.get("start", ""))
