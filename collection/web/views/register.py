"""The register: finding trees, adding one, changing one."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from collection.queries.errors import Refused
from collection.queries.people import names
from collection.queries.register import SORTS, STATES, Wanted, choices, register
from collection.queries.tree_fields import places_for_trees, tree_fields
from collection.usecases.trees import add_tree, change_tree
from collection.web.forms.register import TreeForm
from collection.web.pages.register import list_page
from collection.web.pages.tree_form import edit_page, new_page
from collection.web.views.base import at_field, number, page

LONGEST = 80


@require_safe
@page
def trees_view(request: Any) -> HttpResponse:
    """The register, narrowed and sorted by its address; what is not understood is left out."""
    asked = request.GET
    wanted = Wanted(
        query=asked.get("q", "")[:LONGEST].strip(),
        group=asked.get("group", "")[:3],
        stage=asked.get("stage", "")[:1],
        where=asked.get("where", "")[:30],
        carer=number(asked.get("carer", "")) or None,
        state=_one_of(STATES, asked.get("state", "")),
        sort=_one_of(SORTS, asked.get("sort", "")) or "tag",
        start=number(asked.get("from", "")),
    )
    found = register(request.actor, wanted, today=request.today)
    shown = list_page(found, wanted, choices(request.actor), request.actor, request.today)
    return render(request, "web/tree/list.html", {"page": shown})


def _one_of(known: tuple[str, ...], text: str) -> str:
    return text if text in known else ""


@require_http_methods(["GET", "HEAD", "POST"])
@page
def new_tree(request: Any) -> HttpResponse:
    """A coordinator puts a tree on the register."""
    form = TreeForm(
        request.POST or None,
        inches=request.club.inches,
        places=places_for_trees(request.actor),
        people=names(request.actor, request.today),
    )
    if request.method == "POST" and form.is_valid():
        tree_id = _add(request, form)
        if tree_id is not None:
            messages.success(request, "The tree is on the register. What is due on it is listed below.")
            return redirect("tree", tree_id)
    status = 400 if request.method == "POST" else 200
    return render(request, "web/form_page.html", {"page": new_page(form)}, status=status)


def _add(request: Any, form: TreeForm) -> int | None:
    site, bench = form.site_and_bench()
    try:
        return add_tree(
            actor=request.actor,
            accession=form.cleaned_data["accession"],
            site_id=site,
            bench_id=bench,
            on=form.cleaned_data["acquired_on"] or request.today,
            today=request.today,
            **form.values(),
        )
    except Refused as refused:
        at_field(form, refused, {"site_id": "place", "bench_id": "place"})
        return None


@require_http_methods(["GET", "HEAD", "POST"])
@page
def edit_tree(request: Any, tree_id: int) -> HttpResponse:
    """A coordinator changes what is known of a tree."""
    tree = tree_fields(request.actor, tree_id)
    form = TreeForm(
        request.POST or None,
        tree=tree,
        inches=request.club.inches,
        people=names(request.actor, request.today),
    )
    if request.method == "POST" and form.is_valid():
        try:
            change_tree(
                actor=request.actor,
                tree_id=tree_id,
                version=form.cleaned_data["version"],
                today=request.today,
                **form.values(),
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, "The changes are kept.")
            return redirect("tree", tree_id)
    status = 400 if request.method == "POST" else 200
    return render(request, "web/form_page.html", {"page": edit_page(tree, form)}, status=status)
