"""One job: how pressing, not this year, this year after all, done before the club kept records."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.queries.access import must_plan
from collection.queries.errors import Refused
from collection.queries.tree_jobs import job_sheet, known_tree
from collection.queries.trees import job_tree
from collection.usecases import jobs
from collection.web.forms.jobs import BeforeForm, NotThisYearForm, PriorityForm
from collection.web.pages.forms import form_page, part
from collection.web.pages.parts import Tag
from collection.web.pages.tree_jobs import job_page
from collection.web.views.base import act, at_field, page, version_sent


@require_safe
@page
def job(request: Any, job_id: int) -> HttpResponse:
    """One job of a tree."""
    sheet = job_sheet(request.actor, job_id, today=request.today)
    shown = job_page(sheet, request.actor, request.today)
    return render(request, "web/job/job.html", {"page": shown})


def _filled(
    request: Any, job_id: int, name: str, form: Form, done: str, use_case: Callable[[], Any]
) -> HttpResponse:
    """Run a use case for a form of the job's page, or show the page again with what is wrong."""
    sheet = job_sheet(request.actor, job_id, today=request.today)
    if form.is_valid():
        try:
            use_case()
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, done)
            return redirect("tree", sheet.tree_id)
    shown = job_page(sheet, request.actor, request.today, {name: form})
    return render(request, "web/job/job.html", {"page": shown}, status=400)


@require_POST
@page
def priority(request: Any, job_id: int) -> HttpResponse:
    """A coordinator says how pressing a job is."""
    must_plan(request.actor)
    form = PriorityForm(request.POST, auto_id="pressing-%s")
    return _filled(
        request,
        job_id,
        "priority",
        form,
        "The priority is set.",
        lambda: jobs.set_priority(actor=request.actor, job_id=job_id, **form.cleaned_data),
    )


@require_POST
@page
def leave_for_this_year(request: Any, job_id: int) -> HttpResponse:
    """A coordinator leaves a job out for this season, with a reason."""
    must_plan(request.actor)
    form = NotThisYearForm(request.POST, auto_id="not-%s")
    return _filled(
        request,
        job_id,
        "not-this-year",
        form,
        "The job is left out this year. You can put it back on the tree's page.",
        lambda: jobs.not_this_year(
            actor=request.actor, job_id=job_id, today=request.today, **form.cleaned_data
        ),
    )


@require_POST
@page
def this_year(request: Any, job_id: int) -> HttpResponse:
    """A coordinator puts a job back that was left out."""
    tree_id = job_tree(request.actor, job_id)
    return act(
        request,
        reverse("tree", args=[tree_id]) if tree_id else reverse("season"),
        "The job is on the list again.",
        lambda: jobs.this_year_after_all(actor=request.actor, job_id=job_id, version=version_sent(request)),
    )


@require_POST
@page
def done_before(request: Any, job_id: int) -> HttpResponse:
    """Somebody who knows the tree says that a job was done before the club kept records."""
    sheet = job_sheet(request.actor, job_id, today=request.today)
    known_tree(request.actor, sheet.tree_id)
    form = BeforeForm(request.POST, today=request.today, task=sheet.task, auto_id="before-%s")
    return _filled(
        request,
        job_id,
        "done-before",
        form,
        "It is written down, and the tree's jobs follow it.",
        lambda: jobs.done_before(
            actor=request.actor,
            tree_id=sheet.tree_id,
            task=sheet.task,
            job_id=job_id,
            today=request.today,
            **form.cleaned_data,
        ),
    )


@require_http_methods(["GET", "HEAD", "POST"])
@page
def before(request: Any, tree_id: int) -> HttpResponse:
    """Somebody who knows the tree answers when work on it was last done."""
    tree = known_tree(request.actor, tree_id)
    posted = request.POST if request.method == "POST" else None
    form = BeforeForm(posted, today=request.today, initial={"task": request.GET.get("task", "")[:20]})
    if posted is not None and form.is_valid():
        data = form.cleaned_data
        try:
            jobs.done_before(
                actor=request.actor,
                tree_id=tree_id,
                task=data["task"],
                on=data["on"],
                why=data["why"],
                today=request.today,
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, "It is written down, and the tree's jobs follow it.")
            return redirect("tree", tree_id)
    here = reverse("tree", args=[tree_id])
    shown = form_page(
        title=f"Before our records: {tree.title}",
        tags=[Tag(tree.accession, here)],
        said="The programme counts from it. Only the year is shown.",
        url=reverse("tree-before", args=[tree_id]),
        form=form,
        parts=[part(form, "What was done", ("task", "on", "why"))],
        send="Write it down",
        back=(here, "Back to the tree"),
    )
    return render(request, "web/form_page.html", {"page": shown}, status=400 if posted is not None else 200)
