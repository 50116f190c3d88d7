"""The people of a tree, and the trees of a person: who agrees to the season's work, and until when."""

from __future__ import annotations

from collections.abc import Mapping
from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.care import CareLine, OwnTree, OwnTrees, TreePeople
from collection.queries.labels import counted, dated
from collection.web.forms.care import CareForm, ConsentForm, SeasonForm
from collection.web.pages.forms import part
from collection.web.pages.parts import Action, Empty, Tag, hidden, lead, page

ROLE_WORDS = {"owner": "owns it", "carer": "cares for it"}


def people_page(
    people: TreePeople, actor: Actor, filled: Mapping[int, Form] | None = None, add: Form | None = None
) -> SimpleNamespace:
    """Everything ``tree/people.html`` reads; ``filled`` holds the form of a line that was refused."""
    here = reverse("tree", args=[people.tree_id])
    return page(
        title=f"People of {people.title}",
        tags=[Tag(people.accession, here)],
        lead=lead(_opening(people)),
        lines=[_line(line, people, actor, (filled or {}).get(line.id)) for line in people.lines],
        empty=Empty("Who owns this tree and cares for it will be listed here.", "Gerd, owns it"),
        add=_add(people, add) if actor.plans else None,
        back=SimpleNamespace(url=here, words="Back to the tree"),
        foot_left="Work waits only for an owner who wants to be asked first.",
        foot_right="",
    )


def _opening(people: TreePeople) -> str:
    waiting = [line.name for line in people.lines if line.waits]
    if waiting:
        return f"Work on this tree waits for the word of {' and '.join(waiting)}."
    if any(line.role == "owner" for line in people.lines):
        return "Nothing on this tree waits for its owner."
    return "This tree has no owner of its own. It is the club's."


def _line(line: CareLine, people: TreePeople, actor: Actor, form: Form | None) -> SimpleNamespace:
    first = {"until": people.until, "version": line.version, "to": "tree"}
    return SimpleNamespace(
        id=f"care-{line.id}",
        name=line.name,
        role=ROLE_WORDS[line.role],
        said=consent_words(line) if line.role == "owner" else "",
        form=form or ConsentForm(initial=first, auto_id=f"care-{line.id}-%s") if line.speaks else None,
        url=reverse("care-consent", args=[line.id]),
        send="I agree" if line.own else f"{line.name} agrees",
        main=line.waits,
        about="" if line.own or not line.speaks else "As told to you, also by telephone.",
        actions=_line_actions(line, "tree", ends=actor.plans),
    )


def consent_words(line: CareLine) -> str:
    """What an owner has said, in a sentence."""
    who = "You" if line.own else line.name
    if line.consent_until is not None:
        agreed = f"{who} agreed until {dated(line.consent_until)}."
        return f"{agreed} That is over, and work waits." if line.waits else agreed
    if line.ask_first:
        return f"{'You want' if line.own else f'{line.name} wants'} to be asked first, and work waits."
    return f"{'You do' if line.own else f'{line.name} does'} not need to be asked."


def _line_actions(line: CareLine, to: str, *, ends: bool) -> list[Action]:
    found = []
    version = {"version": line.version, "to": to}
    if line.speaks and not line.waits:
        words = "Take my consent back" if line.own else "Consent is taken back"
        at = reverse("care-take-back", args=[line.id])
        found.append(Action(words, at, post=True, plain=True, small=True, hidden=hidden(**version)))
    if line.speaks:
        words = "No need to ask first" if line.ask_first else "Ask before each season"
        at = reverse("care-ask-first", args=[line.id])
        ask = hidden(**version, ask="" if line.ask_first else "yes")
        found.append(Action(words, at, post=True, plain=True, small=True, hidden=ask))
    if ends:
        words = "No longer owns it" if line.role == "owner" else "No longer cares for it"
        at = reverse("care-end", args=[line.id])
        found.append(Action(words, at, post=True, plain=True, small=True, hidden=hidden(**version)))
    return found


def _add(people: TreePeople, form: Form | None) -> SimpleNamespace:
    form = form or CareForm(people=people.others)
    return SimpleNamespace(
        url=reverse("tree-people", args=[people.tree_id]),
        form=form,
        part=part(form, "Add somebody", ("member", "role", "ask_first")),
        words="Add this person",
        open=form.is_bound,
    )


def own_trees_page(trees: OwnTrees, form: Form | None = None) -> SimpleNamespace:
    """Everything ``tree/mine.html`` reads."""
    return page(
        title="My trees" if trees.own else f"Trees of {trees.name}",
        lead=lead(_own_opening(trees)),
        form=(form or SeasonForm(initial={"until": trees.until})) if trees.owned else None,
        url=reverse("trees-of-consent", args=[trees.member_id]),
        send="Agree for all my trees" if trees.own else f"{trees.name} agrees for all",
        about="Consent that runs longer already stays as it is."
        + ("" if trees.own else " Write down only what you were told."),
        owned=[_own_row(row, trees) for row in trees.owned],
        cared_for=[
            SimpleNamespace(tag=_tag(row), name=row.title, where=row.where) for row in trees.cared_for
        ],
        empty=Empty(
            "Trees that you own or care for will be listed here."
            if trees.own
            else f"Trees that {trees.name} owns or cares for will be listed here.",
            "2009.014, The Leaning Heron, agreed until 31 December",
            Action("See all trees", reverse("trees")),
        ),
        foot_left="Work waits only for an owner who wants to be asked first.",
        foot_right="",
    )


def _own_opening(trees: OwnTrees) -> str:
    who = "You own" if trees.own else f"{trees.name} owns"
    if not trees.owned:
        return f"{who} no tree."
    said = f"{who} {counted(len(trees.owned), 'tree', 'trees')}."
    if not trees.waiting:
        return f"{said} Work on none of them waits."
    word = "your" if trees.own else "his or her"
    verb = "waits" if trees.waiting == 1 else "wait"
    return f"{said} {counted(trees.waiting, 'tree', 'trees')} {verb} for {word} word."


def _own_row(row: OwnTree, trees: OwnTrees) -> SimpleNamespace:
    line = row.line
    give = Action(
        f"Agree until {dated(trees.until)}",
        reverse("care-consent", args=[line.id]),
        post=True,
        small=True,
        hidden=hidden(version=line.version, until=trees.until.isoformat(), to="person"),
    )
    agreed = line.consent_until is not None and line.consent_until >= trees.until
    return SimpleNamespace(
        tag=_tag(row),
        name=row.title,
        where=row.where,
        said=consent_words(line),
        actions=([] if agreed else [give]) + _line_actions(line, "person", ends=False),
    )


def _tag(row: OwnTree) -> Tag:
    return Tag(row.accession, reverse("tree", args=[row.tree_id]))
