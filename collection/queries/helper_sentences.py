"""Sentences about leads and helpers at a large bend: hard stops, terms, and what each point is for.

The sentences on lifting and on power tools go to coordinators and to the lead only; everybody else
reads ``helper_not_free``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from collection.queries.speech import clock, day

Values = Mapping[str, Any]


def _timed(values: Values) -> dict[str, Any]:
    """The reason's values with days and times in words."""
    words = dict(values)
    for name, value in values.items():
        if name == "on":
            words[name] = day(value)
        elif name.endswith("_clock_min"):
            words[name] = clock(value)
        elif name == "minutes" or name.endswith("_min"):
            words[name] = _length(value)
    return words


def _length(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    if not hours:
        return _("%(min)d min") % {"min": rest}
    return _("%(hours)d h %(min)02d") % {"hours": hours, "min": rest} if rest else _("%(h)d h") % {"h": hours}


def _group(v: Values) -> str:
    if not v["bends"]:
        return _("No bend yet on a tree of this kind")
    return ngettext(
        "Held %(bends)d bend on a tree of this kind", "Held %(bends)d bends on trees of this kind", v["bends"]
    ) % dict(v)


def _any(v: Values) -> str:
    if not v["bends"]:
        return _("No bend on record yet")
    return ngettext("%(bends)d bend on record in all", "%(bends)d bends on record in all", v["bends"]) % dict(
        v
    )


def _share(v: Values) -> str:
    text = (
        _("Gave %(hours).1f h in a year, below the average of %(average).1f h")
        if v["hours"] < v["average"]
        else _("Gave %(hours).1f h in a year, no less than the average of %(average).1f h")
    )
    return text % dict(v)


HELPER_SENTENCES: dict[str, Callable[[Values], str]] = {
    "bend_holds_too_long": lambda v: (
        _("All must hold for %(minutes)s. Nobody holds above %(limit_min)s in a day: bend it in stages.")
        % _timed(v)
    ),
    "bend_refused": lambda v: (
        _("%(name)s refused this bend: %(why)s. Another qualified person must release it first.") % v
    ),
    "helper_beside_expert": lambda v: (
        _("Has held no bend yet, so helps only beside an expert: %(lead)s.") % v
    ),
    "helper_days_held": lambda v: _("The bend may not be done on the days this person comes."),
    "helper_has_left": lambda v: _("Is no longer a member."),
    "helper_held_then": lambda v: (
        _("Is on another held step from %(from_clock_min)s to %(to_clock_min)s on %(on)s.") % _timed(v)
    ),
    "helper_lead_held_then": lambda v: (
        _("The lead is on another held step from %(from_clock_min)s to %(to_clock_min)s on %(on)s.")
        % _timed(v)
    ),
    "helper_lifting_not_said": lambda v: _("Has not said yet whether lifting and holding is all right."),
    "helper_no_day": lambda v: _("Has not said yes for a day on which it could be done."),
    "helper_no_lifting": lambda v: _("Asked for no lifting."),
    "helper_not_free": lambda v: _("Not free for this."),
    "helper_not_there": lambda v: (
        _("Is there from %(from_clock_min)s to %(to_clock_min)s. Not %(minutes)s at the same hour.")
        % _timed(v)
    ),
    "helper_novice": lambda v: _("Is a novice at bends. A novice watches beside and does not hold."),
    "helper_too_short": lambda v: _("Usually gives %(here_min)s. The bend takes %(minutes)s.") % _timed(v),
    "helper_under_age": lambda v: _("Is too young for powered tools."),
    "helper_untried": lambda v: _("Has held no bend yet. %(lead)s is no expert, so this must wait.") % v,
    "lead_not_expert": lambda v: _("An expert in bends leads. This person is %(level)s.") % v,
    "lead_not_trained": lambda v: _("Powered tools are used, and this person is not trained for them."),
    "points_any": _any,
    "points_group": _group,
    "points_here": lambda v: (
        _("Here %(from_clock_min)s to %(to_clock_min)s on %(on)s, free at %(start_clock_min)s") % _timed(v)
    ),
    "points_last": lambda v: (
        _("Worked on this tree last") if v["last"] else _("Was not the last on this tree")
    ),
    "points_learner": lambda v: (
        _("Would like to learn bends") if v["wants"] else _("Has not asked to learn bends")
    ),
    "points_paired": lambda v: (
        _("Has worked with %(lead)s before") % v if v["paired"] else _("Has not worked with %(lead)s yet") % v
    ),
    "points_share": _share,
    "points_tree": lambda v: (
        _("Has worked on this tree") if v["worked"] else _("Has not worked on this tree")
    ),
    "points_usual": lambda v: (
        _("Usually gives %(here_min)s on that weekday, hour to be agreed: %(on)s") % _timed(v)
    ),
}
