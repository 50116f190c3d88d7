"""The work of a year that grows with a tree's cut sites, worked out by the labour core."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from collection.craft.labour import estimate
from collection.craft.labour_reference import PaceTable
from collection.craft.labour_types import NO_SET_UP, EstimateRequest
from collection.craft.monthday import YEAR_DAYS
from collection.craft.quantities import Amount
from collection.craft.season import ProgrammeRow

# Tasks whose quantities follow from the cut sites (``count_defaults.csv``); the first are counted in them.
BY_SITES = ("DECANDLE", "BUD_SELECT", "TRIM")
AFTER_SITES = ("NEEDLE_PLUCK", "CANDLE_BREAK", "CANDLE_PINCH")
# Minutes go straight up with the count, so that any number of sites will do to find the minutes of one.
SAMPLE = 100.0


@dataclass(frozen=True, slots=True)
class SiteWork:
    """One kind of work that the programme asks for every year.

    Attributes:
        times: How often in a year.
        minutes_per_site: Minutes of labour for one cut site each time, mean of the pace, set-up left out.
        label, source: Of the pace.
    """

    row: str
    task: str
    times: int
    minutes_per_site: float
    label: str
    source: str

    @property
    def yearly_min(self) -> float:
        """Minutes of labour a year for one cut site."""
        return self.times * self.minutes_per_site


def site_work(
    rows: Iterable[ProgrammeRow],
    group: str,
    stage: str,
    *,
    height_cm: float | None = None,
    paces: PaceTable | None = None,
) -> tuple[SiteWork, ...]:
    """What the programme asks of such a tree each year that goes by its cut sites.

    Args:
        rows: The club's programme.
        height_cm: Height above the pot, cm; a tall tree takes longer.
        paces: The club's table; the service's own when None.

    Returns:
        Nothing for a group whose work does not go by cut sites.

    Raises:
        ValueError: If group, stage or height is none.
    """
    asked = [
        row
        for row in rows
        if row.group == group and stage in row.stages and row.task in (*BY_SITES, *AFTER_SITES)
    ]
    if not any(row.task in BY_SITES for row in asked):
        return ()
    return tuple(_work(row, group, stage, height_cm, paces) for row in asked)


def times_a_year(row: ProgrammeRow) -> int:
    """How often a yearly row, or one repeated through its window, is done in a year.

    Raises:
        ValueError: If the row is neither.
    """
    if row.every.kind == "yearly":
        return 1
    if row.every.kind != "days":
        raise ValueError(f"{row.key} is not done every year")
    length = (row.closes.number - row.opens.number) % YEAR_DAYS
    return int(length // round(row.every.middle)) + 1


def _work(
    row: ProgrammeRow, group: str, stage: str, height_cm: float | None, paces: PaceTable | None
) -> SiteWork:
    found = estimate(
        EstimateRequest(
            row.task,
            {"cut_sites": Amount(SAMPLE)},
            group=group,
            stage=stage,
            height_cm=height_cm,
            conditions=frozenset({"show_tree"} if stage == "S" else ()),
            set_ups=NO_SET_UP,
            # The window at decandling: shoots are one to a cut site (see ``queries.quantities``).
            summer=row.task == "NEEDLE_PLUCK" and row.key.endswith("-0601"),
        ),
        paces,
    )
    pace = found.lines[0]
    return SiteWork(row.key, row.task, times_a_year(row), found.mean_min / SAMPLE, pace.label, pace.source)
