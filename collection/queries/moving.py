"""How many people move a tree, or that it wants a lifting aid: each rule's answer and the strictest."""

from __future__ import annotations

from dataclasses import dataclass

from collection.craft.figures import OutOfRange
from collection.craft.lifting import MoveAnswer, PotMass, Says, move_answer, pot_mass, usual_move
from collection.models import Tree
from collection.queries.access import Actor, tree_for
from collection.queries.labels import in_words
from collection.queries.opened import Opened
from collection.queries.sentences import say
from collection.queries.speech import listed
from collection.queries.sums import opened_steps, step_line

RULE_NAMES = {
    "niosh": "the lifting equation (NIOSH)",
    "hse": "the HSE filter figures",
    "club": "the club's own rule",
}
USUAL = (
    "Worked out for the usual move: from {where} to a turntable, hands at the rim, twelve lifts an hour. "
    "Nobody has said how wide the pot is, so it is taken as 40 cm and badly held (assumption)."
)


@dataclass(frozen=True, slots=True)
class RuleSays:
    """One rule: how many people or an aid, why in a sentence, and the figure behind it with its sum."""

    rule: str
    name: str
    answer: str
    sentence: str
    number: Opened
    decides: bool


@dataclass(frozen=True, slots=True)
class Moving:
    """How a tree is moved.

    Attributes:
        answer: In a sentence, with the rule that decided; "" where nothing is known of its mass.
        mass: What it weighs, opened to how that is known.
        notes: Sentences beside it, and what to measure where nothing can be said.
    """

    answer: str
    people: int | None
    aid: bool
    guessed: bool
    decided_by: tuple[str, ...]
    mass: Opened | None
    rules: tuple[RuleSays, ...]
    notes: tuple[str, ...]


def moving_of(tree: Tree) -> Moving:
    """How many people move a tree by the strictest of three rules."""
    try:
        mass = pot_mass(
            weighed_kg=tree.mass_kg if tree.mass_weighed else None,
            said_kg=tree.mass_kg,
            pot_litres=tree.pot_litres,
            height_cm=tree.height_mm / 10 if tree.height_mm else None,
        )
        found = move_answer(usual_move(mass, ground=tree.bench_id is None))
    except OutOfRange as refused:
        return Moving("", None, False, False, (), None, (), (say(refused.reason),))
    where = "its bench" if tree.bench_id else "the ground"
    return Moving(
        _answer(found),
        found.people,
        found.aid,
        mass.guessed,
        found.decided_by,
        _mass(mass),
        tuple(_rule(one, one.rule in found.decided_by) for one in found.rules if one.lines),
        (*(say(reason) for reason in found.reasons), USUAL.format(where=where)),
    )


def tree_moving(actor: Actor, tree_id: int) -> Moving:
    """How one tree is moved.

    Raises:
        Refused: ``not_found``.
    """
    return moving_of(tree_for(actor, tree_id))


def _answer(found: MoveAnswer) -> str:
    by = listed([RULE_NAMES[rule] for rule in found.decided_by])
    if found.aid:
        return f"Use a lifting aid and {in_words(found.people).lower()} people, by {by}."
    if found.people == 1:
        return "One person may try it. Every rule that we ask agrees."
    return f"{in_words(found.people)} people move it, by {by}."


def _mass(mass: PotMass) -> Opened:
    return opened_steps(f"{mass.kg:.3g} kg" + (", guessed" if mass.guessed else ", weighed"), mass.lines)


def _rule(one: Says, decides: bool) -> RuleSays:
    if one.people is not None:
        answer = "one person" if one.people == 1 else f"{one.people} people"
    else:
        answer = "a lifting aid" if one.aid else "not computable"
    sentence = " ".join(say(reason) for reason in one.reasons)
    figure = step_line(one.lines[-1]).figure
    number = opened_steps(figure, one.lines)
    return RuleSays(one.rule, RULE_NAMES[one.rule], answer, sentence, number, decides)
