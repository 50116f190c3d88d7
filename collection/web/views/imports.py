"""Bringing a list in: the file, the questions about it, taking it in and taking it back."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.queries.errors import Refused
from collection.queries.labels import counted
from collection.queries.sentences import say
from collection.queries.uploads import (
    take_back_sheet,
    taken_files,
    upload_sheet,
    upload_state,
    waiting_files,
)
from collection.usecases import uploads
from collection.usecases.take_back import take_back
from collection.web.forms.imports import AnswersForm, BringForm
from collection.web.pages import imports as import_pages
from collection.web.views.base import OWN_PAGE, act, at_field, page


@require_http_methods(["GET", "HEAD", "POST"])
@page
def bring_view(request: Any) -> HttpResponse:
    """A coordinator brings a file."""
    waiting, taken = waiting_files(request.actor), taken_files(request.actor)
    posted = request.method == "POST"
    first = {"kind": request.GET.get("kind", "trees")}
    form = BringForm(request.POST, request.FILES) if posted else BringForm(initial=first)
    if posted and form.is_valid():
        file = form.cleaned_data["file"]
        try:
            upload = uploads.bring(
                actor=request.actor,
                kind=form.cleaned_data["kind"],
                file_name=file.name or "",
                data=file.read(uploads.MOST_MIB * 2**20 + 1),
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            return redirect("import", upload)
    shown = import_pages.bring_page(form, waiting, taken, request.club.zone)
    return render(request, "web/import/bring.html", {"page": shown}, status=400 if posted else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@page
def upload_view(request: Any, upload_id: int) -> HttpResponse:
    """The questions about a file; answers are read again, and what was seen is taken in."""
    sheet = upload_sheet(request.actor, upload_id)
    posted = request.method == "POST"
    cells = import_pages.cells_at_fault(sheet)
    form = AnswersForm(sheet, cells, request.POST if posted else None)
    if posted and form.is_valid():
        try:
            return _answered(request, upload_id, form)
        except Refused as refused:
            if refused.kind in OWN_PAGE:
                raise
            sheet = upload_sheet(request.actor, upload_id)
            form = AnswersForm(sheet, import_pages.cells_at_fault(sheet))
            messages.error(request, say(refused.reason))
    shown = import_pages.upload_page(sheet, form, look_again="changed" in request.GET)
    return render(request, "web/import/upload.html", {"page": shown}, status=400 if posted else 200)


def _answered(request: Any, upload_id: int, form: AnswersForm) -> HttpResponse:
    """Read the file again where an answer changed; take it in where none did and the button said so."""
    taking = "take" in request.POST
    version = form.cleaned_data["version"] or 0
    if form.changed or not taking:
        uploads.answer(
            actor=request.actor,
            upload_id=upload_id,
            version=version,
            told=form.told(),
            sheet=form.cleaned_data.get("sheet", form.sheet.sheet),
            corrected=form.corrected(),
        )
        url = reverse("import", args=[upload_id])
        return redirect(f"{url}?changed" if taking else url)
    uploads.take(
        actor=request.actor,
        upload_id=upload_id,
        version=version,
        set_aside=form.cleaned_data["set_aside"],
    )
    return redirect("import", upload_id)


@require_safe
@page
def state_view(request: Any, upload_id: int) -> HttpResponse:
    """How a file stands, for the page that waits."""
    return JsonResponse(upload_state(request.actor, upload_id))


@require_POST
@page
def drop(request: Any, upload_id: int) -> HttpResponse:
    """Throw a file away."""
    return act(
        request,
        reverse("imports"),
        "The file is thrown away.",
        lambda: uploads.drop(actor=request.actor, upload_id=upload_id),
    )


@require_http_methods(["GET", "HEAD", "POST"])
@page
def undo_view(request: Any, accepted_id: int) -> HttpResponse:
    """What taking a file back would do, and doing it."""
    if request.method == "POST":
        try:
            done = take_back(actor=request.actor, accepted_id=accepted_id)
        except Refused as refused:
            if refused.kind in OWN_PAGE:
                raise
            messages.error(request, say(refused.reason))
        else:
            stayed = f" {counted(done.stayed, 'stays', 'stay')}." if done.stayed else ""
            messages.success(request, f"{counted(done.gone, 'row is', 'rows are')} taken back.{stayed}")
        return redirect("imports")
    found = take_back_sheet(request.actor, accepted_id)
    shown = import_pages.undo_page(found, request.actor, request.club.zone)
    return render(request, "web/import/undo.html", {"page": shown})
