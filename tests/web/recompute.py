"""A number from its opened lines alone, sharing no code with what showed it."""

from __future__ import annotations

import math


def recompute(rule: str, lines: list[tuple[float, float]]) -> float:
    """The value that (value, weight) lines make under the rule named beside the total."""
    values = [value for value, _ in lines]
    if rule == "sum":
        return math.fsum(values)
    if rule == "difference":
        return max(0.0, values[0] - math.fsum(values[1:]))
    if rule == "weighted":
        return math.prod(value**weight for value, weight in lines)
    if rule == "logistic":
        start, limit, times, years = values
        grown = start * times**years
        return limit * grown / (limit - start + grown)
    if rule == "steps":  # each step's formula is worked out in tests/craft/test_sums.py
        return values[-1]
    if rule == "p80":
        mean, own, shared = values
        if mean < 1e-9:
            return 0.0
        spread = math.log(1 + (own * own + shared * shared) / (mean * mean))
        return max(mean, mean * math.exp(0.84 * math.sqrt(spread) - spread / 2))
    raise AssertionError(f"no such rule: {rule}")
