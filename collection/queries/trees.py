"""Trees: what they are called, and who last worked each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from collection.models import (
    Sitting,
    Tree,
)
from collection.queries.access import Actor, job_for
from collection.queries.clock import local
from collection.queries.errors import Refused
from collection.queries.labels import dated, length, task_name
from collection.queries.real_work import real_work


@dataclass(frozen=True, slots=True)
class Hands:
    """One spell of work as people tell it: when, who, what.

    ``minutes`` are of all the people together; ``each`` is what everybody gave where that was the same.
    ``shared`` when they were shared out, between several trees or in a plan, by estimates.
    """

    tree_id: int
    on: date
    who: tuple[str, ...]
    what: str
    minutes: float
    note: str
    left_open: bool
    remembered: bool = False
    each: float | None = None
    shared: bool = False


def title_of(tree: Tree) -> str:
    """What a tree is called: its name, else its common name, else its species."""
    return tree.name or tree.common_name or tree.species or tree.accession


def hands_of(sitting: Sitting, zone: str) -> Hands:
    people = sitting.people.all()
    gave = {round(person.minutes, 3) for person in people}
    tasks = [task_name(t.task) for t in sitting.tasks.all()]
    return Hands(
        tree_id=sitting.tree_id,
        on=local(sitting.started, zone).date(),
        who=tuple(person.member.name for person in people),
        what=", ".join([tasks[0], *[t.lower() for t in tasks[1:]]]) if tasks else "Work",
        minutes=sum(person.minutes for person in people),
        note=sitting.note,
        left_open=sitting.left_open,
        remembered=sitting.remembered,
        each=gave.pop() if len(gave) == 1 else None,
        shared=sitting.shared,
    )


def sittings_on(tree_ids: Iterable[int]) -> list[Sitting]:
    rows = real_work(Sitting.objects.filter(tree_id__in=list(tree_ids), corrected_by=None))
    return list(
        rows.select_related("club").prefetch_related("people__member", "tasks").order_by("-ended", "-id")
    )


def last_hands(tree_ids: Iterable[int]) -> dict[int, Hands]:
    """Who last worked each tree; remembered work counts only where nothing else is known."""
    newest: dict[int, Sitting] = {}
    ids = list(tree_ids)
    latest: dict[int, int] = {}
    rows = real_work(Sitting.objects.filter(tree_id__in=ids, corrected_by=None))
    rows = rows.order_by("remembered", "-ended", "-id")
    for pk, tree in rows.values_list("pk", "tree_id"):
        latest.setdefault(tree, pk)
    chosen = Sitting.objects.filter(pk__in=latest.values()).select_related("club")
    for sitting in chosen.prefetch_related("people__member", "tasks"):
        newest[sitting.tree_id] = sitting
    return {tree: hands_of(sitting, sitting.club.zone) for tree, sitting in newest.items()}


def when_of(hands: Hands) -> str:
    """The day of the work; of remembered work only the year is sure."""
    return str(hands.on.year) if hands.remembered else dated(hands.on)


def hands_sentence(hands: Hands) -> str:
    """Last hands in a sentence's words: what, and how long."""
    spent = f", {spent_words(hands)}" if hands.minutes else ""
    return f"{hands.what}{spent}" + (" (known from before)" if hands.remembered else "")


def spent_words(hands: Hands) -> str:
    """The minutes, whose they are when several worked, and that nobody timed them on this tree alone."""
    one = hands.minutes if hands.each is None else hands.each
    words = length(one) if one >= 0.5 else "a minute"
    if len(hands.who) > 1:
        words += " between them" if hands.each is None else " each"
    return f"about {words}, shared out by estimate" if hands.shared else words


def tree_of_tag(actor: Actor, accession: str) -> int:
    """The tree with a number on its tag.

    Raises:
        Refused: ``tag_unknown``.
    """
    tree = Tree.objects.filter(club_id=actor.club_id, accession=accession.strip()).first()
    if tree is None:
        raise Refused("tag_unknown", field="tree")
    return tree.pk


def job_tree(actor: Actor, job_id: int) -> int | None:
    """The tree a job is on, None for a round.

    Raises:
        Refused: ``not_found``.
    """
    return job_for(actor, job_id).tree_id
