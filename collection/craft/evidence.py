"""The pace table's own estimates beside what was published or reported on like work.

Each comparison says in words what ours was worked out for. Where a report leaves the amount open, ours is an
assumption and says so. The figures of others stand in ``fixtures/reference/evidence.csv``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache

from collection.craft.labour import estimate, estimate_together
from collection.craft.labour_capacity import practised_hours, season_hours_without_counts
from collection.craft.labour_reference import read
from collection.craft.labour_types import NO_SET_UP, Estimate, EstimateRequest, SetUps
from collection.craft.quantities import Amount, default_quantities
from collection.craft.reference import groups

MIN_AN_HOUR, S_A_MIN, HOURS_A_DAY = 60.0, 60.0, 8.0
ONE_SITTING = SetUps(bench=1, clean_down=1)
VERDICTS = ("below", "overlaps", "inside", "above")


@dataclass(frozen=True, slots=True)
class Reported:
    """A figure of others; ``why_not`` says why no estimate of ours corresponds to it, else it is empty."""

    key: str
    what: str
    low: float | None
    high: float | None
    unit: str
    label: str
    source: str
    use: str
    why_not: str


@dataclass(frozen=True, slots=True)
class Ours:
    """Our figure for the like work, in the unit of the report.

    Attributes:
        words: What it was worked out for.
        of: The estimate it came from; None for a figure that is no time.
        reported: What is compared, where that is only a part of what was reported.
    """

    low: float
    likely: float
    high: float
    words: str
    of: Estimate | None = None
    reported: float | None = None


def verdict(low: float, high: float, ours: Ours) -> str:
    """Where a reported range lies: "below", "inside" or "above" ours, or "overlaps" one end of it."""
    if high < ours.low:
        return "below"
    if low > ours.high:
        return "above"
    return "inside" if ours.low <= low and high <= ours.high else "overlaps"


@cache
def reported() -> tuple[Reported, ...]:
    """Every published or reported figure, in the order of the table."""
    return tuple(
        Reported(
            row["key"],
            row["reported"],
            float(row["low"]) if row["low"] else None,
            float(row["high"] or row["low"]) if row["low"] else None,
            row["unit"],
            row["label"],
            row["source"],
            row["use"],
            row["why_not"],
        )
        for row in read("evidence")
    )


def _ask(
    task: str, set_ups: SetUps = NO_SET_UP, skill: str = "practised", **counts: float
) -> EstimateRequest:
    known = {kind: Amount(value, "typed") for kind, value in counts.items()}
    return EstimateRequest(task, known, set_ups=set_ups, skill=skill)


def _times(found: Estimate, words: str, per: float, part: float | None = None) -> Ours:
    low, likely, high = (minutes / per for minutes in (found.low_min, found.likely_min, found.high_min))
    return Ours(low, likely, high, words, found, part)


def _year_of_pine(sites: float) -> Estimate:
    return estimate_together(
        (
            _ask("DECANDLE", cut_sites=sites),
            _ask("NEEDLE_PLUCK", shoots=sites),
            _ask("BUD_SELECT", cut_sites=sites),
            _ask("NEEDLE_PLUCK", shoots=1.8 * sites),
        )
    )


def _full_wiring() -> Estimate:
    return estimate_together((_ask("WIRE_STRUCT", primary=8), _ask("WIRE_DETAIL", secondary=30, fine=100)))


def _bend() -> Ours:
    found = estimate(
        _ask("HEAVY_BEND", SetUps(bench=1, clean_down=1, briefing=1), bend_mm=25, wrap_cm=30, guys=0)
    )
    words = "one bend of 25 mm with 30 cm of raffia, two people, on the clock; the wiring taken off"
    clock = MIN_AN_HOUR * found.crew
    return _times(found, words, clock, part=4 - 2.5)


def _skills(over: str, under: str) -> Ours:
    rows = {row["level"]: row for row in read("multipliers") if row["factor"] == "skill"}
    sums = {level: estimate(_ask("TRIM", skill=level, cut_sites=100)).mean_min for level in (over, under)}

    def ends(level: str) -> tuple[float, float]:
        row = rows[level]
        return float(row["low"] or row["times"]), float(row["high"] or row["times"])

    (slow, slowest), (fast, slower) = ends(over), ends(under)
    return Ours(slow / slower, sums[over] / sums[under], slowest / fast, f"the level {over} against {under}")


def _set_up_share() -> Ours:
    found = estimate(_ask("WIRE_DETAIL", SetUps(bench=1, clean_down=1, disinfect=1, record=1), fine=95))
    work = sum(line.likely_min for line in found.lines if line.scales)
    extra = [line for line in found.lines if not line.scales]
    low, likely, high = (
        100 * sum(getattr(line, name) for line in extra) / work
        for name in ("low_min", "likely_min", "high_min")
    )
    return Ours(
        low, likely, high, "setting up, cleaning and writing up for one sitting of fine wiring", found
    )


def _without_counts() -> Ours:
    hours = [season_hours_without_counts(group, "F").hours for group in groups()]
    words = "a refining tree of 45 to 75 cm that nobody has counted, work on the tree only, all groups"
    return Ours(min(hours), sum(hours) / len(hours), max(hours), words)


def _crew(words: str, request: EstimateRequest) -> Ours:
    found = estimate(request)
    return Ours(found.crew, found.crew, found.crew, words)


def _cuts() -> Ours:
    cuts = default_quantities("PRUNE_STRUCT", None, "F", known={"primary": Amount(1)})["cuts_medium"].value
    return Ours(cuts, cuts, cuts, "cuts on a main branch that nobody has counted")


def _share() -> Ours:
    hours = practised_hours(HOURS_A_DAY, 1, "practised")
    return Ours(hours, hours, hours, "productive hours in 8 h offered, setting up included")


def _first_work() -> Estimate:
    return estimate_together(
        (
            _ask("PRUNE_STRUCT", ONE_SITTING, cuts_medium=16),
            _ask("WIRE_STRUCT", ONE_SITTING, primary=8),
            _ask("REPOT", ONE_SITTING, pot_litres=3, mass_kg=5),
        )
    )


FULL = "8 main, 30 side and 100 fine branches, no set-up"
CUTS = "16 cuts of 5 to 15 mm, the usual number of a tree nobody has counted"
EIGHT = "8 cuts of 5 to 15 mm: four branches, two cuts on each"
LIKE: Mapping[str, Callable[[], Ours]] = {
    "V1": lambda: _times(_year_of_pine(200), "200 cut sites, summer and autumn, no set-up", MIN_AN_HOUR),
    "V2": lambda: _times(
        estimate(_ask("NEEDLE_PLUCK", shoots=900)),
        "900 shoots, assumed; one sitting may not end it",
        MIN_AN_HOUR,
    ),
    "V3": lambda: _times(_full_wiring(), FULL, MIN_AN_HOUR),
    "V4": _bend,
    "V5": lambda: _times(estimate(_ask("WIRE_STRUCT", primary=3)), "3 main branches, no set-up", 1),
    "V6": lambda: _times(estimate(_ask("PRUNE_STRUCT", cuts_medium=8)), EIGHT, 1),
    "V9": lambda: _skills("novice", "expert"),
    "V11": _cuts,
    "NV-05": lambda: _times(estimate(_ask("PRUNE_STRUCT", cuts_medium=16)), CUTS, 1),
    "NV-05b": lambda: _times(estimate(_ask("FEED_START", trees=1)), "feeding one tree in a pot", 1),
    "NV-06": lambda: _times(
        estimate(_ask("PRUNE_STRUCT", cuts_large=1)),
        "one cut over 15 mm with carving; a forest cut is not dressed",
        1 / S_A_MIN,
    ),
    "NV-08": _set_up_share,
    "NV-12": lambda: _times(
        estimate(_ask("DECANDLE", cut_sites=700)), "500 and 200 cut sites, assumed, no set-up", MIN_AN_HOUR
    ),
    "NV-13": lambda: _times(
        _year_of_pine(500), "500 cut sites, assumed, in days of 8 h", MIN_AN_HOUR * HOURS_A_DAY
    ),
    "NV-14": lambda: _times(_year_of_pine(60), "60 cut sites, assumed, a whole year", MIN_AN_HOUR),
    "NV-15": lambda: _skills("novice", "practised"),
    "NV-18": _share,
    "NV-20": lambda: _times(
        estimate(_ask("GRAFT", scions=1)), "one scion on a tree; a seedling is a ceiling", 1 / S_A_MIN
    ),
    "NV-31": _without_counts,
    "NV-35": lambda: _times(_full_wiring(), FULL, MIN_AN_HOUR),
    "NV-36": lambda: _times(estimate(_ask("WIRE_OFF", primary=8, secondary=30, fine=100)), FULL, MIN_AN_HOUR),
    "NV-37": lambda: _times(
        estimate(_ask("REPOT", ONE_SITTING, pot_litres=10, mass_kg=12)),
        "a pot of 10 litres, set up and cleaned down",
        MIN_AN_HOUR,
    ),
    "NV-39": lambda: _crew("a pot of 20 litres, 25 kg", _ask("REPOT", pot_litres=20, mass_kg=25)),
    "NV-40": lambda: _crew("a bend of 60 mm", _ask("HEAVY_BEND", bend_mm=60)),
    "NV-42": lambda: _times(
        _first_work(), "16 cuts, 8 main branches wired, a pot of 3 litres, assumed", MIN_AN_HOUR
    ),
    "NV-43": lambda: _times(
        estimate(_ask("NEEDLE_PLUCK", shoots=2160)),
        "2160 shoots, assumed: the most of the tallest show tree",
        MIN_AN_HOUR,
    ),
}
