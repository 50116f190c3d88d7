"""Sentences about wire on the rack."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

Values = Mapping[str, Any]

GEAR_SENTENCES: dict[str, Callable[[Values], str]] = {
    "stock_range": lambda v: _("Write grams from 0 to 100,000, like 450."),
}
