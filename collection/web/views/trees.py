"""The register, a tree's page, and small changes on it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from django.contrib import messages
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from collection.queries.errors import Refused
from collection.queries.tree_sheet import tree_sheet
from collection.queries.trees import job_tree
from collection.usecases.jobs import add_job, choose_window
from collection.usecases.trees import see_sign
from collection.web.forms.tree import JobForm, SignForm
from collection.web.pages import trees as tree_pages
from collection.web.views.base import act, at_field, page, version_sent


@require_safe
@page
def tree_view(request: Any, tree_id: int) -> HttpResponse:
    """One tree."""
    sheet = tree_sheet(request.actor, tree_id, today=request.today)
    return render(
        request, "web/tree/tree.html", {"page": tree_pages.tree_page(sheet, request.actor, request.today)}
    )


def _filled(
    request: Any, tree_id: int, name: str, form: Form, done: str, use_case: Callable[[], Any]
) -> HttpResponse:
    """Run a use case for a small form, or show the page again with what is wrong."""
    sheet = tree_sheet(request.actor, tree_id, today=request.today)
    if form.is_valid():
        try:
            use_case()
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, done)
            return redirect("tree", tree_id)
    shown = tree_pages.tree_page(sheet, request.actor, request.today, {name: form})
    return render(request, "web/tree/tree.html", {"page": shown}, status=400)


@require_POST
@page
def new_job(request: Any, tree_id: int) -> HttpResponse:
    """A coordinator adds a job by hand."""
    form = JobForm(request.POST)
    return _filled(
        request,
        tree_id,
        "job",
        form,
        "The job is on the list.",
        lambda: add_job(actor=request.actor, tree_id=tree_id, **form.cleaned_data),
    )


@require_POST
@page
def sign(request: Any, tree_id: int) -> HttpResponse:
    """Anybody writes down a sign he saw."""
    form = SignForm(request.POST)
    return _filled(
        request,
        tree_id,
        "sign",
        form,
        "The sign is written down.",
        lambda: see_sign(
            actor=request.actor, tree_id=tree_id, sign=form.cleaned_data["sign"], on=request.today
        ),
    )


def _window(request: Any) -> tuple[date, date] | None:
    """The window the button stood for, None when it does not say."""
    try:
        opens, closes = (date.fromisoformat(request.POST.get(name, "")) for name in ("opens", "closes"))
    except ValueError:
        return None
    return opens, closes


@require_POST
@page
def window(request: Any, job_id: int) -> HttpResponse:
    """Take a job's new window, or keep the old one."""
    tree_id = job_tree(request.actor, job_id)
    return act(
        request,
        reverse("tree", args=[tree_id]) if tree_id else reverse("season"),
        "The window is set.",
        lambda: choose_window(
            actor=request.actor,
            job_id=job_id,
            version=version_sent(request),
            take_new=request.POST.get("choice") == "new",
            window=_window(request),
        ),
    )
