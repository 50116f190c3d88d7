"""Sentences about a club's own facts, its sites and its benches."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

Values = Mapping[str, Any]


def _trees(values: Values) -> str:
    if values["trees"] == 1:
        return _("One tree stands")
    return _("%(trees)s trees stand") % values


CLUB_SENTENCES: dict[str, Callable[[Values], str]] = {
    "address_long": lambda v: _("The address is too long. Write at most %(most)s letters.") % v,
    "bench_in_use": lambda v: (
        _("%(standing)s on %(name)s. Move the trees to another bench first.") % {**v, "standing": _trees(v)}
    ),
    "bench_name_missing": lambda v: _("Write a name for the bench, at most %(most)s letters.") % v,
    "bench_name_taken": lambda v: (
        _("There is a bench called %(name)s already. Choose another name, or bring that one back.") % v
    ),
    "bench_weeks": lambda v: _("Choose as the club, a week later or a week earlier."),
    "club_name_missing": lambda v: _("Write the club's name, at most %(most)s letters.") % v,
    "mail_hour": lambda v: _("Write an hour from 0 to 23."),
    "mails_a_week": lambda v: _("Write a number from 1 to 7."),
    "quiet_weeks": lambda v: _("Say on which day the quiet weeks begin and on which they end."),
    "club_range": lambda v: _("Write a number from %(low)g to %(high)g.") % v,
    "site_has_days": lambda v: (
        _("Workdays are still to be held at %(name)s. Hold them, or move them to another site first.") % v
    ),
    "site_in_use": lambda v: (
        _("%(standing)s at %(name)s. Move the trees to another site first.") % {**v, "standing": _trees(v)}
    ),
    "site_name_missing": lambda v: _("Write a name for the site, at most %(most)s letters.") % v,
    "site_name_taken": lambda v: (
        _("There is a site called %(name)s already. Choose another name, or bring that one back.") % v
    ),
    "site_only_ground": lambda v: _("%(name)s is the club's only ground. Add another ground first.") % v,
    "weeks_later_range": lambda v: _("Choose at most %(most)s weeks earlier or later.") % v,
}
