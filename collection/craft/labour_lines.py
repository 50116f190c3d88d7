"""The lines of an estimate: which amounts, which pace rows, which set-up."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from collection.craft import quantities
from collection.craft.labour_crew import (
    HELD_WIRE_MM,
    is_brittle,
    lifts_of,
    mass_of,
    needs_two_to_lift,
    watched,
)
from collection.craft.labour_reference import Pace, PaceTable, SetUpTime
from collection.craft.labour_types import EstimateRequest, Line, SetUps
from collection.craft.quantities import KINDS, METRES, ORDERS, WIRING, Amount

SITTING_MIN = 195  # a four-hour day yields 3 h 15 of work, assumption
TALL_CM = 90.0
# Done in one go: a held step or open roots cannot wait for another day.
NEVER_SPLIT = frozenset({"HEAVY_BEND", "REPOT", "UP_POT", "GRAFT", "GUY", "LAYER"})
# Done where the tree stands, so there is no bench to set up and clear.
WALK_ROUND = frozenset(
    {
        "WATER",
        "FEED_START",
        "FEED_STOP",
        "PEST",
        "LOOK_OVER",
        "WIRE_CHECK",
        "TURN",
        "RECORD",
        "SPRAY",
        "PROTECT",
    }
)
# The work is the lift: no lift is added to it.
LIFTED_ITSELF = frozenset({"PROTECT", "TURN"})
STYLING = frozenset({"PRUNE_STRUCT", "WIRE_STRUCT", "WIRE_DETAIL", "HEAVY_BEND"})
_OWN_METRES = {"WIRE_STRUCT": "wire_thick_m", "WIRE_DETAIL": "wire_thin_m", "WIRE_OFF": "wire_thin_m"}


@dataclass(frozen=True, slots=True)
class Part:
    """One request with its amounts found, its pace rows chosen and its conditions worked out."""

    request: EstimateRequest
    amounts: Mapping[str, Amount]
    rows: tuple[Pace, ...]
    conditions: frozenset[str]

    @property
    def row_crew(self) -> int:
        """Most people a chosen pace row asks for."""
        return max((row.crew for row in self.rows), default=1)


def part_of(request: EstimateRequest, paces: PaceTable) -> Part:
    """Find the amounts and the pace rows of one request.

    Raises:
        ValueError: If wire is written down but no branches, or the other way round.
    """
    amounts = _wiring(request) if request.task in WIRING else _plain(request)
    rows = tuple(
        row for row in paces.of(request.task) if row.kind in amounts and _fits(row, request, amounts)
    )
    missing = [kind for kind in KINDS[request.task] if kind in amounts and kind not in {r.kind for r in rows}]
    if missing:
        raise ValueError(f"no pace for {request.task} by {', '.join(missing)}; add one to the pace table")
    return Part(request, amounts, rows, _conditions(request))


def _plain(request: EstimateRequest) -> dict[str, Amount]:
    task = request.task
    known = _known(request)
    amounts = {kind: known[kind] for kind in KINDS[task] if kind in known}
    if not amounts or task == "HEAVY_BEND":
        filled = quantities.default_quantities(
            task, request.group, request.stage, request.height_cm, known, summer=request.summer
        )
        amounts = {**filled, **amounts}
    for size in ("bend_mm", "pot_litres"):
        if size in known:
            amounts[size] = known[size]
    if task in ("REPOT", "UP_POT") and "pot_litres" not in amounts:
        litres = quantities.default_pot_litres(request.height_cm)
        amounts["pot_litres"] = Amount(litres, "default", label="assumption")
    return amounts


def _known(request: EstimateRequest) -> dict[str, Amount]:
    known = dict(request.quantities)
    if request.pot_litres is not None:
        known.setdefault("pot_litres", Amount(request.pot_litres, "typed"))
    total = request.branch_total or known.get("branches_total")
    if total is not None and not any(order in known for order in ORDERS):
        known |= quantities.split_branches(total, request.task, request.stage)
    return known


def _wiring(request: EstimateRequest) -> dict[str, Amount]:
    known, kinds = _known(request), KINDS[request.task]
    branches = {kind: known[kind] for kind in kinds if kind in ORDERS and kind in known}
    metres = _metres(request, known)
    if not branches and not metres:
        return quantities.default_quantities(
            request.task, request.group, request.stage, request.height_cm, known
        )
    if branches and metres:
        some = [sum(amount.value for amount in side.values()) > 0 for side in (branches, metres)]
        if some[0] != some[1]:
            raise ValueError(
                "there are branches but 0 m of wire, or wire but 0 branches; "
                "leave empty what nobody counted, or count it again"
            )
    return {**branches, **metres}


def settled(request: EstimateRequest) -> EstimateRequest:
    """The request without the side that says "none" where branches and metres of wire contradict each other.

    Counts of a tree come from several days and hands: eight main branches and 0 m of wire means that nobody
    measured the wire, not that the branches need none.
    """
    if request.task not in WIRING:
        return request
    known = _known(request)
    branches = {kind: known[kind] for kind in KINDS[request.task] if kind in ORDERS and kind in known}
    metres = _metres(request, known)
    some = [sum(amount.value for amount in side.values()) > 0 for side in (branches, metres)]
    if not branches or not metres or some[0] == some[1]:
        return request
    none = metres if some[0] else branches
    kept = {kind: amount for kind, amount in request.quantities.items() if kind not in none}
    return replace(request, quantities=kept, branch_total=request.branch_total if some[0] else None)


def _metres(request: EstimateRequest, known: Mapping[str, Amount]) -> dict[str, Amount]:
    given = {kind: known[kind] for kind in METRES if kind in known}
    own = _OWN_METRES[request.task]
    if request.wire_total_m is not None:
        if given:
            raise ValueError("give the wire by thickness or as one length, not both")
        return {own: request.wire_total_m}
    if request.task == "WIRE_OFF":
        return given
    if own in given:
        return {own: given[own]}
    # On a tree with counted branches the other thickness belongs to the other wiring task.
    return {} if any(order in known for order in ORDERS) else given


def _fits(row: Pace, request: EstimateRequest, amounts: Mapping[str, Amount]) -> bool:
    if row.size_by == "mass_kg":
        mass = mass_of(request)
        return row.fits(mass.kg if mass else 0)
    if row.size_by == "bend_mm" and "trunk_bend" in request.circumstances:
        return row.size_to == math.inf
    return row.fits(amounts[row.size_by].value if row.size_by in amounts else None)


def _conditions(request: EstimateRequest) -> frozenset[str]:
    found = set(request.conditions) - {"brittle", "tall"}
    if is_brittle(request):
        found.add("brittle")
    high = request.height_cm is not None and request.height_cm > TALL_CM
    said = "tall" in request.conditions or "steps" in request.circumstances
    if request.tall or (request.tall is None and (high or said)):
        found.add("tall")
    return frozenset(found)


def work_lines(part: Part, crew: int, paces: PaceTable) -> tuple[Line, ...]:
    """The lines of the work itself, at the request's skill and conditions."""
    both = any(kind in ORDERS for kind in part.amounts) and any(kind in METRES for kind in part.amounts)
    return tuple(_work_line(part, row, crew, paces, both=both) for row in part.rows)


