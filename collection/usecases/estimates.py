"""Working out how long jobs take, and keeping every line of the sum."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict
from datetime import date
from typing import Any

from django.utils import timezone

from collection.craft.labour import estimate
from collection.craft.labour_reference import PaceTable
from collection.craft.labour_types import Estimate as Sum
from collection.craft.labour_types import EstimateRequest
from collection.models import Estimate, Job, Tree
from collection.queries.programme import paces_of
from collection.queries.quantities import amounts_of, request_of, thickest_branches

BATCH = 500


def refresh_tree(tree: Tree) -> int:
    """Work the open jobs of a tree out again after something about it changed."""
    jobs = Job.objects.filter(tree=tree, state=Job.State.OPEN).values_list("pk", flat=True)
    return refresh_jobs(list(jobs))


def refresh_jobs(job_ids: Sequence[int], *, today: date | None = None) -> int:
    """Write a new estimate for each job whose sum changed; returns how many did."""
    day = today or timezone.now().date()
    written = 0
    for start in range(0, len(job_ids), BATCH):
        part = job_ids[start : start + BATCH]
        rows = Job.objects.filter(pk__in=part).select_related("tree", "round", "bend", "estimate")
        jobs = list(rows.prefetch_related("round__lines"))
        written += _refresh(jobs, day)
    return written


def _refresh(jobs: Sequence[Job], day: date) -> int:
    amounts = amounts_of([job.tree_id for job in jobs if job.tree_id], day)
    thickest = thickest_branches([job.tree_id for job in jobs if job.tree_id])
    missed = _seasons_missed(jobs)
    tables: dict[int, PaceTable] = {}
    fresh = []
    for job in jobs:
        if job.club_id not in tables:
            tables[job.club_id] = paces_of(job.club_id)
        request = request_of(
            job,
            amounts.get(job.tree_id or 0, {}),
            neglected=missed.get(job.pk, 0),
            thickest_mm=thickest.get(job.tree_id or 0),
        )
        row = estimate_row(job, request, estimate(request, tables[job.club_id]))
        if job.estimate is None or _differs(job.estimate, row):
            fresh.append((job, row))
    Estimate.objects.bulk_create([row for _, row in fresh])
    for job, row in fresh:
        job.estimate, job.crew = row, max(row.crew, job.bend.crew if job.bend else 1)
    Job.objects.bulk_update([job for job, _ in fresh], ["estimate", "crew"], batch_size=200)
    return len(fresh)


def _differs(old: Estimate, new: Estimate) -> bool:
    return bool(old.inputs != new.inputs or old.lines != new.lines)


def _seasons_missed(jobs: Iterable[Job]) -> dict[int, int]:
    """How many seasons running the same task was missed on the same tree, 0 to 2."""
    trees = {job.tree_id for job in jobs if job.tree_id}
    rows = Job.objects.filter(tree_id__in=trees, state=Job.State.MISSED)
    missed = set(rows.values_list("tree_id", "task", "season_year"))
    found = {}
    for job in jobs:
        years = 0
        while years < 2 and (job.tree_id, job.task, job.season_year - years - 1) in missed:
            years += 1
        found[job.pk] = years
    return found


def estimate_row(job: Job, request: EstimateRequest, found: Sum) -> Estimate:
    """The sum as a row, not yet saved."""
    return Estimate(
        club_id=job.club_id,
        job=job,
        inputs=plain(asdict(request)),
        lines=[plain(asdict(line)) for line in found.lines],
        low_min=found.low_min,
        likely_min=found.likely_min,
        high_min=found.high_min,
        mean_min=found.mean_min,
        sd_min=found.sd_min,
        log_sd=found.log_sd,
        shared_log_sd=found.shared_log_sd,
        p10_min=found.range80_min[0],
        p90_min=found.range80_min[1],
        cautious_min=found.cautious_min,
        elapsed_min=found.elapsed_min,
        elapsed_cautious_min=found.elapsed_cautious_min,
        held_min=found.held_min,
        crew=min(found.crew, 4),
        crew_reasons=[reason.as_json() for reason in found.crew_reasons],
        sittings=found.sittings,
        notes=[reason.as_json() for reason in found.notes],
        edition=found.edition,
        trust=found.trust,
    )


def plain(value: Any) -> Any:
    """Values of the core as JSON: dates as ISO text, sets sorted."""
    if isinstance(value, dict):
        return {str(name): plain(part) for name, part in value.items()}
    if isinstance(value, (set, frozenset)):
        return sorted(plain(part) for part in value)
    if isinstance(value, (list, tuple)):
        return [plain(part) for part in value]
    return value.isoformat() if isinstance(value, date) else value
