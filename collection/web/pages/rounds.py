"""Rounds: the list by bench, and one with its trees."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.queries.labels import counted, dated, in_words, short_day
from collection.queries.rounds import RoundRow, Rounds, RoundSheet
from collection.web.pages.parts import Action, Empty, Piece, Tag, cautions_for, lead, number_of, page


def rounds_page(found: Rounds, today: date) -> SimpleNamespace:
    """Everything ``round/list.html`` reads: benches folded, those with a round that is late first."""
    return page(
        title="Rounds",
        lead=_opening(found, today),
        parts=[
            SimpleNamespace(title=title, about=about, folds=folds)
            for title, about, folds in (
                ("Due", "Bench by bench, what closes first on top.", _benches(found.due, today)),
                ("Soon and lately", "Nothing to do here today.", _others(found, today)),
            )
            if folds
        ],
        empty=None
        if found.due or found.ahead or found.done
        else Empty("Rounds will be listed here.", "Turning, bench A1, 12 trees"),
        links=[
            SimpleNamespace(url=reverse("season"), words="The season"),
            SimpleNamespace(url=reverse("trees"), words="All trees"),
        ],
        foot_left="Daily watering is no round.",
        foot_right="",
    )


def _opening(found: Rounds, today: date) -> tuple[Piece, ...]:
    due, late = len(found.due), len([row for row in found.due if _pressing(row, today)])
    said = f"{in_words(due)} {'round is' if due == 1 else 'rounds are'} due. "
    pressing = f"{in_words(late)} must be walked today. " if late else ""
    return lead(said, Piece(pressing, missing=True), "A round is one task along a whole bench.")


def _pressing(row: RoundRow, today: date) -> bool:
    """Late, or on its last day."""
    return row.closes <= today


def _benches(rows: Sequence[RoundRow], today: date) -> list[SimpleNamespace]:
    """A fold for each bench, its rounds by the day on which they close; open where one is pressing."""
    benches: dict[str, list[RoundRow]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: (row.closes, row.title, row.id)):
        benches[row.bench or "No bench"].append(row)
    order = sorted(benches, key=lambda name: (not _pressing(benches[name][0], today), name))
    return [_fold(name, benches[name], today) for name in order]


def _fold(name: str, rows: Sequence[RoundRow], today: date) -> SimpleNamespace:
    late = len([row for row in rows if _pressing(row, today)])
    about = counted(len(rows), "round", "rounds")
    return SimpleNamespace(
        title=f"{name}: {about}, {in_words(late).lower()} for today" if late else f"{name}: {about}",
        open=bool(late),
        rows=[_row(row, today) for row in rows],
    )


def _others(found: Rounds, today: date) -> list[SimpleNamespace]:
    """What comes and what was done, each in one fold."""
    return [
        SimpleNamespace(
            title=f"{title}: {counted(len(rows), 'round', 'rounds')}",
            open=False,
            rows=[_row(row, today, bench=True) for row in rows],
        )
        for title, rows in (("The next two weeks", found.ahead), ("Done lately", found.done))
        if rows
    ]


def _row(row: RoundRow, today: date, *, bench: bool = False) -> SimpleNamespace:
    """A round; a due one with its button, the others with a link and their bench."""
    where, url = row.bench or "No bench", reverse("round", args=[row.id])
    return SimpleNamespace(
        title=f"{where}: {row.title}" if bench else row.title,
        url=url if bench else "",
        action=None if bench else Action(f"{row.title}: tick it off", url),
        when=_when(row, today),
        late=not row.ended_on and row.closes < today,
        trees=counted(row.trees, "tree", "trees"),
        hours=number_of(row.number) if row.number else None,
    )


def _when(row: RoundRow, today: date) -> str:
    if row.ended_on:
        return f"done on {dated(row.ended_on)}"
    if row.closes < today:
        return f"late since {dated(row.closes)}"
    if row.closes == today:
        return "today is the last day"
    return f"from {short_day(row.on)} to {dated(row.closes)}"


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
