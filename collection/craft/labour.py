"""How long a job takes: quantities times paces, set-up, conditions and skill, every line kept.

``estimate`` is for one task, ``estimate_together`` for several on one tree in the same sittings.
The page opens the number with ``total``, which sums the same lines again.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from collection.craft.labour_crew import HELD_WIRE_MM, CrewNeed, crew_for, is_brittle
from collection.craft.labour_lines import Part, part_of, set_up_lines, sittings_needed, work_lines
from collection.craft.labour_notes import notes_for
from collection.craft.labour_reference import PaceTable, log_moments, reference_paces
from collection.craft.labour_types import Estimate, EstimateRequest, Line, Total
from collection.craft.reasons import Reason

__all__ = ["HELD_WIRE_MM", "estimate", "estimate_together", "is_brittle", "total"]

Z_RANGE = 1.2815515655446004  # tenth and ninetieth of a hundred
Z_CAUTIOUS = 0.84  # eighty of a hundred, one-sided
STINT_MIN = 90  # fine work without a pause, assumption
BRANCH_WEIGHT, METRE_WEIGHT = 2 / 3, 1 / 3  # assumption
GUESS_UNDER, MEASURED_FROM = 5, 20  # logs


def estimate(request: EstimateRequest, paces: PaceTable | None = None) -> Estimate:
    """How long one task on one tree takes.

    Args:
        request: The task and what is known; missing counts are filled in and marked "default".
        paces: The table in use; the service's own when None.

    Returns:
        Minutes of labour with range, crew, sittings and every line of the sum.

    Raises:
        ValueError: If the request contradicts itself, such as wire but no branches.

    Source: three-point means as in ``labour_reference.three_point``; the paces are assumptions.
    """
    return estimate_together((request,), paces)


def estimate_together(requests: Sequence[EstimateRequest], paces: PaceTable | None = None) -> Estimate:
    """How long several tasks on one tree take when they share their sittings and set-up.

    Args:
        requests: One per task, same tree, same skill; the first one's ``set_ups`` holds for all.
        paces: The table in use; the service's own when None.

    Raises:
        ValueError: If there is no request, or skills differ.
    """
    if not requests:
        raise ValueError("name at least one kind of work")
    if len({request.skill for request in requests}) != 1:
        raise ValueError("one person's skill for the whole sitting; estimate the tasks one by one instead")
    table = paces or reference_paces()
    parts = tuple(part_of(request, table) for request in requests)
    need = _crew(parts)
    work = tuple(line for part in parts for line in work_lines(part, need.people, table))
    sittings = sittings_needed(parts, total(work).elapsed_likely_min if work else 0)
    lines = work + set_up_lines(parts, need.people, sittings, table)
    return _finished(parts, lines, need, sittings, table)


def total(
    lines: Iterable[Line],
    skill: str | None = None,
    conditions: frozenset[str] | None = None,
    paces: PaceTable | None = None,
) -> Total:
    """The sum of the lines, from the lines alone.

    With ``skill`` and ``conditions`` the work lines are first put at that skill and under those
    conditions; without, they stand as they are. Wiring known from branches and from metres is
    averaged as log minutes, two parts branches to one part metres.

    Raises:
        ValueError: If the skill or a condition is unknown.

    Source: sum of independent lines, spread = root of the sum of squares (textbook result).
    """
    kept = tuple(lines)
    if skill is not None or conditions is not None:
        kept = tuple(_put_at(line, skill, conditions, paces or reference_paces()) for line in kept)
    plain = [line for line in kept if not line.side]
    groups = [_figures([line]) for line in plain]
    branches = metres = None
    for task in sorted({line.task for line in kept if line.side}):
        by_branch = _figures([line for line in kept if line.task == task and line.side == "branches"])
        by_metre = _figures([line for line in kept if line.task == task and line.side == "metres"])
        branches = (branches or 0) + by_branch["likely"]
        metres = (metres or 0) + by_metre["likely"]
        groups.append({name: _log_mean(by_branch[name], by_metre[name]) for name in by_branch})
    names = ("low", "likely", "high", "mean", "elapsed", "elapsed_likely", "held")
    low, likely, high, mean, elapsed, elapsed_likely, held = (sum(g[n] for g in groups) for n in names)
    sd = math.sqrt(sum(group["sd"] ** 2 for group in groups))
    return Total(low, likely, high, mean, sd, elapsed, elapsed_likely, held, branches, metres)


def _put_at(line: Line, skill: str | None, conditions: frozenset[str] | None, paces: PaceTable) -> Line:
    if not line.scales:
        return line
    return replace(
        line,
        **paces.scaling(
            line.task, skill or line.skill, line.conditions if conditions is None else conditions
        ),
    )


def _figures(lines: Sequence[Line]) -> dict[str, float]:
    elapsed = [line.mean_min / line.crew for line in lines]
    return {
        "low": sum(line.low_min for line in lines),
        "likely": sum(line.likely_min for line in lines),
        "high": sum(line.high_min for line in lines),
        "mean": sum(line.mean_min for line in lines),
        "sd": math.sqrt(sum(line.sd_min**2 for line in lines)),
        "elapsed": sum(elapsed),
        "elapsed_likely": sum(line.likely_min / line.crew for line in lines),
        "held": sum(minutes for line, minutes in zip(lines, elapsed, strict=True) if line.held),
    }


def _log_mean(by_branch: float, by_metre: float) -> float:
    if by_branch <= 0 or by_metre <= 0:  # only held minutes may be nought on one side: take the longer
        return max(by_branch, by_metre)
    return math.exp(BRANCH_WEIGHT * math.log(by_branch) + METRE_WEIGHT * math.log(by_metre))


def _crew(parts: Sequence[Part]) -> CrewNeed:
    needs = [crew_for(part.request, part.amounts, part.row_crew) for part in parts]
    reasons: dict[Reason, None] = {reason: None for need in needs for reason in need.reasons}
    return CrewNeed(max(need.people for need in needs), tuple(reasons))


def _finished(
    parts: Sequence[Part], lines: tuple[Line, ...], need: CrewNeed, sittings: int, paces: PaceTable
) -> Estimate:
    whole = total(lines)
    if whole.mean_min <= 0:
        log_mean, log_sd, spread = 0.0, 0.0, _nothing()
    else:
        log_mean, log_sd, spread = _spread(whole, paces.shared_log_sd)
    share = whole.elapsed_min / whole.mean_min if whole.mean_min > 0 else 0.0
    return Estimate(
        lines=lines,
        skill=parts[0].request.skill,
        conditions=frozenset().union(*(part.conditions for part in parts)),
        low_min=whole.low_min,
        likely_min=whole.likely_min,
        high_min=whole.high_min,
        mean_min=whole.mean_min,
        sd_min=whole.sd_min,
        log_mean=log_mean,
        log_sd=log_sd,
        range80_min=(spread["p10"], spread["p90"]),
        cautious_min=spread["cautious"],
        labour_min=whole.mean_min,
        elapsed_min=whole.elapsed_min,
        elapsed_cautious_min=spread["cautious"] * share,
        crew=need.people,
        crew_reasons=need.reasons,
        held_min=whole.held_min,
        sittings=sittings,
        stints=max(1, math.ceil(whole.elapsed_min / STINT_MIN)),
        trust=_trust(lines),
        notes=notes_for(parts, whole, sittings, paces),
        edition=paces.edition,
        shared_log_sd=paces.shared_log_sd,
        shared_label=paces.shared_label,
    )


def _spread(whole: Total, shared_log_sd: float) -> tuple[float, float, Mapping[str, float]]:
    _, own = log_moments(whole.mean_min, whole.sd_min)
    log_sd = math.hypot(own, shared_log_sd)
    log_mean = math.log(whole.mean_min) - log_sd**2 / 2  # keeps the mean where the sum puts it
    scores = {"p10": -Z_RANGE, "p90": Z_RANGE, "cautious": Z_CAUTIOUS}
    return log_mean, log_sd, {name: math.exp(log_mean + z * log_sd) for name, z in scores.items()}


def _nothing() -> Mapping[str, float]:
    return {"p10": 0.0, "p90": 0.0, "cautious": 0.0}


def _trust(lines: Sequence[Line]) -> str:
    work = [line for line in lines if line.scales]
    logs = min((line.logs for line in work), default=0)
    if logs < GUESS_UNDER or any(line.origin in ("default", "split") for line in work):
        return "guess"
    return "measured" if logs >= MEASURED_FROM else "estimate"
