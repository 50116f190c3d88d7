"""The people of a tree and the trees of a person: consent given, taken back, written down."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.queries.access import must_plan
from collection.queries.care import care_tree, people_of, trees_of_member
from collection.queries.errors import Refused
from collection.usecases import care
from collection.web.forms.care import CareForm, ConsentForm, SeasonForm
from collection.web.pages.care import own_trees_page, people_page
from collection.web.views.base import act, at_field, page, version_sent


@require_http_methods(["GET", "HEAD", "POST"])
@page
def people(request: Any, tree_id: int) -> HttpResponse:
    """Who owns a tree and cares for it; a coordinator adds somebody."""
    found = people_of(request.actor, tree_id, today=request.today)
    form = None
    if request.method == "POST":
        must_plan(request.actor)
        form = CareForm(request.POST, people=found.others)
    if form is not None and form.is_valid():
        data = form.cleaned_data
        try:
            care.set_care(
                actor=request.actor,
                tree_id=tree_id,
                member_id=int(data["member"]),
                role=data["role"],
                ask_first=data["ask_first"] or None,
            )
        except Refused as refused:
            at_field(form, refused, {"member_id": "member"})
        else:
            messages.success(request, "The person is written down.")
            return redirect("tree-people", tree_id)
    shown = people_page(found, request.actor, add=form)
    return render(request, "web/tree/people.html", {"page": shown}, status=400 if form else 200)


@require_safe
@page
def mine(request: Any) -> HttpResponse:
    """The trees of whoever asks."""
    return _trees_of(request, request.actor.member_id)


@require_safe
@page
def trees_of(request: Any, member_id: int) -> HttpResponse:
    """The trees of one person, for himself and for coordinators."""
    return _trees_of(request, member_id)


def _trees_of(request: Any, member_id: int, form: SeasonForm | None = None) -> HttpResponse:
    found = trees_of_member(request.actor, member_id, today=request.today)
    shown = own_trees_page(found, form)
    return render(request, "web/tree/mine.html", {"page": shown}, status=400 if form else 200)


@require_POST
@page
def consent_for_all(request: Any, member_id: int) -> HttpResponse:
    """Agree for all of a person's trees in one go."""
    form = SeasonForm(request.POST)
    trees_of_member(request.actor, member_id, today=request.today)
    if form.is_valid():
        try:
            given = care.give_consent_for_all(
                actor=request.actor,
                member_id=member_id,
                until=form.cleaned_data["until"],
                today=request.today,
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            trees = "1 tree" if given == 1 else f"{given} trees"
            messages.success(request, f"Consent is written down for {trees}.")
            return redirect(_back(request, None, member_id))
    return _trees_of(request, member_id, form)


@require_POST
@page
def consent(request: Any, care_id: int) -> HttpResponse:
    """Agree for one tree until a day."""
    tree_id, member_id = care_tree(request.actor, care_id)
    form = ConsentForm(request.POST, auto_id=f"care-{care_id}-%s")
    if form.is_valid():
        data = form.cleaned_data
        try:
            care.give_consent(
                actor=request.actor,
                care_id=care_id,
                version=data["version"],
                until=data["until"],
                today=request.today,
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, "Consent is written down.")
            return redirect(_back(request, tree_id, member_id))
    found = people_of(request.actor, tree_id, today=request.today)
    shown = people_page(found, request.actor, {care_id: form})
    return render(request, "web/tree/people.html", {"page": shown}, status=400)


@require_POST
@page
def take_back(request: Any, care_id: int) -> HttpResponse:
    """Take consent back: from now on work waits for the owner."""
    tree_id, member_id = care_tree(request.actor, care_id)
    return act(
        request,
        _back(request, tree_id, member_id),
        "Consent is taken back. Work on this tree waits.",
        lambda: care.withdraw_consent(actor=request.actor, care_id=care_id, version=version_sent(request)),
    )


@require_POST
@page
def ask_first(request: Any, care_id: int) -> HttpResponse:
    """Whether the owner is asked before each season."""
    tree_id, member_id = care_tree(request.actor, care_id)
    ask = request.POST.get("ask") == "yes"
    return act(
        request,
        _back(request, tree_id, member_id),
        "The owner will be asked before each season." if ask else "The owner need not be asked.",
        lambda: care.ask_first(actor=request.actor, care_id=care_id, version=version_sent(request), ask=ask),
    )


@require_POST
@page
def end(request: Any, care_id: int) -> HttpResponse:
    """Somebody no longer owns a tree or cares for it."""
    tree_id, _ = care_tree(request.actor, care_id)
    return act(
        request,
        reverse("tree-people", args=[tree_id]),
        "It is written down.",
        lambda: care.end_care(actor=request.actor, care_id=care_id, version=version_sent(request)),
    )


def _back(request: Any, tree_id: int | None, member_id: int) -> str:
    """Where the button was: on the tree's people, or on the list of the person's trees."""
    if tree_id is not None and request.POST.get("to") != "person":
        return reverse("tree-people", args=[tree_id])
    if member_id == request.actor.member_id:
        return reverse("trees-mine")
    return reverse("trees-of", args=[member_id])
