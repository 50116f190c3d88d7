"""Sentences about workdays, answers and plans."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from collection.queries.speech import day, listed

Values = Mapping[str, Any]


def _on(v: Values) -> dict[str, Any]:
    return {**v, "on": day(v["on"])}


def _busy(v: Values) -> str:
    said = {**v, "people": listed(v["people"])}
    return (
        ngettext(
            "%(people)s is busy at %(site)s from %(begins)s to %(ends)s. Choose Not here, or plan again.",
            "%(people)s are busy at %(site)s from %(begins)s to %(ends)s. Choose Not here, or plan again.",
            len(v["people"]),
        )
        % said
    )


def _busy_other(v: Values) -> str:
    said = {"people": listed(v["people"])}
    return (
        ngettext(
            "%(people)s is confirmed in another club at that time. Choose Not here, or plan again.",
            "%(people)s are confirmed in another club at that time. Choose Not here, or plan again.",
            len(v["people"]),
        )
        % said
    )


DAY_SENTENCES: dict[str, Callable[[Values], str]] = {
    "busy_elsewhere": _busy,
    "busy_in_another_club": _busy_other,
    "came_times": lambda v: _("Somebody left before arriving. Look at the times again."),
    "day_breaks": lambda v: _("Two breaks overlap. Let one end before the next starts."),
    "day_cancelled": lambda v: _("The day on %(on)s was cancelled. Put a new one on the list.") % _on(v),
    "day_field": lambda v: _("A day has no %(given)s that could be changed here.") % v,
    "day_has_no_room": lambda v: (
        _("This day takes %(most)d people, and all have said yes. Answer Perhaps, or ask the coordinator.")
        % v
    ),
    "day_in_past": lambda v: _("%(on)s has passed. Choose today or a later day.") % _on(v),
    "day_minutes": lambda v: _("Write minutes from 0 to %(most)d, like 15.") % v,
    "day_not_yet": lambda v: _("The day is on %(on)s and has not come yet.") % _on(v),
    "day_people": lambda v: _("Write at least 1 person, and as most no fewer than the least."),
    "came_first": lambda v: _("Say first who came. Then jobs can be recorded together."),
    "nobody_of_job_came": lambda v: (
        _("Nobody planned for %(title)s on %(accession)s came. Record it with those who did it.") % v
    ),
    "nothing_chosen": lambda v: _("Choose at least one job."),
    "part_needs_note": lambda v: (
        _("%(title)s on %(accession)s goes on another day. Record it with a note for the next hands.") % v
    ),
    "round_empty": lambda v: _("Leave at least one tree ticked, or leave the round as it is."),
    "round_over": lambda v: _("This round is done or was taken back. Choose another one."),
    "plan_not_out": lambda v: _("The plan for %(on)s is not out yet. It will be shown here.") % _on(v),
    "day_state": lambda v: _("Choose whether the day is a draft or open for offers."),
}
