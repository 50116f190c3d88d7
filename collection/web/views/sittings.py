"""Recording a sitting."""

from __future__ import annotations

from dataclasses import replace
from datetime import time
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.views.decorators.http import require_http_methods

from collection.craft.tasks import WIRING
from collection.queries.errors import Refused, not_found
from collection.queries.gear import to_take_off
from collection.queries.my_day import PlannedSitting, planned_sitting
from collection.queries.people import names
from collection.queries.sitting_sheet import near_people
from collection.queries.speech import clock, day, listed
from collection.queries.tree_sheet import Sheet, tree_sheet
from collection.usecases.sittings import WIRE_OFF, TaskDone, record
from collection.web.forms.sitting import SittingForm, TaskFormSet, tasks_in
from collection.web.pages.parts import Tag, cautions_for, lead
from collection.web.pages.parts import page as values
from collection.web.views.base import at_field, number, page

ROWS = 3
PUTS_WIRE_ON = WIRING | {"GUY"}


@require_http_methods(["GET", "HEAD", "POST"])
@page
def new(request: Any) -> HttpResponse:
    """Record a sitting on the tree named in the address; with day, job and part as it was planned."""
    wanted = number(request.GET.get("tree", ""))
    if not wanted:
        return redirect("trees")
    sheet = tree_sheet(request.actor, wanted, today=request.today)
    planned = _planned(request, sheet.id)
    people = names(request.actor, request.today)
    due = [job.task for job in sheet.jobs if job.opens <= request.today]
    due = [planned.task, *due] if planned else due
    posted = request.POST if request.method == "POST" else None
    form = SittingForm(
        posted,
        initial=_first(request, planned),
        people=people,
        near=near_people(request.actor, request.today),
        zone=request.club.zone,
        wires=_wires(request, sheet.id, due),
    )
    finished = planned is None or not planned.part
    rows = TaskFormSet(
        posted,
        prefix="tasks",
        form_kwargs={"due": due},
        initial=[
            {"task": due[0] if due and not n else "", "finished": not n and finished} for n in range(ROWS)
        ],
    )
    if posted is not None and form.is_valid() and rows.is_valid():
        done = _keep(request, sheet, form, tasks_in(rows), planned)
        if done:
            return _back(request, sheet, planned)
    shown = _page(sheet, form, rows, set(due), planned)
    return render(request, "web/sitting/new.html", {"page": shown}, status=400 if posted is not None else 200)


def _wires(request: Any, tree_id: int, due: list[str]) -> tuple[tuple[bool, int, str], ...]:
    """What is on the tree, where the work takes wire off: as sent, or else as is due first."""
    sent = {v for name, v in request.POST.items() if name.startswith("tasks-") and name.endswith("-task")}
    tasks = sent if request.method == "POST" else set(due[:1])
    return to_take_off(request.actor, tree_id) if WIRE_OFF in tasks else ()


def _planned(request: Any, tree_id: int) -> PlannedSitting | None:
    """What the plan of a day says, where the address names a job of one."""
    asked = [request.GET.get(name, "") for name in ("day", "job", "part")]
    if not any(asked):
        return None
    if not all(text.isascii() and text.isdigit() and len(text) < 19 for text in asked):
        raise not_found()
    found = planned_sitting(request.actor, *(int(text) for text in asked))
    if found.tree_id != tree_id:
        raise not_found()
    return found


def _first(request: Any, planned: PlannedSitting | None) -> dict[str, Any]:
    """What stands in the form at first: who was planned and from when; how long is for them to say."""
    if planned is None:
        return {"people": [str(request.actor.member_id)], "on": request.today}
    start = time(planned.starts_min // 60, planned.starts_min % 60)
    first: dict[str, Any] = {"people": [str(p) for p in planned.people], "started": start}
    first["on"] = min(planned.date, request.today)
    return first | ({"left_open": True} if planned.part else {})


def _back(request: Any, sheet: Sheet, planned: PlannedSitting | None) -> HttpResponse:
    if planned is None:
        return redirect("tree", sheet.id)
    mine = request.actor.member_id in planned.people
    return redirect("my-day" if mine else "day-after", planned.workday_id)


def _keep(
    request: Any, sheet: Sheet, form: SittingForm, tasks: tuple[TaskDone, ...], planned: PlannedSitting | None
) -> bool:
    if planned is not None:
        tasks = tuple(replace(t, job_id=planned.job_id) if t.task == planned.task else t for t in tasks)
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
            workday_id=planned.workday_id if planned else None,
            wires_off=form.wires("wire") if form.asks_for_wires else None,
            guys_off=form.wires("guy"),
            now=timezone.now(),
        )
    except Refused as refused:
        at_field(form, refused)
        return False
    messages.success(request, _thanks(sheet.id, read.tasks))
    return True


def _thanks(tree_id: int, tasks: tuple[TaskDone, ...]) -> str:
    """What is said once a sitting is kept, with the way to write down wire that went on."""
    put_on = {task.task for task in tasks} & PUTS_WIRE_ON
    if not put_on:
        return "The sitting is kept. Thank you."
    at = reverse("guy-new" if put_on == {"GUY"} else "wire-new", args=[tree_id])
    link = format_html('<a href="{}">Write down the wire you put on</a>', at)
    return format_html("The sitting is kept. Thank you. {}, for its day to look.", link)


def _url(sheet: Sheet, planned: PlannedSitting | None) -> str:
    asked = {"tree": sheet.id}
    if planned:
        asked |= {"day": planned.workday_id, "job": planned.job_id, "part": planned.sitting}
    return f"{reverse('sitting-new')}?{urlencode(asked)}"


def _plan_words(planned: PlannedSitting | None) -> str:
    if planned is None:
        return ""
    return f" Planned: {day(planned.date)}, {clock(planned.starts_min)} to {clock(planned.ends_min)}."


def _page(sheet: Sheet, form: SittingForm, rows: Any, tasks: set[str], planned: PlannedSitting | None) -> Any:
    last = sheet.open_hands
    return values(
        title="Record a sitting",
        lead=lead(
            f"{sheet.title}. Count the time from fetching the tree to putting it back.{_plan_words(planned)}"
        ),
        url=_url(sheet, planned),
        tags=[Tag(sheet.accession, reverse("tree", args=[sheet.id]))],
        last_note=last.note if last else "",
        last_who=f"{listed(last.who)} wrote on {day(last.on)}:" if last else "",
        form=form,
        tasks=rows,
        send="Keep this sitting",
        cautions=cautions_for(tasks),
        foot_left="A sitting is never changed. A mistake is put right by a new one.",
        foot_right="",
    )
