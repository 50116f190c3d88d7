"""A first set-up step by step, and the club's lists to take away."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from collection.queries.access import must_plan
from collection.queries.download import people_table, tree_table
from collection.queries.errors import not_found
from collection.queries.sheets import as_text, as_workbook
from collection.queries.start import start_of
from collection.web.pages import start as start_pages
from collection.web.views.base import page

FORMS = {
    "xlsx": (as_workbook, "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    "csv": (as_text, "text/csv; charset=utf-8"),
}


@require_safe
@page
def start_view(request: Any) -> HttpResponse:
    """The five steps of a first set-up."""
    shown = start_pages.start_page(start_of(request.actor, today=request.today))
    return render(request, "web/club/start.html", {"page": shown})


@require_safe
@page
def download_view(request: Any) -> HttpResponse:
    """Which lists there are."""
    must_plan(request.actor)
    return render(request, "web/club/download.html", {"page": start_pages.download_page()})


@require_safe
@page
def file_view(request: Any, kind: str) -> HttpResponse:
    """One list as a file; how to reach people only when that was ticked."""
    if kind == "trees":
        table = tree_table(request.actor)
    elif kind == "people":
        table = people_table(request.actor, contacts=request.GET.get("contacts") == "yes")
    else:
        raise not_found()
    form = "csv" if request.GET.get("form") == "csv" else "xlsx"
    write, content_type = FORMS[form]
    answer = HttpResponse(write(table), content_type=content_type)
    answer["Content-Disposition"] = f'attachment; filename="{kind}-{request.today.isoformat()}.{form}"'
    answer["Cache-Control"] = "no-store"
    return answer
