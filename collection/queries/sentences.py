"""The one place where reasons become sentences.

Page, mail, print, command and API all call ``say``. Each code has one function that takes the
reason's values and returns a finished sentence, translatable, at most twenty words.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from collection.craft.reasons import Reason

Values = Mapping[str, Any]
Sentence = Callable[[Values], str]


def day(value: date) -> str:
    """A day as people say it: "Saturday 28 November 2026"."""
    return f"{value:%A} {value.day} {value:%B} {value.year}"


def clock(minutes: int) -> str:
    """Minutes since midnight as a 24-hour time: 570 is "9:30"."""
    return f"{minutes // 60}:{minutes % 60:02d}"


def listed(names: list[str] | tuple[str, ...]) -> str:
    """Names joined as in speech: "Ana, Ben and Cleo"."""
    if not names:
        return _("nobody")
    if len(names) == 1:
        return str(names[0])
    return _("%(first)s and %(last)s") % {"first": ", ".join(names[:-1]), "last": names[-1]}


def say(reason: Reason) -> str:
    """The sentence for a reason.

    Raises:
        KeyError: If the code has no sentence; a test finds such codes before a reader does.
    """
    return SENTENCES[reason.code](reason.values)


SENTENCES: dict[str, Sentence] = {}

# --- season and rules -------------------------------------------------------------------------

# --- labour -----------------------------------------------------------------------------------

# --- workday ----------------------------------------------------------------------------------

# --- import -----------------------------------------------------------------------------------
