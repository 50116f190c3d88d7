"""Buttons on a day's plan: ask for one, move, leave out, not here, send out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from collection.queries.access import plan_for
from collection.usecases import plans, sending
from collection.web.views.base import act, number, page

AGAIN = "The plan is being worked out again."


def _back(request: Any, plan_id: int) -> str:
    return reverse("day", args=[plan_for(request.actor, plan_id).workday_id])


def _again(request: Any, plan_id: int, change: Callable[..., int], **wish: Any) -> HttpResponse:
    """Change what the plan is asked for, and go back to the day while it is worked out again."""
    return act(
        request,
        _back(request, plan_id),
        AGAIN,
        lambda: change(actor=request.actor, plan_id=plan_id, **wish),
    )


@require_POST
@page
def ask(request: Any, workday_id: int) -> HttpResponse:
    """Ask for a plan; it is worked out elsewhere."""
    return act(
        request,
        reverse("day", args=[workday_id]),
        "A new plan has been asked for.",
        lambda: plans.request_plan(actor=request.actor, workday_id=workday_id),
    )


@require_POST
@page
def send(request: Any, plan_id: int) -> HttpResponse:
    """Send the plan out."""
    return act(
        request,
        _back(request, plan_id),
        "The plan is out and the places stand. Messages of the club shows who is to hear of it.",
        lambda: sending.send_out(actor=request.actor, plan_id=plan_id),
    )


@require_POST
@page
def move(request: Any, plan_id: int, job_id: int) -> HttpResponse:
    """Give a job to another person to lead."""
    asked = [request.POST.get("lead", ""), *request.POST.get("others", "").split(",")]
    people = list(dict.fromkeys(person for person in map(number, asked) if person))
    start = request.POST.get("start", "")
    return _again(request, plan_id, plans.move, job_id=job_id, people=people, start=start)


@require_POST
@page
def leave_out(request: Any, plan_id: int, job_id: int) -> HttpResponse:
    """Leave a job out of the day."""
    return _again(request, plan_id, plans.leave_out, job_id=job_id)


@require_POST
@page
def put_back(request: Any, plan_id: int, job_id: int) -> HttpResponse:
    """Take a job back in."""
    return _again(request, plan_id, plans.put_back_in, job_id=job_id)


@require_POST
@page
def not_here(request: Any, plan_id: int, member_id: int) -> HttpResponse:
    """Somebody is not here, or is here after all."""
    here = request.POST.get("here") == "yes"
    return _again(request, plan_id, plans.not_here, member_id=member_id, here=here)
