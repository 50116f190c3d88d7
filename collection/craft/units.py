"""Inches and pounds into metric, once, before anything is worked out; the limits are metric ones.

Rounded to a billionth, so that 25 inches are 63.5 cm and not a hair more.
"""

from __future__ import annotations


def cm_from_inches(inches: float) -> float:
    """Centimetres; an inch is 2.54 cm exactly."""
    return round(inches * 2.54, 9)


def mm_from_inches(inches: float) -> float:
    """Millimetres; an inch is 25.4 mm exactly."""
    return round(inches * 25.4, 9)


def kg_from_pounds(pounds: float) -> float:
    """Kilograms; a pound is 0.45359237 kg exactly."""
    return round(pounds * 0.45359237, 9)
