"""How many people move a tree."""

from __future__ import annotations

from dataclasses import dataclass

from collection.queries.access import Actor
from collection.queries.moving import tree_moving


@dataclass(frozen=True, slots=True)
class RuleRecord:
    """One rule's answer in a sentence."""

    rule: str
    decides: bool
    said: str


@dataclass(frozen=True, slots=True)
class MovingRecord:
    """How a tree is moved; ``people`` is null where its mass is not known, and ``notes`` say what to do."""

    tree_id: int
    mass_kg: float | None
    mass_guessed: bool
    people: int | None
    lifting_aid: bool
    decided_by: tuple[str, ...]
    words: str
    rules: tuple[RuleRecord, ...]
    notes: tuple[str, ...]


def moving_record(actor: Actor, tree_id: int) -> MovingRecord:
    """How one tree is moved.

    Raises:
        Refused: ``not_found``.
    """
    found = tree_moving(actor, tree_id)
    return MovingRecord(
        tree_id,
        found.mass.value if found.mass else None,
        found.guessed,
        found.people,
        found.aid,
        found.decided_by,
        found.answer,
        tuple(RuleRecord(one.rule, one.decides, one.sentence) for one in found.rules),
        found.notes,
    )
