"""A figure with its sum: each line says the rule, what went in, and how far to trust it.

The rules are rows of ``fixtures/reference/formulas.csv``. A page opens a figure by showing its lines.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from collection.craft.reasons import Reason
from collection.craft.reference import table

LABELS = ("published", "published, second hand", "common practice", "assumption", "from memory", "measured")


class OutOfRange(ValueError):
    """A rule was asked for something it does not hold for.

    Attributes:
        reason: Code and values; ``collection.queries.sentences`` makes words of it.
    """

    def __init__(self, code: str, **values: float | str) -> None:
        reason = Reason.of(code, **values)
        super().__init__(f"{code}: {reason.values}")
        self.reason = reason


@dataclass(frozen=True, slots=True)
class Formula:
    """One rule: the formula in the names of its inputs, a label of ``LABELS``, and the source."""

    code: str
    formula: str
    unit: str
    label: str
    source: str

    def __post_init__(self) -> None:
        if self.label not in LABELS:
            raise ValueError(f"formula {self.code}: no label called {self.label!r}")


@dataclass(frozen=True, slots=True)
class Step:
    """One line of a sum.

    Attributes:
        rule: Code of the formula.
        value: What came out, in the formula's unit.
        given: What went in, by name, in the order of the formula; units are in the names.
        label, source: How far to trust the line: those of the formula, or of the row that was looked up.
    """

    rule: str
    value: float
    given: tuple[tuple[str, float | str], ...]
    label: str
    source: str

    @property
    def formula(self) -> Formula:
        """The rule in full."""
        return formulas()[self.rule]

    @property
    def unit(self) -> str:
        """Unit of the value; "" for a plain number."""
        return self.formula.unit


@cache
def formulas() -> Mapping[str, Formula]:
    """Every rule by its code."""
    return {row["code"]: Formula(**row) for row in table("formulas")}


def step(rule: str, value: float, /, **given: float | str) -> Step:
    """A line of a sum with the formula's own label and source.

    Raises:
        ValueError: If the rule is not known or the value is not a finite number.
    """
    found = formulas().get(rule)
    if found is None:
        raise ValueError(f"no rule called {rule!r}")
    return looked_up(rule, value, found.label, found.source, **given)


def looked_up(rule: str, value: float, label: str, source: str, /, **given: float | str) -> Step:
    """A line of a sum whose figure stands in a table, with that row's label and source.

    Raises:
        ValueError: If the rule or the label is not known or the value is not a finite number.
    """
    if rule not in formulas() or label not in LABELS:
        raise ValueError(f"no rule called {rule!r}, or no label called {label!r}")
    if not math.isfinite(value):
        raise ValueError(f"rule {rule}: {value} is not a finite number")
    return Step(rule, value, tuple(given.items()), label, source)


def positive(code: str, **sizes: float) -> None:
    """Refuse sizes that are not above zero or not finite.

    Raises:
        OutOfRange: With ``code``, the name of the first bad size and what was given.
    """
    for name, size in sizes.items():
        if not 0 < size < math.inf:
            raise OutOfRange(code, field=name, given=size)


def within(code: str, low: float, high: float, **sizes: float) -> None:
    """Refuse sizes outside a closed range.

    Raises:
        OutOfRange: With ``code``, the name of the first bad size, what was given, and the range.
    """
    for name, size in sizes.items():
        if not low <= size <= high:
            raise OutOfRange(code, field=name, given=size, low=low, high=high)
