"""The whole history of a tree."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from collection.queries.tree_history import tree_history
from collection.web.pages.tree_history import history_page
from collection.web.views.base import number, page


@require_safe
@page
def history(request: Any, tree_id: int) -> HttpResponse:
    """Everything on record about a tree, newest first."""
    found = tree_history(request.actor, tree_id, start=number(request.GET.get("from", "")))
    return render(request, "web/tree/history.html", {"page": history_page(found)})
