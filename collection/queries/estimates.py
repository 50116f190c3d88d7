"""How long a task takes, asked without a tree: one door for page, API and command."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass

from collection.craft.labour import estimate
from collection.craft.labour_types import Estimate, EstimateRequest
from collection.craft.quantities import KINDS, WIRING, Amount
from collection.craft.reference import groups
from collection.models import Estimate as EstimateRow
from collection.queries.errors import Refused
from collection.queries.numbers import estimate_number
from collection.queries.opened import Opened
from collection.queries.programme import paces_of
from collection.queries.sentences import say

TASKS_TO_ASK = tuple(code for code in KINDS if code != "WATER")
ORDERS = ("primary", "secondary", "fine")


def ask(
    club_id: int | None,
    *,
    task: str,
    counts: Mapping[str, float] | None = None,
    branches_total: float | None = None,
    wire_m: float | None = None,
    group: str = "",
    stage: str = "",
    height_cm: float | None = None,
    pot_litres: float | None = None,
    skill: str = "practised",
) -> Estimate:
    """The estimate for what is known; branch count, wire length and task are enough.

    Raises:
        Refused: ``estimate_input`` with what is wrong.
    """
    try:
        known = {kind: Amount(amount, "typed") for kind, amount in (counts or {}).items() if amount}
        request = EstimateRequest(
            task=task,
            quantities=known,
            group=group or None,
            stage=stage or None,
            height_cm=height_cm or None,
            pot_litres=pot_litres or None,
            skill=skill or "practised",
            branch_total=Amount(branches_total, "typed") if branches_total and task in WIRING else None,
            wire_total_m=Amount(wire_m, "typed") if wire_m and task in WIRING else None,
            group_limit_mm=groups()[group].bend_limit_mm if group else None,
        )
        return estimate(request, paces_of(club_id) if club_id else None)
    except (ValueError, KeyError) as error:
        raise Refused("estimate_input", field="task", what=str(error)) from None


@dataclass(frozen=True, slots=True)
class TwoPaces:
    """Wiring known two ways: minutes from the branches alone and from the metres of wire alone.

    ``recount`` is true where one is more than half as much again as the other (assumption).
    """

    branches_min: float
    metres_min: float
    recount: bool
    said: str


def two_paces(found: Estimate) -> TwoPaces | None:
    """The two answers side by side, where branches and wire were both counted."""
    for note in found.notes:
        if note.code in ("labour_two_sides", "labour_recount"):
            sides = {name: float(str(value)) for name, value in note.values.items()}
            recount = note.code == "labour_recount"
            return TwoPaces(sides["branches_min"], sides["metres_min"], recount, say(note))
    return None


def other_kind(task: str) -> str:
    """The one thing besides branches and wire that a task counts, "" when there is none."""
    kinds = [kind for kind in KINDS.get(task, ()) if kind not in ORDERS and not kind.startswith("wire_")]
    return kinds[0] if kinds else ""


def opened(found: Estimate) -> Opened:
    """An estimate that was asked for, as a number that opens."""
    row = EstimateRow(
        lines=[asdict(line) for line in found.lines],
        mean_min=found.mean_min,
        p10_min=found.range80_min[0],
        p90_min=found.range80_min[1],
        cautious_min=found.cautious_min,
        elapsed_min=found.elapsed_min,
        held_min=found.held_min,
        crew=found.crew,
        crew_reasons=[reason.as_json() for reason in found.crew_reasons],
        sittings=found.sittings,
        notes=[reason.as_json() for reason in found.notes],
        trust=found.trust,
    )
    return estimate_number(row)
