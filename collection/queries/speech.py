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


def month_day(text: str) -> str:
    """ "04-25" as people say it: "25 April"; what is no day stays as it was written."""
    try:
        found = date.fromisoformat(f"2028-{text}")
    except ValueError:
        return text
    return f"{found.day} {found:%B}"


def span_words(first: str, last: str) -> str:
    """ "1 to 15 June", or "20 December to 20 January"."""
    here = month_day(first).split(" ")[0] if first[:2] == last[:2] else month_day(first)
    return f"{here} to {month_day(last)}"


def weeks_later(weeks: int) -> str:
    """Whole weeks by which something comes later: "2 weeks later", "a week earlier", "no change"."""
    if not weeks:
        return _("no change")
    many = _("a week") if abs(weeks) == 1 else _("%(weeks)d weeks") % {"weeks": abs(weeks)}
    return (_("%(many)s later") if weeks > 0 else _("%(many)s earlier")) % {"many": many}
