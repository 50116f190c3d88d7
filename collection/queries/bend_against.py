"""What speaks against a heavy bend on the day it could first be done: rest, roots, wire to be looked at."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from collection.craft.reasons import Reason
from collection.craft.rules import holds
from collection.models import Bend, Job, Wire
from collection.queries.facts import facts_of
from collection.queries.labels import dated
from collection.queries.programme import rules_of
from collection.queries.sentences import say

ROOT_WORK = frozenset({"REPOT", "UP_POT"})


@dataclass(frozen=True, slots=True)
class Against:
    """One thing that speaks against a bend; a hard one stops it on that day."""

    sentence: str
    hard: bool


def against(bend: Bend, job: Job, *, today: date) -> tuple[Against, ...]:
    """Everything that speaks against an open bend, hard ones first; a constant number of queries.

    The day is the first on which the bend could be done: today, or later when its window opens.
    """
    tree = job.tree
    assert tree is not None
    on = max(today, job.opens)
    facts = facts_of([tree])[tree.pk]
    found = [
        Against(say(hold.reason), hold.level == "hard")
        for hold in holds(facts, job.task, on, settings=rules_of(tree.club), subject=job.subject)
    ]
    if not any(done.task in ROOT_WORK for done in facts.history):
        found.append(Against(say(Reason.of("bend_roots_not_known")), False))
    found += [
        Against(say(Reason.of("bend_wire_to_look_at", label=label, look_on=dated(look_on))), False)
        for label, look_on in _late_wires(bend, today)
    ]
    return tuple(sorted(found, key=lambda one: not one.hard))


def _late_wires(bend: Bend, today: date) -> list[tuple[str, date]]:
    rows = Wire.objects.filter(tree_id=bend.tree_id, off=None, look_on__lte=today)
    if bend.branch_id is not None:
        rows = rows.filter(branch_id=bend.branch_id)
    return [(wire.label, wire.look_on) for wire in rows.order_by("look_on", "id") if wire.look_on is not None]
