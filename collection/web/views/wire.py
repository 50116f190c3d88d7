"""Wire and guys by the day on which to look; a look in two taps; on, off, and wire on the rack."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.queries import gear as found
from collection.queries import wire_needed
from collection.queries.branch_choices import branches_of
from collection.queries.errors import Refused
from collection.queries.wire_clock import club_clocks
from collection.usecases import gear, trees
from collection.web.forms.wire import GuyForm, OffForm, StockForm, WireForm
from collection.web.pages import wire as wire_pages
from collection.web.pages import wire_needed as needed_pages
from collection.web.views.base import act, at_field, page


@require_safe
@page
def wire_view(request: Any) -> HttpResponse:
    """Everything that is on, late looks first."""
    rows = found.on_trees(request.actor, today=request.today)
    clocks = club_clocks(request.actor)
    return render(request, "web/wire/list.html", {"page": wire_pages.list_page(rows, request.today, clocks)})


@require_safe
@page
def one(request: Any, pk: int, guy: bool) -> HttpResponse:
    """One wire or guy, with the three answers of a look."""
    return _shown(request, pk, guy)


def _shown(request: Any, pk: int, guy: bool, form: OffForm | None = None, status: int = 200) -> HttpResponse:
    row = found.one_on_tree(request.actor, pk, guy=guy, today=request.today)
    number = None if guy else found.look_sum(request.actor, pk, today=request.today)
    shown = wire_pages.one_page(row, form or OffForm(initial={"on": request.today}), number)
    return render(request, "web/wire/one.html", {"page": shown}, status=status)


@require_POST
@page
def look(request: Any, pk: int, guy: bool) -> HttpResponse:
    """Write a look of today down."""
    seen = request.POST.get("seen", "")
    done = "The look is written down."
    if seen == "marking" and not guy:
        done = "The look is written down. Taking the wire off is now an urgent job on the tree."

    def see() -> None:
        if guy:
            trees.look_at_guy(actor=request.actor, guy_id=pk, on=request.today, seen=seen)
        else:
            trees.look(actor=request.actor, wire_id=pk, on=request.today, seen=seen)

    return act(request, reverse("wire"), done, see)


@require_POST
@page
def off(request: Any, pk: int, guy: bool) -> HttpResponse:
    """Write down that it came off."""
    found.one_on_tree(request.actor, pk, guy=guy, today=request.today)
    form = OffForm(request.POST)
    if form.is_valid():
        on = form.cleaned_data["on"]
        try:
            if guy:
                gear.take_guy_off(actor=request.actor, guy_id=pk, on=on)
            else:
                trees.take_wire_off(actor=request.actor, wire_id=pk, on=on)
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, "It is written down as off.")
            return redirect("wire")
    return _shown(request, pk, guy, form, 400)


@require_safe
@page
def needed(request: Any, tree_id: int) -> HttpResponse:
    """The wire for one tree, in the metal that suits it or in the one asked for."""
    rows = wire_needed.wire_needed(request.actor, tree_id, metal=request.GET.get("metal", ""))
    return render(request, "web/wire/needed.html", {"page": needed_pages.needed_page(rows)})


@require_safe
@page
def of_day(request: Any, workday_id: int) -> HttpResponse:
    """The wire for the jobs of a day against the rack."""
    rows = wire_needed.day_wire(request.actor, workday_id)
    return render(request, "web/wire/day.html", {"page": needed_pages.day_page(rows)})


@require_http_methods(["GET", "HEAD", "POST"])
@page
def new(request: Any, tree_id: int, guy: bool) -> HttpResponse:
    """Wire or a guy put on a tree."""
    tree = branches_of(request.actor, tree_id)
    first = {"on": request.today, "label": found.next_label(request.actor, tree_id, guy=guy)}
    kind = GuyForm if guy else WireForm
    form = kind(request.POST or None, branches=tree.branches, initial=first)
    if request.method == "POST" and form.is_valid():
        put_on = trees.add_guy if guy else trees.put_wire_on
        try:
            put_on(actor=request.actor, tree_id=tree_id, **form.said())
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, "It is written down. The day to look is on the tree's page.")
            return redirect("tree", tree_id)
    status = 400 if request.method == "POST" else 200
    return render(
        request, "web/wire/new.html", {"page": wire_pages.new_page(tree, form, guy=guy)}, status=status
    )


@require_http_methods(["GET", "HEAD", "POST"])
@page
def stock_view(request: Any) -> HttpResponse:
    """Wire on the rack, and a way to write it down."""
    form = StockForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            gear.set_stock(actor=request.actor, **form.cleaned_data)
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, "The rack is written down.")
            return redirect("wire-stock")
    shown = wire_pages.stock_page(found.stock(request.actor), request.actor, form)
    status = 400 if request.method == "POST" else 200
    return render(request, "web/wire/stock.html", {"page": shown}, status=status)
