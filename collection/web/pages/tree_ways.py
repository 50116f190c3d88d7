"""The ways on from a tree's page: its people, its history, what happened to it."""

from __future__ import annotations

from types import SimpleNamespace

from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.tree_sheet import Sheet
from collection.web.pages.parts import Action
from collection.web.pages.tree_events import event_actions


def tree_ways(sheet: Sheet, actor: Actor) -> list[SimpleNamespace]:
    """Rows of links below everything else on the page."""
    count, draw = (reverse(name, args=[sheet.id]) for name in ("tree-counts", "tree-branches"))
    about = [
        Action("Count its branches", count, plain=True, small=True),
        Action("Draw this tree", draw, plain=True, small=True),
        Action("Wire for this tree", reverse("wire-needed", args=[sheet.id]), plain=True, small=True),
        Action("People and consent", reverse("tree-people", args=[sheet.id]), plain=True, small=True),
    ]
    if sheet.may_answer:
        before = reverse("tree-before", args=[sheet.id])
        about.append(Action("Work before our records", before, plain=True, small=True))
    if actor.plans:
        edit = reverse("tree-edit", args=[sheet.id])
        about.insert(0, Action("Change what is known of it", edit, plain=True, small=True))
    found = [SimpleNamespace(title="This tree", about="", actions=about)]
    if actor.plans:
        events = event_actions(sheet.id, gone=sheet.gone, away=sheet.away is not None)
        said = "Each page says first what follows."
        found.append(SimpleNamespace(title="What happened", about=said, actions=events))
    return found
