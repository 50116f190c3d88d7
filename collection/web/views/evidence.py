"""Our hours beside what others published or reported."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from collection.queries.evidence import Alone, Beside, evidence
from collection.web.pages.parts import lead, number_of
from collection.web.pages.parts import page as values
from collection.web.views.base import page


@require_safe
@page
def evidence_view(request: Any) -> HttpResponse:
    """Every figure of others, where it lies against ours, and how far to trust it."""
    beside, alone = evidence()
    shown = values(
        title="Our hours beside what others report",
        lead=lead(
            f"No timed study of bonsai work was found. These {len(beside) + len(alone)} figures come nearest."
        ),
        notes=(
            "Ours runs from the low to the high pace of a practised hand.",
            "Below, inside and above say where the reported figure lies.",
            "A verdict is a check of our table, never a proof of it.",
        ),
        beside=[_beside_row(row) for row in beside],
        alone=[_alone_row(row) for row in alone],
        back=SimpleNamespace(url=reverse("programme"), words="Back to the season programme"),
        foot_left="Ours is worked out anew from the pace table each time this page opens.",
        foot_right="",
    )
    return render(request, "web/season/evidence.html", {"page": shown})


def _beside_row(row: Beside) -> SimpleNamespace:
    return SimpleNamespace(
        what=row.what,
        figure=row.figure,
        words=row.words,
        range=row.range,
        number=number_of(row.number) if row.number else None,
        verdict=row.verdict,
        trust=row.trust,
        source=row.source,
    )


def _alone_row(row: Alone) -> SimpleNamespace:
    return SimpleNamespace(what=row.what, figure=row.figure, why=row.why, trust=row.trust, source=row.source)
