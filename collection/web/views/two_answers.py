"""A stale edit: the page of two answers, and reading the choice when it comes back.

Nothing has to be done in a view: ``base.page`` does both. The page sends what was typed to the same address
again, with the row's version of now as ``version``. Columns where the person chose "theirs" become
``actor.settled``, and ``edit`` leaves them alone.
"""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone

from collection.queries.errors import Stale
from collection.queries.two_answers import two_answers
from collection.web.pages import two_answers as pages


def stale_page(request: Any, stale: Stale) -> HttpResponse:
    """Both values of everything that two people changed, and a choice."""
    found = two_answers(request.actor, stale, timezone.now())
    shown = pages.two_answers_page(found, request.get_full_path(), request.POST.lists())
    return render(request, "web/two_answers.html", {"page": shown}, status=409)


def settled(request: Any) -> frozenset[str]:
    """Columns to leave as they are, as chosen on the page of two answers.

    A choice that was not made puts the version back to the one the person had read, so that the page comes
    again.
    """
    asked = request.POST.getlist(pages.ASKED)
    left = set(request.POST.getlist(pages.LEFT))
    for number in asked:
        choice = request.POST.get(f"{pages.CHOICE}{number}")
        if choice == "theirs":
            left |= set(request.POST.get(f"{pages.COLUMNS}{number}", "").split())
        elif choice != "yours":
            request.POST = request.POST.copy()
            request.POST["version"] = request.POST.get(pages.SEEN, "0")
    return frozenset(left)


def all_theirs(request: Any) -> bool:
    """Whether the choice was to leave everything as it is, so that nothing was written."""
    choices = [request.POST.get(f"{pages.CHOICE}{number}") for number in request.POST.getlist(pages.ASKED)]
    return bool(choices) and set(choices) == {"theirs"} and pages.MINE not in request.POST


def say_it_stays(request: Any) -> None:
    """Instead of what the view says was done, say that nothing was."""
    if list(messages.get_messages(request)):
        messages.success(request, "It stays as it was.")
