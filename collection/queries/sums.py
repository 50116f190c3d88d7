"""A sum of the craft as a number that opens: each line with its rule, what went in, and its source."""

from __future__ import annotations

from collections.abc import Sequence

from collection.craft.figures import Step
from collection.queries.opened import Line, Opened
from collection.queries.sum_words import GIVEN_WORDS, RULE_WORDS


def opened_steps(
    text: str,
    steps: Sequence[Step],
    *,
    label: str = "",
    notes: Sequence[str] = (),
    address: tuple[str, str] | None = None,
) -> Opened:
    """A figure with every line of its sum; the last line is the figure.

    Raises:
        ValueError: If there is no line.
    """
    if not steps:
        raise ValueError("a sum has a line at least")
    last = steps[-1]
    return Opened(
        text,
        last.value,
        "steps",
        tuple(step_line(step) for step in steps),
        text,
        label or str(RULE_WORDS[last.rule]),
        tuple(notes),
        address,
    )


def step_line(step: Step) -> Line:
    """One line in words: what it is, the figure, the rule with what went into it, and how far to trust it."""
    given = ", ".join(f"{GIVEN_WORDS[name]} {_plain(value)}" for name, value in step.given)
    rule = f"{step.formula.formula}, with {given}." if given else f"{step.formula.formula}."
    return Line(
        str(RULE_WORDS[step.rule]),
        f"{_plain(step.value)} {step.unit}".strip(),
        step.value,
        f"{rule} {step.label.capitalize()}: {step.source}",
    )


def _plain(value: float | str) -> str:
    """Four figures are read; more say nothing about wood or wire."""
    return value if isinstance(value, str) else f"{value:,.4g}"
