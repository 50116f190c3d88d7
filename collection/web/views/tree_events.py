"""Writing down what happened to a tree: moved, lent, shown, back, left, died."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from collection.queries.errors import Refused, not_found
from collection.queries.tree_events import outlook
from collection.queries.tree_fields import places_for_trees
from collection.usecases import tree_events
from collection.web.forms.register import site_and_bench
from collection.web.forms.tree_events import FORMS, EventForm
from collection.web.pages.tree_events import done_words, event_page
from collection.web.views.base import at_field, page


@require_http_methods(["GET", "HEAD", "POST"])
@page
def event(request: Any, tree_id: int, kind: str) -> HttpResponse:
    """A coordinator writes down what happened to a tree; the page says first what follows from it."""
    if kind not in FORMS:
        raise not_found()
    tree = outlook(request.actor, tree_id, request.today)
    more: dict[str, Any] = {"places": places_for_trees(request.actor)} if kind == "moved" else {}
    first = {"on": request.today, "version": tree.version, "place": tree.place}
    form = FORMS[kind](request.POST or None, initial=first, **more)
    if request.method == "POST" and form.is_valid():
        try:
            WRITES[kind](request, tree_id, form)
        except Refused as refused:
            at_field(form, refused, {"bench_id": "place", "site_id": "place"})
        else:
            messages.success(request, done_words(tree, kind))
            return redirect("tree", tree_id)
    status = 400 if request.method == "POST" else 200
    return render(request, "web/form_page.html", {"page": event_page(tree, kind, form)}, status=status)


def _out(request: Any, tree_id: int, form: EventForm) -> None:
    tree_events.take_out(actor=request.actor, tree_id=tree_id, today=request.today, **form.cleaned_data)


def _died(request: Any, tree_id: int, form: EventForm) -> None:
    tree_events.record_death(actor=request.actor, tree_id=tree_id, today=request.today, **form.cleaned_data)


def _lent(request: Any, tree_id: int, form: EventForm) -> None:
    data = form.cleaned_data
    tree_events.lend(actor=request.actor, tree_id=tree_id, to=data["to"], on=data["on"], until=data["until"])


def _show(request: Any, tree_id: int, form: EventForm) -> None:
    data = form.cleaned_data
    tree_events.send_to_show(
        actor=request.actor, tree_id=tree_id, where=data["where"], on=data["on"], until=data["until"]
    )


def _moved(request: Any, tree_id: int, form: EventForm) -> None:
    data = form.cleaned_data
    site, bench = site_and_bench(data["place"])
    tree_events.move_tree(
        actor=request.actor,
        tree_id=tree_id,
        version=data["version"],
        site_id=site,
        bench_id=bench,
        on=data["on"],
        today=request.today,
        why=data["why"],
    )


def _back(request: Any, tree_id: int, form: EventForm) -> None:
    tree_events.bring_back(actor=request.actor, tree_id=tree_id, today=request.today, **form.cleaned_data)


WRITES: dict[str, Callable[[Any, int, EventForm], None]] = {
    "out": _out,
    "died": _died,
    "lent": _lent,
    "show": _show,
    "moved": _moved,
    "back": _back,
}
