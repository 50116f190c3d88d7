"""The club's own settings, and where its trees stand."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from collection.queries.club_pages import bench_row, club_sheet, site_row, site_rows
from collection.queries.errors import Refused
from collection.queries.what_moves import what_moves
from collection.usecases import sites
from collection.usecases.club_settings import change_club
from collection.web.forms.club import MAILS, BenchForm, ClubForm, SiteForm
from collection.web.pages import club as club_pages
from collection.web.views.base import act, at_field, page, version_sent

AGAIN = " The season is being worked out again."


@require_http_methods(["GET", "HEAD", "POST"])
@page
def club_view(request: Any) -> HttpResponse:
    """A club's facts; what a change would move is said before it is kept."""
    sheet = club_sheet(request.actor)
    posted = request.method == "POST"
    form = ClubForm(request.POST) if posted else ClubForm.of(sheet)
    moves = None
    if posted and form.is_valid():
        found = what_moves(request.actor, request.today, form.changes())
        if found.windows and request.POST.get("seen") != club_pages.seen_of(found):
            moves = found
        elif answer := _keep(request, form):
            return answer
    shown = club_pages.club_page(sheet, form, moves)
    status = 400 if posted and moves is None else 200
    return render(request, "web/club/club.html", {"page": shown}, status=status)


def _keep(request: Any, form: ClubForm) -> HttpResponse | None:
    try:
        moved = change_club(
            actor=request.actor, version=form.cleaned_data["version"] or 0, changes=form.changes()
        )
    except Refused as refused:
        at_field(form, refused, {kept: name for name, kept in MAILS.items()})
        return None
    messages.success(request, "The club's settings are kept." + (AGAIN if moved else ""))
    return redirect("club")


@require_http_methods(["GET", "HEAD", "POST"])
@page
def sites_view(request: Any) -> HttpResponse:
    """Sites and benches; a coordinator adds a site."""
    rows = site_rows(request.actor)
    posted = request.method == "POST"
    form = SiteForm(request.POST if posted else None)
    if posted and form.is_valid():
        data = form.cleaned_data
        try:
            sites.new_site(actor=request.actor, name=data["name"], kind=data["kind"], address=data["address"])
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, f"{data['name']} is on the list.")
            return redirect("sites")
    shown = club_pages.sites_page(rows, form, {})
    return render(request, "web/club/sites.html", {"page": shown}, status=400 if posted else 200)


@require_POST
@page
def new_bench(request: Any, site_id: int) -> HttpResponse:
    """A coordinator adds a bench to a site."""
    site_row(request.actor, site_id)
    form = BenchForm(request.POST, auto_id=f"id_{site_id}_%s")
    if form.is_valid():
        data = form.cleaned_data
        try:
            sites.new_bench(
                actor=request.actor, site_id=site_id, name=data["name"], weeks_later=data["weeks_later"]
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, f"{data['name']} is on the list.")
            return redirect("sites")
    shown = club_pages.sites_page(site_rows(request.actor), SiteForm(), {site_id: form}, site_id)
    return render(request, "web/club/sites.html", {"page": shown}, status=400)


@require_http_methods(["GET", "HEAD", "POST"])
@page
def site_view(request: Any, site_id: int) -> HttpResponse:
    """One site: a coordinator changes it."""
    row = site_row(request.actor, site_id)
    posted = request.method == "POST"
    first = {"name": row.name, "kind": row.kind, "address": row.address, "version": row.version}
    form = SiteForm(request.POST) if posted else SiteForm(initial=first)
    if posted and form.is_valid():
        data = form.cleaned_data
        try:
            sites.change_site(
                actor=request.actor,
                site_id=site_id,
                version=data["version"] or 0,
                name=data["name"],
                kind=data["kind"],
                address=data["address"],
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, f"{data['name']} is kept.")
            return redirect("sites")
    shown = club_pages.site_page(row, form)
    return render(request, "web/club/one.html", {"page": shown}, status=400 if posted else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@page
def bench_view(request: Any, bench_id: int) -> HttpResponse:
    """One bench: a coordinator changes it."""
    row = bench_row(request.actor, bench_id)
    posted = request.method == "POST"
    first = {"name": row.name, "weeks_later": row.weeks_later, "version": row.version}
    form = BenchForm(request.POST) if posted else BenchForm(initial=first)
    if posted and form.is_valid():
        data = form.cleaned_data
        try:
            moved = sites.change_bench(
                actor=request.actor,
                bench_id=bench_id,
                version=data["version"] or 0,
                name=data["name"],
                weeks_later=data["weeks_later"],
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, f"{data['name']} is kept." + (AGAIN if moved else ""))
            return redirect("sites")
    shown = club_pages.bench_page(row, form)
    return render(request, "web/club/one.html", {"page": shown}, status=400 if posted else 200)


# What a button does to a site or a bench: the use case, the name of its row, what is said when it is done.
BUTTONS: dict[str, tuple[Callable[..., None], str, str]] = {
    "site-retire": (sites.retire_site, "site_id", "The site is retired. It can be brought back below."),
    "site-back": (sites.bring_site_back, "site_id", "The site is back."),
    "bench-retire": (sites.retire_bench, "bench_id", "The bench is retired. It can be brought back below."),
    "bench-back": (sites.bring_bench_back, "bench_id", "The bench is back."),
}


@require_POST
@page
def button(request: Any, name: str, pk: int) -> HttpResponse:
    """Take a site or a bench off the lists, or bring it back."""
    use_case, row, done = BUTTONS[name]
    changed = {"version": version_sent(request), row: pk}
    return act(request, reverse("sites"), done, lambda: use_case(actor=request.actor, **changed))
