"""The register as a list to search, narrow and sort."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from types import SimpleNamespace
from urllib.parse import urlencode

from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.labels import STAGE_NAMES, counted, dated, short_day, task_name
from collection.queries.question_words import question
from collection.queries.register import PAGE, Choices, Next, TreeList, TreeRow, Wanted
from collection.queries.speech import listed
from collection.queries.trees import Hands, when_of
from collection.web.pages.parts import Action, Empty, Option, Tag, lead, page

STATE_WORDS = (
    ("open", "Left open"),
    ("closing", "Window closes within 4 weeks"),
    ("untouched", "Nobody has touched it for 12 months"),
    ("ask", "To be asked about"),
    ("resting", "Resting"),
    ("away", "Lent or at a show"),
    ("gone", "No longer in the collection"),
)
SORT_WORDS = (
    ("tag", "Tag"),
    ("name", "Name"),
    ("bench", "Bench"),
    ("worked", "Longest since last worked"),
    ("window", "Window that closes first"),
)
FOUND_WORDS = {
    "open": "left open",
    "closing": "with a window that closes within 4 weeks",
    "untouched": "that nobody has touched for 12 months",
    "ask": "to be asked about",
    "resting": "resting",
    "away": "lent or at a show",
    "gone": "no longer in the collection",
}
AWAY_WORDS = {"lent": "Lent", "show": "At a show"}


def list_page(trees: TreeList, wanted: Wanted, known: Choices, actor: Actor, today: date) -> SimpleNamespace:
    """Everything ``tree/list.html`` reads."""
    last = trees.start + len(trees.rows)
    first = trees.start + 1
    return page(
        title="Trees",
        lead=lead(_said(trees.total, wanted)),
        query=wanted.query,
        search_url=reverse("trees"),
        narrowed=wanted.narrowed or wanted.sort != "tag",
        selects=_selects(wanted, known, actor),
        clear=reverse("trees") if wanted.narrowed else "",
        rows=[_row(row, today) for row in trees.rows],
        where=f"Trees {first} to {last} of {trees.total}" if trees.total > PAGE else "",
        before=_step(wanted, trees.start - PAGE) if trees.start > 0 else None,
        after=_step(wanted, trees.start + PAGE) if last < trees.total else None,
        empty=_empty(wanted, actor),
        actions=_actions(actor, empty=not trees.rows and not wanted.narrowed),
        foot_left="A tree keeps its number for ever.",
        foot_right="",
    )


def _said(total: int, wanted: Wanted) -> str:
    said = counted(total, "tree", "trees")
    if wanted.state:
        return f"{said} {FOUND_WORDS[wanted.state]}."
    if wanted.narrowed:
        return f"{said} {'matches' if total == 1 else 'match'}."
    return f"{said} in the collection."


def _actions(actor: Actor, *, empty: bool) -> list[Action]:
    found = [Action("My trees", reverse("trees-mine"), plain=True)] if actor.member_id else []
    found.append(Action("Rounds", reverse("rounds"), plain=True))
    if actor.plans and not empty:
        found.insert(0, Action("Add a tree", reverse("tree-new")))
    if actor.plans:
        found.append(Action("Bring in a list", f"{reverse('imports')}?kind=trees", plain=True))
    return found


def _empty(wanted: Wanted, actor: Actor) -> Empty:
    if wanted.narrowed:
        return Empty("No tree matches.", "shimpaku bench", Action("See all trees", reverse("trees")))
    add = Action("Add a tree", reverse("tree-new"), main=True) if actor.plans else None
    return Empty("Trees on the register will be listed here.", "2009.014, shimpaku, bench C2", add)


def _selects(wanted: Wanted, known: Choices, actor: Actor) -> list[SimpleNamespace]:
    carers: list[tuple[object, str]] = [(pk, name) for pk, name in known.carers if pk != actor.member_id]
    if actor.member_id is not None:
        carers.insert(0, (actor.member_id, "My own and those I care for"))
    return [
        _select("group", "Kind of tree", "All kinds", known.groups, wanted.group),
        _select("stage", "Stage", "All stages", STAGE_NAMES.items(), wanted.stage),
        _select("where", "Where", "Everywhere", known.places, wanted.where),
        _select("carer", "Who cares for it", "Anybody", carers, wanted.carer or ""),
        _select("state", "How it is", "Any", STATE_WORDS, wanted.state),
        _select("sort", "In order of", "", SORT_WORDS, wanted.sort),
    ]


def _select(
    name: str, label: str, anything: str, options: Iterable[tuple[object, str]], chosen: object
) -> SimpleNamespace:
    first = [Option("", anything, chosen=not chosen)] if anything else []
    return SimpleNamespace(
        id=f"by-{name}",
        name=name,
        label=label,
        options=(*first, *(Option(value, words, chosen=value == chosen) for value, words in options)),
    )


def _row(row: TreeRow, today: date) -> SimpleNamespace:
    latin = row.species if row.species != row.name else ""
    notes = ["Left open"] if row.is_open else []
    notes += [AWAY_WORDS[row.away]] if row.away else []
    notes += ["No longer in the collection"] if row.gone else []
    return SimpleNamespace(
        tag=Tag(row.accession, reverse("tree", args=[row.id])),
        name=row.name,
        latin=latin,
        notes=notes,
        where=row.where,
        stage=STAGE_NAMES[row.stage].lower() if latin else STAGE_NAMES[row.stage],
        last_hands=last_words(row.last),
        next=next_words(row.next, today),
    )


def last_words(hands: Hands | None) -> str:
    """Who last worked a tree, in a table's cell."""
    if hands is None:
        return "nobody yet"
    return f"{listed(hands.who) if hands.who else 'not known who'}, {when_of(hands)}"


def next_words(following: Next | None, today: date) -> str:
    """What comes next on a tree, in a table's cell."""
    if following is None:
        return "nothing due"
    if following.question:
        return question(following.task)
    what = task_name(following.task)
    if following.planned_on:
        return f"{what}, planned for {short_day(following.planned_on)}"
    if following.opens > today:
        return f"{what}, from {_when(following.opens, today)}"
    if following.closes < today:
        return f"{what}, window closed {_when(following.closes, today)}"
    return f"{what}, closes {_when(following.closes, today)}"


def _when(on: date, today: date) -> str:
    return short_day(on) if on.year == today.year else dated(on)


def _step(wanted: Wanted, start: int) -> SimpleNamespace:
    asked = {
        "q": wanted.query,
        "group": wanted.group,
        "stage": wanted.stage,
        "where": wanted.where,
        "carer": wanted.carer,
        "state": wanted.state,
        "sort": "" if wanted.sort == "tag" else wanted.sort,
        "from": start if start > 0 else "",
    }
    query = urlencode({name: value for name, value in asked.items() if value})
    return SimpleNamespace(url=reverse("trees") + (f"?{query}" if query else ""))