def _work_line(part: Part, row: Pace, crew: int, paces: PaceTable, *, both: bool) -> Line:
    request, amount = part.request, part.amounts[row.kind]
    held = crew > 1 and _held(request, row)
    scaling = paces.scaling(request.task, request.skill, part.conditions)
    return Line(
        code=row.key,
        task=request.task,
        kind=row.kind,
        amount=amount.value,
        unit=row.unit,
        per=row.per,
        origin=amount.origin,
        on=amount.on,
        low_per=row.low_min,
        likely_per=row.likely_min,
        high_per=row.high_min,
        scales=True,
        crew=crew,
        together=held or row.elapsed or request.task == "HEAVY_BEND" or watched(request),
        held=held,
        side=("branches" if row.kind in ORDERS else "metres") if both and request.task in WIRING else "",
        label=row.label,
        source=row.source,
        logs=row.logs,
        **scaling,
    )


def _held(request: EstimateRequest, row: Pace) -> bool:
    if row.kind == "bends":
        return True
    if request.task in LIFTED_ITSELF:
        return needs_two_to_lift(request)
    thick = request.thickest_wire_mm is not None and request.thickest_wire_mm >= HELD_WIRE_MM
    return thick and request.task == "WIRE_STRUCT"


def sittings_needed(parts: Sequence[Part], likely_elapsed_min: float) -> int:
    """Spells of up to 195 working minutes, minutes of the clock; 1 for work that is never split."""
    if any(part.request.task in NEVER_SPLIT for part in parts):
        return 1
    return max(1, math.ceil(likely_elapsed_min / SITTING_MIN))


