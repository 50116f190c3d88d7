"""Rounds: the list by bench, and one with its trees."""

from __future__ import annotations

from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.queries.labels import counted, dated, in_words
from collection.queries.rounds import RoundRow, Rounds, RoundSheet
from collection.web.pages.parts import Empty, Tag, cautions_for, lead, number_of, page


def rounds_page(found: Rounds) -> SimpleNamespace:
    """Everything ``round/list.html`` reads."""
    due = len(found.due)
    said = f"{in_words(due)} {'round is' if due == 1 else 'rounds are'} due."
    groups = [
        SimpleNamespace(title=title, rows=[_row(row) for row in rows])
        for title, rows in (
            ("Due", found.due),
            ("The next two weeks", found.ahead),
            ("Done lately", found.done),
        )
        if rows
    ]
    return page(
        title="Rounds",
        lead=lead(f"{said} A round is one task along a whole bench."),
        groups=groups,
        empty=None if groups else Empty("Rounds will be listed here.", "Turning, bench A1, 12 trees"),
        links=[
            SimpleNamespace(url=reverse("season"), words="The season"),
            SimpleNamespace(url=reverse("trees"), words="All trees"),
        ],
        foot_left="Daily watering is no round.",
        foot_right="",
    )


def _row(row: RoundRow) -> SimpleNamespace:
    when = f"from {dated(row.on)} to {dated(row.closes)}"
    if row.ended_on:
        when = f"done on {dated(row.ended_on)}"
    return SimpleNamespace(
        title=row.title,
        bench=row.bench or "No bench",
        url=reverse("round", args=[row.id]),
        when=when,
        trees=counted(row.trees, "tree", "trees"),
        hours=number_of(row.number) if row.number else None,
    )


def round_page(found: RoundSheet, form: Form | None) -> SimpleNamespace:
    """Everything ``round/round.html`` reads."""
    row = found.row
    where = row.bench or "trees on no bench"
    said = f"{where}, {counted(row.trees, 'tree', 'trees')}, from {dated(row.on)} to {dated(row.closes)}."
    if row.ended_on:
        said = f"{where}. Done on {dated(row.ended_on)}."
    return page(
        title=row.title,
        lead=lead(said[:1].upper() + said[1:]),
        url=reverse("round", args=[row.id]),
        form=form,
        send="Tick the round off",
        trees=[
            SimpleNamespace(
                tag=Tag(accession, reverse("tree", args=[pk])), title=title, note="Left out" if out else ""
            )
            for pk, accession, title, out in found.trees
        ],
        back=SimpleNamespace(url=reverse("rounds"), words="All rounds"),
        cautions=cautions_for({row.task}),
        foot_left="A round makes nobody a tree's last hands, and an open tree stays open.",
        foot_right="",
    )
