"""How the work grows with refinement, on a tree's page and on the season's."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace

from django.urls import reverse

from collection.craft.growth import Limit
from collection.queries.growth import TreeGrowth
from collection.queries.labels import STAGE_NAMES, dated, task_name
from collection.queries.opened import Opened
from collection.queries.speech import listed
from collection.web.pages.parts import Action, number_of


def growth_part(growth: TreeGrowth) -> SimpleNamespace:
    """Everything ``tree/_growth.html`` reads."""
    return SimpleNamespace(
        rows=[
            SimpleNamespace(
                year=row.year,
                sites=number_of(row.sites),
                shoots=number_of(row.shoots),
                hours=number_of(row.hours),
            )
            for row in growth.years
        ],
        again=[
            SimpleNamespace(
                when=dated(row.on),
                counted=f"{row.counted:.0f}",
                foretold=f"{row.foretold:.0f}",
                share=f"{100 * row.ratio:.0f} %",
            )
            for row in growth.again
        ],
        first=f"Foretold from the {growth.first.sites:.0f} cut sites of {dated(growth.first.on)}."
        if growth.first and growth.first.on
        else "",
        notes=_notes(growth),
        actions=[] if growth.years else [_count_it(growth.tree_id)],
    )


def club_growth_part(years: Sequence[tuple[int, Opened]]) -> SimpleNamespace:
    """Everything ``season/_growth.html`` reads."""
    (first, now), (last, then) = years[0], years[-1]
    return SimpleNamespace(
        about=f"From {now.text} in {first} to {then.text} in {last}, if refining goes on.",
        rows=[SimpleNamespace(year=year, hours=number_of(number, inline=False)) for year, number in years],
        notes=[
            "Only yearly work that goes by cut sites is counted here.",
            "The limit of each height and stage is an assumption.",
        ],
    )


def _count_it(tree_id: int) -> Action:
    return Action("Count its cut sites", reverse("tree-counts", args=[tree_id]), plain=True)


def _notes(growth: TreeGrowth) -> list[str]:
    work = listed([task_name(task).lower() for task in growth.tasks])
    if not growth.years:
        return [f"Its {work} goes by cut sites. Count them to see how the hours grow."]
    return [
        f"{_limit_words(growth.limit)} That is an assumption, no source.",
        "A cut site thinned to two gives two next year: common practice, no source.",
        f"Hours count {work}.",
    ]


def _limit_words(limit: Limit) -> str:
    size = f"of {limit.from_cm:g} to {limit.to_cm:g} cm" if limit.to_cm else f"over {limit.from_cm:g} cm"
    if limit.from_cm == 0 and limit.to_cm:
        size = f"under {limit.to_cm:g} cm"
    stage = STAGE_NAMES[limit.stage].lower()
    return f"A tree {size}, stage {stage}, is taken to carry {limit.sites:g} cut sites at most."
