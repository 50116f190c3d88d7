"""The people of an invented club as the replay sees them: who can do what, how fast, who turns up."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from collection.craft.labour_reference import reference_paces
from collection.craft.tasks import SKILL_LEVELS, Task

# Share of a workday that goes into trees after briefing, tea and clean-up (assumption).
PRODUCTIVE = 0.81
# Spread of log minutes: own pace against the level's, and one sitting against another (assumption).
OWN_SPREAD = 0.12
SITTING_SPREAD = 0.2
TOGETHER = 0.58


@dataclass(slots=True)
class Hand:
    """One person: levels by family, own pace (1.1 is a tenth slower than the level), how often he comes.

    ``free_from`` and ``left_min`` move during a day: minutes since opening, and minutes of work left in him.
    """

    member_id: int
    name: str
    levels: dict[str, str]
    lifts: bool
    pace: float
    comes: float
    free_from: float = 0.0
    left_min: float = 0.0

    def level(self, family: str) -> int:
        """Rank of his level in a family, 0 novice to 3 expert."""
        return SKILL_LEVELS.index(self.levels.get(family, "novice"))

    def may_lead(self, task: Task) -> bool:
        """Whether his level is high enough; an expert leads a heavy bend."""
        wanted = "expert" if task.family == "bending" else task.least_skill
        return self.level(task.family) >= SKILL_LEVELS.index(wanted)

    def may_hold(self, task: Task, lead: Hand) -> bool:
        """Whether he can be the second pair of hands: able to lift, and never two novices together."""
        return self is not lead and self.lifts and self.level(task.family) + lead.level(task.family) > 0

    def minutes(self, practised_min: float, task: Task, rng: random.Random) -> float:
        """Minutes he takes over what a practised hand does in ``practised_min``."""
        skill = reference_paces().skills[SKILL_LEVELS[self.level(task.family)]]
        return practised_min * skill * self.pace * rng.lognormvariate(0, SITTING_SPREAD)


def with_own_ways(people: Iterable[tuple[int, str, dict[str, str], bool]], rng: random.Random) -> list[Hand]:
    """A pace and a habit of coming for each person, in order of name so that a seed gives the same club."""
    return [
        Hand(
            member_id=member_id,
            name=name,
            levels=levels,
            lifts=lifts,
            pace=round(rng.lognormvariate(0, OWN_SPREAD), 2),
            comes=rng.choice((0.3, 0.4, 0.5, 0.6, 0.75)),
        )
        for member_id, name, levels, lifts in sorted(people, key=lambda person: person[1])
    ]


def who_says_yes(hands: Sequence[Hand], wanted: int, always: str, rng: random.Random) -> list[Hand]:
    """About ``wanted`` people, one of them ``always``; those who come often are likelier."""
    others = [hand for hand in hands if hand.name != always]
    ranked = sorted(others, key=lambda hand: -(rng.random() ** (1 / hand.comes)))
    number = max(2, wanted - 1 + rng.choice((-1, 0, 0, 1)))
    chosen = {hand.member_id for hand in ranked[:number]}
    return [hand for hand in hands if hand.member_id in chosen or hand.name == always]


def crew_for(hands: Sequence[Hand], task: Task, crew: int, practised_min: float) -> list[Hand]:
    """A lead and the hands beside him for a job, or nobody when the day has no such people left.

    The lead is the free person whose level fits best: experts are kept for what only they can do.
    """
    able = [hand for hand in hands if hand.may_lead(task) and hand.left_min >= min(practised_min, 45)]
    for lead in sorted(able, key=lambda hand: (hand.level(task.family), -hand.left_min, hand.name)):
        if crew == 1:
            return [lead]
        beside = [h for h in hands if h.may_hold(task, lead) and h.left_min >= practised_min * 0.8]
        if len(beside) >= crew - 1:
            beside.sort(key=lambda hand: (-hand.left_min, hand.name))
            return [lead, *beside[: crew - 1]]
    return []


def with_learner(crew: list[Hand], came: Sequence[Hand], minutes: float) -> tuple[list[Hand], float]:
    """The crew with the freest other person beside it, and the shorter time two need together.

    Two on one tree save each a little under half of the time (assumption).
    """
    free = [hand for hand in came if hand not in crew and hand.left_min >= minutes * TOGETHER]
    if not free:
        return crew, minutes
    beside = max(free, key=lambda hand: (hand.left_min, hand.name))
    return [*crew, beside], minutes * TOGETHER
