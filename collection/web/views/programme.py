"""The season programme: reading it, and the club's own dates."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.queries.errors import Refused
from collection.queries.labels import dated
from collection.queries.programme_pages import RowSheet, programme_row, programme_rows
from collection.usecases.reference import own_row, put_row_back
from collection.web.forms.programme import OwnDatesForm
from collection.web.pages.parts import Action, Fact, hidden, lead
from collection.web.pages.parts import page as values
from collection.web.views.base import act, at_field, page, version_sent


@require_safe
@page
def all_rows(request: Any) -> HttpResponse:
    """Every row for the kinds of tree the club has."""
    groups = [
        SimpleNamespace(
            title=title,
            rows=[
                SimpleNamespace(
                    work=row.task,
                    url=reverse("programme-row", args=[row.key]),
                    opens=dated(row.opens),
                    closes=dated(row.closes),
                    every=row.every,
                    stages=", ".join(row.stages),
                    trust="the club's own" if row.own else row.label,
                )
                for row in rows
            ],
        )
        for title, rows in programme_rows(request.actor, request.today)
    ]
    shown = values(
        title="Season programme",
        lead=lead("When each kind of tree wants which work, moved to this club's place and climate."),
        groups=groups,
        ways=[
            Action("How long would it take?", reverse("estimate"), plain=True),
            Action("Our hours beside what others report", reverse("evidence"), plain=True),
        ],
        foot_left="Dates are a guide. A sign on the tree beats a date.",
        foot_right="Stages: R raw, B building, F refining, S show.",
    )
    return render(request, "web/season/programme.html", {"page": shown})


@require_http_methods(["GET", "HEAD", "POST"])
@page
def one_row(request: Any, key: str) -> HttpResponse:
    """One row: how its window was found; a coordinator sets the club's own dates."""
    sheet = programme_row(request.actor, key, request.today)
    form = _form(request, sheet)
    if request.method == "POST" and form.is_valid():
        try:
            _keep(request, key, form)
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, "The club's own dates are kept. The season is being worked out again.")
            return redirect("programme-row", key)
    status = 400 if request.method == "POST" else 200
    return render(
        request, "web/season/programme_row.html", {"page": _shown(request, sheet, form)}, status=status
    )


@require_POST
@page
def put_back(request: Any, key: str) -> HttpResponse:
    """A coordinator lets the reference's dates hold again."""

    def back() -> None:
        put_row_back(
            actor=request.actor,
            table_name="programme",
            key=key,
            version=version_sent(request),
        )

    url = reverse("programme-row", args=[key])
    return act(
        request, url, "The dates are those of the programme again. The season is being worked out.", back
    )


def _form(request: Any, sheet: RowSheet) -> OwnDatesForm:
    if request.method == "POST":
        return OwnDatesForm(request.POST)
    first = {
        "opens": sheet.opens_typed or f"{sheet.row.opens:%m-%d}",
        "closes": sheet.closes_typed or f"{sheet.row.closes:%m-%d}",
        "why": sheet.why,
        "version": sheet.version,
    }
    return OwnDatesForm(initial=first)


def _keep(request: Any, key: str, form: OwnDatesForm) -> None:
    own_row(
        actor=request.actor,
        table_name="programme",
        key=key,
        values=form.values(),
        why=form.cleaned_data["why"],
        version=form.cleaned_data["version"],
    )


def _shown(request: Any, sheet: RowSheet, form: OwnDatesForm) -> Any:
    row = sheet.row
    facts = [
        Fact("Opens", dated(row.opens)),
        Fact("Closes", dated(row.closes)),
        Fact("How often", row.every),
        Fact("Trust", row.label),
        Fact("Source", sheet.source),
    ]
    if row.note:
        facts.append(Fact("Note", row.note))
    if sheet.anchor:
        facts.append(Fact("The window", sheet.anchor))
    return values(
        title=row.task,
        lead=lead(f"{dated(row.opens)} to {dated(row.closes)}."),
        facts=facts,
        lines=[Fact(*line) for line in sheet.lines],
        small=SimpleNamespace(
            title="Our own dates",
            about="Kept as you write them, in this club's calendar.",
            url=reverse("programme-row", args=[row.key]),
            form=form,
            words="Keep our own dates",
        )
        if request.actor.plans
        else None,
        actions=[
            Action(
                "Back to the programme's dates",
                reverse("programme-row-back", args=[row.key]),
                post=True,
                plain=True,
                hidden=hidden(version=sheet.version),
            )
        ]
        if request.actor.plans and row.own
        else [],
        back_url=reverse("programme"),
        foot_left="",
        foot_right="",
    )
