"""Places at a bend: asking somebody, the answer, and giving a place back."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from collection.queries.bends import bend_of_invitation, bend_of_place
from collection.usecases import places
from collection.web.views.base import act, number, page


def _back(bend_id: int | None) -> str:
    return reverse("bend", args=[bend_id]) if bend_id else reverse("bends")


@require_POST
@page
def ask(request: Any, bend_id: int) -> HttpResponse:
    """Ask a member to help."""
    return act(
        request,
        _back(bend_id),
        "The question is on its way. The first to say yes has the place.",
        lambda: places.ask(
            actor=request.actor,
            bend_id=bend_id,
            member_id=number(request.POST.get("member", "")),
            today=request.today,
        ),
    )


@require_POST
@page
def answer(request: Any, invitation_id: int) -> HttpResponse:
    """Say yes or no to a question."""
    back = _back(bend_of_invitation(request.actor, invitation_id))
    if request.POST.get("answer") == "yes":
        return act(
            request,
            back,
            "Thank you. The place is yours.",
            lambda: places.accept(actor=request.actor, invitation_id=invitation_id, today=request.today),
        )
    return act(
        request,
        back,
        "Thank you for answering.",
        lambda: places.decline(actor=request.actor, invitation_id=invitation_id),
    )


@require_POST
@page
def withdraw(request: Any, invitation_id: int) -> HttpResponse:
    """Take a question back."""
    return act(
        request,
        _back(bend_of_invitation(request.actor, invitation_id)),
        "The question is taken back.",
        lambda: places.withdraw(actor=request.actor, invitation_id=invitation_id),
    )


@require_POST
@page
def give_back(request: Any, place_id: int) -> HttpResponse:
    """Give a place back."""
    return act(
        request,
        _back(bend_of_place(request.actor, place_id)),
        "The place is open again, and those who lead are told.",
        lambda: places.give_back(actor=request.actor, place_id=place_id),
    )
