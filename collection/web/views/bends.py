"""Heavy bends: the list, one bend, wanting one, and what is decided about it."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.queries.access import must_plan
from collection.queries.bends import bend_list, bend_of_job, bend_sheet
from collection.queries.branch_choices import branches_of
from collection.queries.errors import Refused
from collection.usecases import bends
from collection.web.forms.bend import BendForm, RefuseForm
from collection.web.pages import bends as bend_pages
from collection.web.views.base import act, at_field, number, page, version_sent


@require_safe
@page
def bends_view(request: Any) -> HttpResponse:
    """Heavy bends, how each stands."""
    found = bend_list(request.actor, today=request.today)
    return render(request, "web/bend/list.html", {"page": bend_pages.list_page(found, request.today)})


@require_safe
@page
def bend_view(request: Any, bend_id: int) -> HttpResponse:
    """One bend: who, why so many, what it waits for, who could help."""
    return _shown(request, bend_id)


def _shown(request: Any, bend_id: int, form: RefuseForm | None = None, status: int = 200) -> HttpResponse:
    sheet = bend_sheet(request.actor, bend_id, today=request.today)
    shown = bend_pages.bend_page(sheet, request.actor, request.today, form)
    return render(request, "web/bend/bend.html", {"page": shown}, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@page
def new(request: Any, tree_id: int) -> HttpResponse:
    """Want a heavy bend on a tree."""
    must_plan(request.actor)
    tree = branches_of(request.actor, tree_id)
    form = BendForm(request.POST or None, branches=tree.branches, initial={"opens": request.today})
    if request.method == "POST" and form.is_valid():
        try:
            job = bends.want_bend(actor=request.actor, tree_id=tree_id, **form.wish())
        except Refused as refused:
            at_field(form, refused)
        else:
            return redirect("bend", bend_of_job(request.actor, job))
    status = 400 if request.method == "POST" else 200
    return render(request, "web/bend/new.html", {"page": bend_pages.new_page(tree, form)}, status=status)


def _back(bend_id: int) -> str:
    return reverse("bend", args=[bend_id])


@require_POST
@page
def sign(request: Any, bend_id: int) -> HttpResponse:
    """Sign a heavy bend off."""
    return act(
        request,
        _back(bend_id),
        "The bend is signed off.",
        lambda: bends.sign_off(
            actor=request.actor,
            bend_id=bend_id,
            version=version_sent(request),
            today=request.today,
        ),
    )


@require_POST
@page
def refuse(request: Any, bend_id: int) -> HttpResponse:
    """Say no to a bend, with a reason."""
    form = RefuseForm(request.POST)
    if form.is_valid():
        try:
            bends.refuse(
                actor=request.actor,
                bend_id=bend_id,
                version=form.cleaned_data["version"],
                why=form.cleaned_data["why"],
                today=request.today,
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            return HttpResponseRedirect(_back(bend_id))
    else:
        bends.must_judge(request.actor, request.today)
    return _shown(request, bend_id, form, 400)


@require_POST
@page
def release(request: Any, bend_id: int) -> HttpResponse:
    """Release a bend that somebody else refused."""
    return act(
        request,
        _back(bend_id),
        "The bend is released. It still needs a sign-off.",
        lambda: bends.release(
            actor=request.actor,
            bend_id=bend_id,
            version=version_sent(request),
            today=request.today,
        ),
    )


@require_POST
@page
def lead(request: Any, bend_id: int) -> HttpResponse:
    """Say who leads, or that nobody does yet."""
    member = number(request.POST.get("member", ""))
    return act(
        request,
        _back(bend_id),
        "The lead is written down." if member else "Nobody leads this bend now.",
        lambda: bends.set_lead(
            actor=request.actor,
            bend_id=bend_id,
            version=version_sent(request),
            member_id=member if "member" in request.POST and request.POST["member"] != "" else None,
            today=request.today,
        ),
    )