def own_set_ups(parts: Sequence[Part], sittings: int) -> SetUps:
    """The service's own set-up: bench, disinfect, clean down and record once a sitting.

    Work done where the tree stands has none of them; a bend adds its talk-through, a spray its
    batch, a repot its mix, a first styling one design study. Assumption.
    """
    tasks = {part.request.task for part in parts}
    benches = sittings if tasks - WALK_ROUND else 0
    first = any("first_styling" in part.conditions for part in parts)
    return SetUps(
        bench=benches,
        clean_down=benches,
        disinfect=benches,
        record=benches,
        briefing=1 if "HEAVY_BEND" in tasks else 0,
        spray_batch=1 if "SPRAY" in tasks else 0,
        mix=bool(tasks & {"REPOT", "UP_POT"}),
        design=first and bool(tasks & STYLING),
    )


def set_up_lines(parts: Sequence[Part], crew: int, sittings: int, paces: PaceTable) -> tuple[Line, ...]:
    """The set-up lines; neither skill nor conditions change them."""
    first = parts[0].request
    ups = own_set_ups(parts, sittings) if first.set_ups is None else first.set_ups
    everyone = (("bench", ups.bench), ("clean_down", ups.clean_down), ("briefing", ups.briefing))
    shared = (("disinfect", ups.disinfect), ("record", ups.record), ("spray_batch", ups.spray_batch))
    lines = [_set_up(key, n, first.task, crew, paces, together=True) for key, n in everyone if n]
    lines += [_set_up(key, n, first.task, crew, paces) for key, n in shared if n]
    for part in parts:
        lines += _extras(part, ups, crew, paces)
    if ups.design:
        study = paces.of("DESIGN")[0]
        lines.append(_line(study, study.key, study.unit, 1, first.task, crew))
    return tuple(lines)


def _extras(part: Part, ups: SetUps, crew: int, paces: PaceTable) -> list[Line]:
    lines, task = [], part.request.task
    if ups.mix and task in ("REPOT", "UP_POT"):
        mix = part.request.quantities.get("mix_litres", part.amounts["pot_litres"])
        lines.append(_set_up("mix", mix.value, task, crew, paces, per=10, origin=mix.origin))
    lifts = lifts_of(part.request)
    if crew > 1 and lifts and task not in LIFTED_ITSELF and needs_two_to_lift(part.request):
        lines.append(_set_up("lift", lifts, task, crew, paces, together=True, held=True))
    return lines


def _set_up(
    key: str,
    amount: float,
    task: str,
    crew: int,
    paces: PaceTable,
    *,
    per: float = 1,
    origin: str = "default",
    together: bool = False,
    held: bool = False,
) -> Line:
    row = paces.set_ups[key]
    plain = _line(row, f"SETUP/{key}", row.per, amount, task, crew)
    return replace(plain, per=per, origin=origin, together=together, held=held)


def _line(row: Pace | SetUpTime, code: str, unit: str, amount: float, task: str, crew: int) -> Line:
    return Line(
        code=code,
        task=task,
        kind=row.key,
        amount=amount,
        unit=unit,
        per=1,
        origin="default",
        on=None,
        low_per=row.low_min,
        likely_per=row.likely_min,
        high_per=row.high_min,
        skill="practised",
        conditions=frozenset(),
        multiplier=1,
        scales=False,
        crew=crew,
        together=False,
        held=False,
        side="",
        label=row.label,
        source=row.source,
    )
