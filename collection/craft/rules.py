"""May this be done on this tree on this day? Every rule that holds a job, in one call.

``rules_order`` has P1 to P17, ``rules_clash`` X1 to X14 and the health gate, ``rules_stress`` the
stress budget and the rest after hard work; each says at its top how it reads the table.
"""

from __future__ import annotations

from datetime import date

from collection.craft.rule_types import (
    LEVELS,
    Case,
    Done,
    Hold,
    Rest,
    RuleSettings,
    StressEvent,
    StressTally,
    TreeFacts,
    Weather,
)
from collection.craft.rules_clash import clash_holds, gate_holds
from collection.craft.rules_order import order_holds
from collection.craft.rules_stress import budget_holds, rest_holds, rest_until, stress_tally

__all__ = [
    "Done",
    "Hold",
    "Rest",
    "RuleSettings",
    "StressEvent",
    "StressTally",
    "TreeFacts",
    "Weather",
    "holds",
    "rest_until",
    "stress_tally",
]


def holds(
    facts: TreeFacts,
    task: str,
    on: date,
    *,
    settings: RuleSettings,
    planned: tuple[Done, ...] = (),
    weather: Weather | None = None,
    subject: str = "",
    occurrence: int = 1,
    visit: str = "",
) -> tuple[Hold, ...]:
    """Everything that stands against a job.

    Args:
        facts: The tree, with its history.
        task: A task code, or the event SHOW.
        on: The day it would be done.
        settings: The rules and the club's choices.
        planned: Other work planned on this tree, without the job itself.
        weather: Forecast for the day, where known.
        subject: Branch, bend or wire; "" for the whole tree.
        occurrence: Pass number; 2 for the second pass of a decandling.
        visit: Name of the visit, so that parts of one styling are known as one.

    Returns:
        Hard holds first, then warnings; within each the gate, P, X, budget and rest. Empty when the
        job may go ahead.

    Raises:
        ValueError: If the group or a task is not known.
    """
    settings.group(facts.group)
    for done in (*facts.history, *planned):
        settings.stress(done.task)
    settings.stress(task)
    case = Case(facts, Done(task, on, subject, occurrence, visit), planned, settings, weather)
    found = [
        *gate_holds(case),
        *order_holds(case),
        *clash_holds(case),
        *budget_holds(case),
        *rest_holds(case),
    ]
    return tuple(sorted(found, key=lambda hold: LEVELS.index(hold.level)))
