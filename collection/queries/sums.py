"""A sum of the craft as a number that opens: each line with its rule, what went in, and its source."""

from __future__ import annotations

import re
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
    given = ", ".join(_given(name, value) for name, value in step.given)
    rule = f"{_in_words(step)}, with {given}." if given else f"{_in_words(step)}."
    return Line(
        str(RULE_WORDS[step.rule]),
        f"{_plain(step.value)} {step.unit}".strip(),
        step.value,
        f"{rule} {step.label.capitalize()}: {step.source}",
    )


def _in_words(step: Step) -> str:
    """The formula with the names of what goes in as people read them, and signs as they write them."""
    names = sorted((name for name, _ in step.given), key=len, reverse=True)
    text = step.formula.formula
    for name in names:
        text = re.sub(rf"\b{name}\b", _name(name)[0], text)
    for sign, written in ((" ** ", " ^ "), (" * ", " x "), ("**", "^"), (">=", "at least")):
        text = text.replace(sign, written)
    return text


def _name(name: str) -> tuple[str, str]:
    """What an input is called, and its unit."""
    words, _, unit = str(GIVEN_WORDS[name]).rpartition(", ")
    return (words, unit) if words else (unit, "")


def _given(name: str, value: float | str) -> str:
    words, unit = _name(name)
    return f"{words} {_plain(value)} {unit}".strip()


def _plain(value: float | str) -> str:
    """Four figures are read; more say nothing about wood or wire."""
    return value if isinstance(value, str) else f"{value:,.4g}"
