"""Putting a recorded sitting right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from collection.queries.errors import Refused
from collection.queries.people import names
from collection.queries.sitting_sheet import SittingSheet, near_people, sitting_sheet
from collection.queries.speech import day, listed
from collection.queries.trees import tree_of_tag
from collection.usecases.corrections import correct
from collection.usecases.sittings import Worked
from collection.web.forms.sitting import CorrectionForm, TaskFormSet, tasks_in
from collection.web.pages.parts import Tag, cautions_for, lead
from collection.web.pages.parts import page as values
from collection.web.views.base import at_field, page

SPARE_ROWS = 2


@require_http_methods(["GET", "HEAD", "POST"])
@page
def put_right(request: Any, sitting_id: int) -> HttpResponse:
    """Who, how long, what and on which tree, as it really was."""
    old = sitting_sheet(request.actor, sitting_id)
    posted = request.POST if request.method == "POST" else None
    worked = [person for person, _, _ in old.people]
    people = dict(names(request.actor, request.today)) | {person: name for person, name, _ in old.people}
    form = CorrectionForm(
        posted,
        initial=_first(old),
        people=sorted(people.items(), key=lambda pair: pair[1]),
        near=near_people(request.actor, old.started.date(), worked),
        zone=request.club.zone,
    )
    rows = TaskFormSet(posted, prefix="tasks", initial=_tasks(old))
    if posted is not None and form.is_valid() and rows.is_valid():
        tree_id = _keep(request, old, form, rows)
        if tree_id is not None:
            return redirect("tree-history", tree_id)
    shown = _page(old, form, rows)
    return render(request, "web/sitting/new.html", {"page": shown}, status=400 if posted is not None else 200)


def _first(old: SittingSheet) -> dict[str, Any]:
    minutes = {round(minutes) for _, _, minutes in old.people}
    known = old.ended > old.started and old.ended.date() == old.started.date()
    return {
        "tree": old.accession,
        "people": [str(person) for person, _, _ in old.people],
        "on": old.started.date(),
        "started": old.started.time().replace(second=0, microsecond=0),
        "stopped": old.ended.time().replace(second=0, microsecond=0) if known else None,
        "minutes": max(minutes, default=None),
        "breaks_min": _breaks(old) if known else 0,
        "left_open": old.left_open,
        "note": old.note,
    }


def _breaks(old: SittingSheet) -> int:
    """What the times leave beside the minutes, where all worked alike and nothing was shared out."""
    minutes = {round(minutes) for _, _, minutes in old.people}
    if old.shared or len(minutes) != 1:
        return 0
    return max(0, round((old.ended - old.started).total_seconds() / 60) - minutes.pop())


def _tasks(old: SittingSheet) -> list[dict[str, Any]]:
    said = [{"task": line.task, "amount": line.amount, "finished": line.finished} for line in old.tasks]
    return [*said, *({"task": "", "finished": False} for _ in range(SPARE_ROWS))]


def _keep(request: Any, old: SittingSheet, form: CorrectionForm, rows: Any) -> int | None:
    read = form.read(tasks_in(rows))
    try:
        tree_id = tree_of_tag(request.actor, form.cleaned_data["tree"])
        correct(
            actor=request.actor,
            sitting_id=old.id,
            tree_id=tree_id,
            tasks=read.tasks,
            people=_own_minutes(old, read.people),
            started=read.started,
            ended=read.ended,
            left_open=read.left_open,
            note=read.note,
            request_key=read.key,
            today=request.today,
            now=timezone.now(),
        )
    except Refused as refused:
        at_field(form, refused, {"accession": "tree"})
        return None
    messages.success(request, "The record is put right. The old entry stays in the history, struck through.")
    return tree_id


def _own_minutes(old: SittingSheet, people: Sequence[Worked]) -> list[Worked]:
    """Where the minutes on the form were not touched, each keeps the minutes he had."""
    shown = _first(old)["minutes"]
    had = {person: minutes for person, _, minutes in old.people}
    return [
        replace(who, minutes=had[who.member_id]) if who.member_id in had and who.minutes == shown else who
        for who in people
    ]


def _page(old: SittingSheet, form: CorrectionForm, rows: Any) -> Any:
    who = listed([name for _, name, _ in old.people])
    return values(
        title="Put this right",
        lead=lead(
            f"{who} worked on {old.title} on {day(old.started.date())}. "
            "Write down how it was. Jobs and last hands follow."
        ),
        url=reverse("sitting-correct", args=[old.id]),
        tags=[Tag(old.accession, reverse("tree", args=[old.tree_id]))],
        last_note="",
        last_who="",
        form=form,
        tasks=rows,
        send="Put it right",
        cautions=cautions_for({line.task for line in old.tasks}),
        foot_left="The old entry stays in the history, struck through.",
        foot_right="",
    )
