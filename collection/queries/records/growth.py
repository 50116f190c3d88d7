"""How a tree's cut sites, shoots and hours grow."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from collection.queries.access import Actor
from collection.queries.growth import tree_growth


@dataclass(frozen=True, slots=True)
class GrowthYearRecord:
    """One year; each figure opens under ``numbers``: growth-sites/12~2027, growth-hours/12~2027 ..."""

    year: int
    cut_sites: float
    shoots: float
    hours: float


@dataclass(frozen=True, slots=True)
class CountAgainRecord:
    """A later count beside what the first one foretold for its day."""

    on: date
    counted: float
    foretold: float


@dataclass(frozen=True, slots=True)
class GrowthRecord:
    """A tree's growth; ``by_cut_sites`` is false where its work does not go by cut sites."""

    tree_id: int
    by_cut_sites: bool
    limit_sites: float | None
    limit_stage: str
    limit_from_cm: float | None
    limit_to_cm: float | None
    tasks: tuple[str, ...]
    years: tuple[GrowthYearRecord, ...]
    counts: tuple[CountAgainRecord, ...]


def growth_record(actor: Actor, tree_id: int) -> GrowthRecord:
    """The growth of one tree.

    Raises:
        Refused: ``not_found``.
    """
    found = tree_growth(actor, tree_id)
    if found is None:
        return GrowthRecord(tree_id, False, None, "", None, None, (), (), ())
    return GrowthRecord(
        tree_id=tree_id,
        by_cut_sites=True,
        limit_sites=found.limit.sites,
        limit_stage=found.limit.stage,
        limit_from_cm=found.limit.from_cm,
        limit_to_cm=found.limit.to_cm,
        tasks=found.tasks,
        years=tuple(
            GrowthYearRecord(row.year, row.sites.value, row.shoots.value, row.hours.value)
            for row in found.years
        ),
        counts=tuple(CountAgainRecord(row.on, row.counted, row.foretold) for row in found.again),
    )
