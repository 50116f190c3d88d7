"""Counting a tree in steps, and drawing its branches."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from collection.queries.errors import Refused
from collection.queries.tree_counts import CountSheet, branch_row, branch_sheet, count_sheet
from collection.usecases.branches import add_branch, change_branch, remove_branch
from collection.usecases.counts import record_counts
from collection.web.forms.counts import MOST, STEPS, BranchForm, CountForm
from collection.web.pages.tree_counts import (
    branch_page,
    branch_rows,
    branches_page,
    count_page,
    same_text,
)
from collection.web.views.base import act, at_field, page, version_sent


@require_http_methods(["GET", "HEAD", "POST"])
@page
def counts(request: Any, tree_id: int) -> HttpResponse:
    """Anybody writes down what he counted; the small buttons only change the figures on the page."""
    sheet = count_sheet(request.actor, tree_id, today=request.today)
    form = CountForm(request.POST if request.method == "POST" else None, inches=request.club.inches)
    status = 200
    if request.method == "POST" and ("step" in request.POST or "same" in request.POST):
        form = CountForm(initial=_pressed(request, sheet, form), inches=request.club.inches)
    elif request.method == "POST":
        if form.is_valid() and _keep(request, tree_id, form):
            return redirect("tree", tree_id)
        status = 400
    shown = count_page(sheet, form, request.today)
    return render(request, "web/tree/counts.html", {"page": shown}, status=status)


def _keep(request: Any, tree_id: int, form: CountForm) -> bool:
    try:
        record_counts(
            actor=request.actor,
            tree_id=tree_id,
            on=request.today,
            counts=form.counts(),
            guessed=form.cleaned_data["guessed"],
        )
    except Refused as refused:
        at_field(form, refused)
        return False
    messages.success(request, "The counts are written down, and the hours worked out again.")
    return True


def _pressed(request: Any, sheet: CountSheet, form: CountForm) -> dict[str, Any]:
    """What the fields hold after a small button: a step from what stands there, or the earlier figure again.

    An empty field steps from the earlier figure that the page shows beside it.
    """
    held = {name: request.POST.get(name, "") for name in form.fields}
    kind, _, far = request.POST.get("step", "").partition(":")
    if kind in STEPS:
        known = sheet.earlier.get(kind)
        now = round(known.amount) if known else 0
        if held[kind].isdecimal() and len(held[kind]) < 7:
            now = int(held[kind])
        step = STEPS[kind] if far != f"-{STEPS[kind]}" else -STEPS[kind]
        held[kind] = max(0, min(MOST, now + step))
    same = request.POST.get("same", "")
    for name, earlier in sheet.earlier.items():
        if name in form.fields and same in (name, "all"):
            held[name] = same_text(name, earlier, form)
    return held


@require_http_methods(["GET", "HEAD", "POST"])
@page
def branches(request: Any, tree_id: int) -> HttpResponse:
    """The branches of a tree; anybody draws one more."""
    sheet = branch_sheet(request.actor, tree_id)
    posted = request.POST if request.method == "POST" else None
    first = {"label": f"B{len(sheet.rows) + 1}"}
    form = BranchForm(posted, inches=request.club.inches, initial=first)
    if posted is not None and form.is_valid():
        try:
            add_branch(actor=request.actor, tree_id=tree_id, **form.values())
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, f"Branch {form.cleaned_data['label']} is drawn.")
            return redirect("tree-branches", tree_id)
    shown = branches_page(sheet, form, branch_rows(sheet, form))
    return render(
        request, "web/tree/branches.html", {"page": shown}, status=400 if posted is not None else 200
    )


@require_http_methods(["GET", "HEAD", "POST"])
@page
def branch(request: Any, branch_id: int) -> HttpResponse:
    """One branch; anybody puts its figures right."""
    sheet, row = branch_row(request.actor, branch_id)
    posted = request.POST if request.method == "POST" else None
    form = BranchForm(posted, branch=row, inches=request.club.inches)
    if posted is not None and form.is_valid():
        try:
            change_branch(
                actor=request.actor,
                branch_id=branch_id,
                version=form.cleaned_data["version"] or 0,
                **form.values(),
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, f"Branch {form.cleaned_data['label']} is changed.")
            return redirect("tree-branches", sheet.tree_id)
    shown = branch_page(sheet, row, form)
    return render(request, "web/form_page.html", {"page": shown}, status=400 if posted is not None else 200)


@require_POST
@page
def remove(request: Any, branch_id: int) -> HttpResponse:
    """Take a branch off the drawing."""
    sheet, row = branch_row(request.actor, branch_id)
    return act(
        request,
        reverse("tree-branches", args=[sheet.tree_id]),
        f"Branch {row.label} is taken off the drawing.",
        lambda: remove_branch(actor=request.actor, branch_id=branch_id, version=version_sent(request)),
    )
