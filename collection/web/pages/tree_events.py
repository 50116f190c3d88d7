"""What happened to a tree, with what follows from it in words before anybody presses the button."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.queries.labels import counted, day, task_name
from collection.queries.sentences import say
from collection.queries.speech import listed
from collection.queries.tree_events import Outlook
from collection.web.pages.forms import form_page, part
from collection.web.pages.parts import Action, Tag

# kind -> (words of the way there, title, button)
KINDS = {
    "moved": ("It moved", "{tree} stands somewhere else", "Write the move down"),
    "lent": ("It is lent", "{tree} is lent", "Write the loan down"),
    "show": ("It goes to a show", "{tree} goes to a show", "Write the show down"),
    "back": ("It is back", "{tree} is back", "Write down that it is back"),
    "out": ("It left", "{tree} left the collection", "Take it out of the collection"),
    "died": ("It died", "{tree} died", "Write its death down"),
}
MOST_NAMED = 6


def event_actions(tree_id: int, *, gone: bool, away: bool) -> list[Action]:
    """The ways to write down what happened, those that fit how the tree is now."""
    kinds = ["back"] if gone else ["moved", "back", "out", "died"] if away else list(KINDS)
    if not gone and not away:
        kinds.remove("back")
    return [
        Action(KINDS[kind][0], reverse("tree-event", args=[tree_id, kind]), plain=True, small=True)
        for kind in kinds
    ]


def event_page(tree: Outlook, kind: str, form: Form) -> SimpleNamespace:
    """Everything the page of one kind of event reads."""
    _, title, send = KINDS[kind]
    here = reverse("tree", args=[tree.id])
    first, *rest = FOLLOWS[kind](tree)
    return form_page(
        title=title.format(tree=tree.title),
        tags=[Tag(tree.accession, here)],
        said=first,
        about=rest,
        url=reverse("tree-event", args=[tree.id, kind]),
        form=form,
        parts=[part(form, "What happened", [name for name in form.fields if name != "version"])],
        send=send,
        back=(here, "Back to the tree"),
        foot_left="What is written down here stays in the tree's history.",
    )


def _leaves(tree: Outlook) -> list[str]:
    said = ["It keeps its number and its history, and is no longer planned."]
    if tree.jobs:
        names = list(dict.fromkeys(task_name(job.task).lower() for job in tree.jobs))
        some = [*names[: MOST_NAMED - 1], f"{len(names) - MOST_NAMED + 1} more"]
        jobs = counted(len(tree.jobs), "open job is", "open jobs are")
        said.append(f"{jobs} taken back: {listed(names if len(names) <= MOST_NAMED else some)}.")
    if tree.rounds:
        said.append(f"It is taken off {counted(tree.rounds, 'round', 'rounds')}.")
    if tree.wires:
        said.append(f"{counted(tree.wires, 'wire is', 'wires are')} still on it. Write down what comes off.")
    return said + _people(tree)


def _people(tree: Outlook) -> list[str]:
    days: dict[str, list[str]] = {}
    for seat in tree.planned:
        days.setdefault(day(seat.on), []).append(seat.name)
    return [
        f"{listed(names)} {'is' if len(names) == 1 else 'are'} down for work on it on {on}. "
        "Tell them, or plan that day again."
        for on, names in days.items()
    ]


def _lent(tree: Outlook) -> list[str]:
    said = ["Its jobs stay. None is planned on a day while it is away."]
    if tree.jobs:
        soon = tree.jobs[0]
        said.append(f"The first window that closes: {task_name(soon.task).lower()}, on {day(soon.closes)}.")
    return said + _people(tree)


def _show(tree: Outlook) -> list[str]:
    return [
        "Its jobs stay. None is planned on a day while it is away.",
        f"Root work and heavy bends keep {tree.journey_days} days from the day it travels, before and after.",
        *_people(tree),
    ]


def _moved(tree: Outlook) -> list[str]:
    rounds = f" It goes along on {counted(tree.rounds, 'round', 'rounds')}." if tree.rounds else ""
    return [f"Its jobs stay.{rounds}", *_people(tree)]


def _back(tree: Outlook) -> list[str]:
    if tree.gone:
        return [
            "It is in the collection again.",
            "Jobs that were taken back are open again where their window still is.",
        ]
    away = [say(tree.away.reason)] if tree.away else []
    return ["It can be planned again from this day on.", *away]


FOLLOWS: dict[str, Callable[[Outlook], list[str]]] = {
    "out": _leaves,
    "died": _leaves,
    "lent": _lent,
    "show": _show,
    "moved": _moved,
    "back": _back,
}


def done_words(tree: Outlook, kind: str) -> str:
    """What was done, for the notice on the tree's page."""
    if kind in ("out", "died"):
        jobs = f" {counted(len(tree.jobs), 'job was', 'jobs were')} taken back." if tree.jobs else ""
        return f"It is written down.{jobs} If it was a mistake, write down that it is back."
    return "It is written down."
