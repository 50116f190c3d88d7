"""What a reader of an estimate should know about it, as reasons."""

from __future__ import annotations

from collections.abc import Sequence

from collection.craft.labour_crew import LIFTING_AID_KG, ONE_PERSON_KG, TWO_PERSON_KG, lifts_of, mass_of
from collection.craft.labour_lines import WALK_ROUND, Part
from collection.craft.labour_reference import PaceTable
from collection.craft.labour_types import Total
from collection.craft.quantities import METRES, ORDERS, WIRING
from collection.craft.reasons import Reason

RECOUNT_RATIO = 1.5  # assumption


def notes_for(parts: Sequence[Part], whole: Total, sittings: int, paces: PaceTable) -> tuple[Reason, ...]:
    """Flags of an estimate, most general last, each once.

    Args:
        whole: The job's total, minutes of labour.
        sittings: Spells the work is cut into.
    """
    notes = [note for part in parts for note in (*_counts(part), *_mass(part), *_cap(part, paces))]
    notes += _two_sides(whole)
    if sittings > 1:
        notes.append(Reason.of("labour_carries_over", sittings=sittings))
    if any(part.request.task == "WATER" for part in parts):
        notes.append(Reason.of("labour_watering_not_counted"))
    return tuple(dict.fromkeys(notes))


def _counts(part: Part) -> list[Reason]:
    kinds = {row.kind for row in part.rows}
    sizes = {"bend_mm", "pot_litres"}
    filled = [k for k, amount in part.amounts.items() if k in kinds | sizes and amount.origin == "default"]
    filled = [kind for kind in filled if kind not in ("bends", "pots", "trees")]
    notes = [Reason.of("labour_default_counts", kinds=tuple(sorted(filled)))] if filled else []
    split = [part.amounts[kind].value for kind in ORDERS if kind in part.amounts]
    if any(part.amounts[k].origin == "split" for k in ORDERS if k in part.amounts):
        notes.append(Reason.of("labour_split_total", branches=round(sum(split))))
    if part.request.task in WIRING and not split and any(kind in part.amounts for kind in METRES):
        notes.append(Reason.of("labour_metres_only"))
    return [*notes, *_wire_left_out(part)]


def _wire_left_out(part: Part) -> list[Reason]:
    if part.request.task not in WIRING:
        return []
    left = tuple(kind for kind in METRES if kind in part.request.quantities and kind not in part.amounts)
    return [Reason.of("labour_wire_elsewhere", kinds=left)] if left else []


def _two_sides(whole: Total) -> list[Reason]:
    if not whole.branches_min or not whole.metres_min:
        return []
    by_branch, by_metre = whole.branches_min, whole.metres_min
    ratio = max(by_branch, by_metre) / min(by_branch, by_metre)
    code = "labour_recount" if ratio > RECOUNT_RATIO else "labour_two_sides"
    return [Reason.of(code, branches_min=by_branch, metres_min=by_metre)]


def _mass(part: Part) -> list[Reason]:
    mass = mass_of(part.request)
    if mass is None:
        return []
    task = part.request.task
    moved = bool(lifts_of(part.request)) or task not in WALK_ROUND
    if not moved or mass.kg <= ONE_PERSON_KG:
        return []
    notes = [] if lifts_of(part.request) else [Reason.of("labour_bench_lift", mass_kg=mass.kg)]
    if mass.kg > TWO_PERSON_KG:
        notes.append(Reason.of("labour_lifting_aid", mass_kg=mass.kg, must=mass.kg > LIFTING_AID_KG))
    if mass.guessed:
        notes.append(Reason.of("labour_mass_guessed", mass_kg=mass.kg))
    return notes


def _cap(part: Part, paces: PaceTable) -> list[Reason]:
    product = paces.uncapped(part.request.task, part.conditions)
    if product <= paces.cap:
        return []
    return [Reason.of("labour_conditions_capped", product=round(product, 2), cap=paces.cap)]
