"""Two small filters for finished values; everything else is worked out before a template sees it."""

from __future__ import annotations

import re

from django import template

register = template.Library()

NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:h|min|kg|mm|cm|cm2|m|l|weeks?|people|trees?)\b)")
NO_BREAK = "\N{NO-BREAK SPACE}"


@register.filter
def together(text: object) -> str:
    """The text with each number tied to its unit, so that no line ends between them."""
    return NUMBER_AND_UNIT.sub(NO_BREAK, str(text))


@register.filter
def unbroken(text: object) -> str:
    """The text with no place where a line may end: a date, a name, a tag."""
    return str(text).replace(" ", NO_BREAK)
