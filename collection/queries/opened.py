"""A number that opens: the figure, the lines it came from, and the rule that joins them.

``rule`` says how the lines make the value, so that anybody (a test does it for 200 numbers) can work
the value out again from the lines alone:

* ``sum``: the lines added up;
* ``difference``: the first line less the others, never below 0;
* ``weighted``: each line's value to the power of its weight, multiplied (minutes known two ways);
* ``logistic``: counted, limit, factor, years -> what the count comes to on its curve towards the limit;
* ``steps``: each line has a rule of its own and may use those before it; the last one is the value;
* ``p80``: mean, own spread, shared spread -> the 80 % point of a log-normal, never below the mean.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from collection.craft.growth import sites_after

RULES = ("sum", "difference", "weighted", "logistic", "steps", "p80")
CAUTIOUS_Z = 0.84


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a sum; ``value`` is exact, ``figure`` what people read."""

    label: str
    figure: str
    value: float
    trust: str = ""
    weight: float = 1.0

    @property
    def exact(self) -> str:
        """The value to its last digit."""
        return repr(float(self.value))


@dataclass(frozen=True, slots=True)
class Opened:
    """A number with everything behind it.

    Attributes:
        text: What people read, such as "3.1 h".
        value: The exact figure.
        total: The last line of the sum in words, such as "183 min = 3.1 h".
        address: Kind and key of the number's own page, such as ("job", "12").
    """

    text: str
    value: float
    rule: str
    lines: tuple[Line, ...]
    total: str
    total_label: str = ""
    notes: tuple[str, ...] = ()
    address: tuple[str, str] | None = None

    def __post_init__(self) -> None:
        if self.rule not in RULES:
            raise ValueError(f"no such rule: {self.rule}")


def joined(rule: str, values: Sequence[float], weights: Sequence[float]) -> float:
    """The value that the lines make under a rule.

    Raises:
        ValueError: If there is no such rule.
    """
    if rule == "sum":
        return sum(values)
    if rule == "difference":
        return max(0.0, values[0] - sum(values[1:]))
    if rule == "weighted":
        return math.exp(sum(w * math.log(v) for v, w in zip(values, weights, strict=True)))
    if rule == "logistic":
        start, limit, times, years = values
        return sites_after(start, years, limit, times)
    if rule == "steps":
        return values[-1]
    if rule == "p80":
        mean, own, shared = values
        if mean < 1e-9:
            return 0.0
        log_sd = math.sqrt(math.log1p((own**2 + shared**2) / mean**2))
        return max(mean, mean * math.exp(CAUTIOUS_Z * log_sd - log_sd**2 / 2))
    raise ValueError(f"no such rule: {rule}")


def hours(value: float) -> str:
    """Hours with one decimal: "3.1 h"."""
    return f"{value:.1f} h"


def minutes(value: float) -> str:
    """Minutes, whole, or with one decimal below ten: "64 min"."""
    return f"{value:.0f} min" if value >= 10 else f"{value:.1f} min"
