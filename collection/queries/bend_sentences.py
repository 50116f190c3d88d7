"""Sentences about heavy bends and the places at them: what cannot be done, and what to do instead."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

from collection.queries.speech import day

Values = Mapping[str, Any]

# Why somebody cannot help or lead, for the one who asks; a code not named here is told as "not free".
STOPS: dict[str, Callable[[], str]] = {
    "bend_holds_too_long": lambda: _("The held step is longer than two hours, so bend it in stages."),
    "bend_refused": lambda: _("The bend was refused, and nobody has released it yet."),
    "helper_days_held": lambda: _("The bend may not be done on the days this person comes."),
    "helper_has_left": lambda: _("This person has left the club."),
    "helper_held_then": lambda: _("Another held step is promised then."),
    "helper_lead_held_then": lambda: _("The lead is on another held step then."),
    "helper_lifting_not_said": lambda: _("Ask first whether lifting and holding is all right."),
    "helper_no_day": lambda: _("There is no yes for a day on which it could be done."),
    "helper_no_lifting": lambda: _("This person asked for no lifting."),
    "helper_not_there": lambda: _("The hours do not meet those of the lead for long enough."),
    "helper_novice": lambda: _("A novice watches beside and does not hold."),
    "helper_too_short": lambda: _("The usual hours are too short."),
    "helper_under_age": lambda: _("Powered tools are used, and this person is too young for them."),
    "helper_untried": lambda: _("Of those who hold, only one may be new to bends."),
    "needs_consent": lambda: _("The tree's owner has not agreed."),
}


def _stopped(v: Values) -> str:
    said = STOPS.get(v["stop"])
    name = _("%(name)s is not free for this.") % v
    return f"{name} {said()}" if said else name


BEND_SENTENCES: dict[str, Callable[[Values], str]] = {
    "asked_already": lambda v: _("%(name)s has been asked already. Wait for the answer.") % v,
    "asked_for_another_time": lambda v: _(
        "Somebody was asked for another time. Wait for that answer, or take the question back."
    ),
    "bend_askers_only": lambda v: _("Only a coordinator or the one who leads the bend can do this."),
    "bend_judges_only": lambda v: _("Only a coordinator or an expert in bends can do this."),
    "bend_needs_day": lambda v: _("No workday lies in the window. Put one on the list, then ask again."),
    "bend_needs_lead": lambda v: _("Say who leads first. Helpers are asked beside a lead."),
    "bend_not_refused": lambda v: _("Nobody holds this bend up. There is nothing to release."),
    "bend_over": lambda v: _("This bend is done or was taken off the list."),
    "bend_roots_not_known": lambda v: _(
        "Nobody has written down when this tree was last repotted. Find out before you bend it."
    ),
    "bend_wire_to_look_at": lambda v: (
        _("Wire %(label)s was to be looked at by %(look_on)s. Look before you bend.") % v
    ),
    "circumstance_unknown": lambda v: _("%(given)s is not something we ask about a bend.") % v,
    "consent_runs_out": lambda v: (
        _("The owner's yes ends on %(until)s. Ask again for this day.") % {"until": day(v["until"])}
    ),
    "crew_heavy": lambda v: _("A heavy bend takes %(people)d people, whatever its size.") % v,
    "crew_is_complete": lambda v: _("Everybody who is needed has said yes. Nobody else is asked."),
    "crew_said": lambda v: _("The coordinator wants %(people)d people.") % v,
    "helper_cannot": _stopped,
    "lead_helps_already": lambda v: _("%(name)s helps at this bend. Give that place back first.") % v,
    "lead_not_free": _stopped,
    "lead_not_free_then": lambda v: (
        _("%(name)s is not free at the time for which somebody was asked. Take the question back first.") % v
    ),
    "no_bend_on_tree": lambda v: (
        _("No heavy bend is wanted on %(tree)s. Put one on the list on the tree's page.") % v
    ),
    "no_common_time": lambda v: (
        _("%(name)s is not free for long enough together with those who said yes.") % v
    ),
    "place_given_already": lambda v: _("This was answered with yes. Give the place back instead."),
    "place_not_taken": lambda v: _("Nobody has this place now."),
    "place_taken": lambda v: _("This place is now someone else's. Thank you for answering."),
    "place_time_gone": lambda v: _("The time has changed since you were asked. Ask the coordinator."),
    "question_withdrawn": lambda v: _("This question was taken back. Thank you for answering."),
}
