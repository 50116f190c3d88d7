"""Weekly hours: changing them, and letting them end."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.http import HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from collection.queries.access import Actor, habit_for
from collection.usecases import habits
from collection.web.forms.people import ChangeHabitForm
from collection.web.pages import people as pages
from collection.web.views.base import act, page, version_sent
from collection.web.views.people import form_view, read_and_send


def _back(actor: Actor, member_id: int) -> str:
    return reverse("you") if actor.member_id == member_id else reverse("person", args=[member_id])


@read_and_send
@page
def change(request: Any, habit_id: int) -> HttpResponse:
    """Change weekly hours: the person himself, or a coordinator."""
    habit = habit_for(request.actor, habit_id)
    first = {
        "weekday": habit.weekday,
        "hours": f"{habit.minutes / 60:g}",
        "every_weeks": habit.every_weeks,
        "starts": habit.starts,
        "ends": habit.ends,
        "version": habit.version,
    }
    form = ChangeHabitForm(request.POST if request.method == "POST" else None, initial=first)
    back = _back(request.actor, habit.member_id)

    def keep() -> None:
        habits.change_habit(
            actor=request.actor,
            habit_id=habit_id,
            version=form.cleaned_data["version"] or 0,
            **form.values(),
        )

    shown = partial(pages.habit_page, habit.member.name, back)
    return form_view(request, form, shown, keep, "The hours are written down.", back)


@require_POST
@page
def end(request: Any, habit_id: int) -> HttpResponse:
    """No more of these hours after today."""
    habit = habit_for(request.actor, habit_id)
    return act(
        request,
        _back(request.actor, habit.member_id),
        "The hours end today.",
        lambda: habits.end_habit(
            actor=request.actor,
            habit_id=habit_id,
            version=version_sent(request),
            last_day=request.today,
        ),
    )
