"""The whole history of a tree, fifty entries at a time."""

from __future__ import annotations

from types import SimpleNamespace

from django.urls import reverse

from collection.queries.tree_history import PAGE, Entry, History
from collection.web.pages.parts import Empty, Tag, lead, page


def history_page(found: History) -> SimpleNamespace:
    """Everything ``tree/history.html`` reads."""
    here = reverse("tree", args=[found.tree_id])
    last = found.start + len(found.entries)
    return page(
        title=f"History of {found.title}",
        tags=[Tag(found.accession, here)],
        lead=lead("Newest first. Nothing here is ever changed; what was wrong is struck through."),
        entries=[entry_row(entry) for entry in found.entries],
        empty=Empty("What happens to this tree will be listed here.", "Sat 24 Oct 2026, trimming, 1 h 10"),
        where=f"Entries {found.start + 1} to {last} of {found.total}" if found.total > PAGE else "",
        before=_step(found, found.start - PAGE) if found.start > 0 else None,
        after=_step(found, found.start + PAGE) if found.start + PAGE < found.total else None,
        back=SimpleNamespace(url=here, words="Back to the tree"),
        foot_left="",
        foot_right="",
    )


def entry_row(entry: Entry) -> SimpleNamespace:
    """One entry as a row."""
    correct = reverse("sitting-correct", args=[entry.sitting_id]) if entry.sitting_id else ""
    return SimpleNamespace(
        when=entry.day,
        what=entry.what,
        note=entry.note,
        who=entry.who,
        struck=entry.struck,
        wrong=entry.wrong,
        correct=correct,
    )


def _step(found: History, start: int) -> SimpleNamespace:
    at = reverse("tree-history", args=[found.tree_id])
    return SimpleNamespace(url=at + (f"?from={start}" if start > 0 else ""))
