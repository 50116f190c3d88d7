"""Days, times and lists of names as people say them; every module of sentences uses these."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext as _


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
