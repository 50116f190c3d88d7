"""What others published or reported beside our own estimates, finished for a page."""

from __future__ import annotations

from dataclasses import dataclass

from collection.craft.evidence import LIKE, Ours, Reported, reported, verdict
from collection.queries.estimates import opened
from collection.queries.opened import Opened

VERDICT_WORDS = {
    "below": "Below ours",
    "inside": "Inside ours",
    "above": "Above ours",
    "overlaps": "Partly inside ours",
}
TRUST_WORDS = {
    "published": "published",
    "report": "one report, no study",
    "second hand": "second hand, original not seen",
}


@dataclass(frozen=True, slots=True)
class Beside:
    """A figure of others beside ours; ``number`` is our estimate, opened, where it is a time."""

    key: str
    what: str
    figure: str
    words: str
    range: str
    number: Opened | None
    verdict: str
    trust: str
    source: str


@dataclass(frozen=True, slots=True)
class Alone:
    """A figure that no estimate of ours corresponds to, with the reason."""

    key: str
    what: str
    figure: str
    why: str
    trust: str
    source: str


def evidence() -> tuple[tuple[Beside, ...], tuple[Alone, ...]]:
    """Every figure with its comparison, worked out now by the labour core, and those without one."""
    rows = reported()
    return (
        tuple(_beside(row, LIKE[row.key]()) for row in rows if not row.why_not),
        tuple(
            Alone(row.key, _sentence(row.what), _figure(row), row.why_not, TRUST_WORDS[row.label], row.source)
            for row in rows
            if row.why_not
        ),
    )


def _beside(row: Reported, ours: Ours) -> Beside:
    low, high = row.low or 0.0, row.high or 0.0
    if ours.reported is not None:
        low = high = ours.reported
    return Beside(
        row.key,
        _sentence(row.what),
        _figure(row),
        ours.words,
        _span(ours.low, ours.high, row.unit),
        opened(ours.of) if ours.of else None,
        VERDICT_WORDS[verdict(low, high, ours)],
        TRUST_WORDS[row.label],
        row.source,
    )


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:]


def _figure(row: Reported) -> str:
    if row.low is None or row.high is None:
        return "no figure"
    return _span(row.low, row.high, row.unit)


def _span(low: float, high: float, unit: str) -> str:
    if _short(low) == _short(high):
        return f"{_short(low)} {unit}"
    return f"{_short(low)} to {_short(high)} {unit}"


def _short(value: float) -> str:
    return f"{value:.4g}" if value >= 100 else f"{value:.3g}"
