"""Recording a sitting."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from collection.queries.errors import Refused
from collection.queries.people import names
from collection.queries.sitting_sheet import near_people
from collection.queries.speech import day
from collection.queries.tree_sheet import Sheet, tree_sheet
from collection.usecases.sittings import record
from collection.web.forms.sitting import SittingForm, TaskFormSet, tasks_in
from collection.web.pages.parts import Tag, cautions_for, lead
from collection.web.pages.parts import page as values
from collection.web.views.base import at_field, page

ROWS = 3


@require_http_methods(["GET", "HEAD", "POST"])
@page
def new(request: Any) -> HttpResponse:
    """Record a sitting on the tree named in the address."""
    wanted = request.GET.get("tree", "")
    if not wanted.isdigit():
        return redirect("trees")
    sheet = tree_sheet(request.actor, int(wanted), today=request.today)
    people = names(request.actor, request.today)
    due = [job.task for job in sheet.jobs if job.opens <= request.today]
    first = {"people": [str(request.actor.member_id)], "on": request.today}
    posted = request.POST if request.method == "POST" else None
    form = SittingForm(
        posted,
        initial=first,
        people=people,
        near=near_people(request.actor, request.today),
        zone=request.club.zone,
    )
    rows = TaskFormSet(
        posted,
        prefix="tasks",
        form_kwargs={"due": due},
        initial=[{"task": due[0] if due and not n else "", "finished": not n} for n in range(ROWS)],
    )
    if posted is not None and form.is_valid() and rows.is_valid():
        done = _keep(request, sheet, form, tasks_in(rows))
        if done:
            return redirect("tree", sheet.id)
    shown = _page(sheet, form, rows, set(due))
    return render(request, "web/sitting/new.html", {"page": shown}, status=400 if posted is not None else 200)


def _keep(request: Any, sheet: Sheet, form: SittingForm, tasks: Any) -> bool:
    read = form.read(tasks)
    try:
        record(
            actor=request.actor,
            trees=[sheet.id],
            tasks=read.tasks,
            people=read.people,
            started=read.started,
            ended=read.ended,
            left_open=read.left_open,
            note=read.note,
            request_key=read.key,
        )
    except Refused as refused:
        at_field(form, refused)
        return False
    messages.success(request, "The sitting is kept. Thank you.")
    return True


def _page(sheet: Sheet, form: SittingForm, rows: Any, tasks: set[str]) -> Any:
    last = sheet.open_hands
    return values(
        title="Record a sitting",
        lead=lead(f"{sheet.title}. Count the time from fetching the tree to putting it back."),
        url=reverse("sitting-new") + f"?tree={sheet.id}",
        tags=[Tag(sheet.accession, reverse("tree", args=[sheet.id]))],
        last_note=last.note if last else "",
        last_who=f"{' and '.join(last.who)} wrote on {day(last.on)}:" if last else "",
        form=form,
        tasks=rows,
        send="Keep this sitting",
        cautions=cautions_for(tasks),
        foot_left="A sitting is never changed. A mistake is put right by a new one.",
        foot_right="",
    )
