"""Sentences about what cannot be done, each with what to do instead."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

Values = Mapping[str, Any]


def _day(value: date) -> str:
    return f"{value:%A} {value.day} {value:%B} {value.year}"


def _leave_alone(v: Values) -> str:
    said = _("The tree is left alone until %(until)s.") % {"until": _day(v["until"])}
    return f"{said} {v['why']}" if v.get("why") else said


REFUSAL_SENTENCES: dict[str, Callable[[Values], str]] = {
    "accession_missing": lambda v: _("Write the tree's number, like 2009.014."),
    "accession_taken": lambda v: (
        _("Number %(accession)s is taken. A tree keeps its number for ever, so choose a new one.") % v
    ),
    "already_busy": lambda v: _(
        "Somebody in this plan is already on another plan at that time. Take them out or plan again."
    ),
    "amount_negative": lambda v: _("Write how many from 0 up, or leave it empty."),
    "answer_unknown": lambda v: _("Choose yes, perhaps or no."),
    "branch_label_taken": lambda v: _("This tree has a branch %(label)s already. Choose another label.") % v,
    "club_name_taken": lambda v: _("There is a club called %(name)s already. Choose another name.") % v,
    "coordinators_only": lambda v: _("Only a coordinator can do this. Ask yours."),
    "count_kind_unknown": lambda v: _("%(given)s is not something we count.") % v,
    "count_range": lambda v: _("Write a number from 0 to 100,000."),
    "day_over": lambda v: _("The day on %(on)s is over or was cancelled.") % {"on": _day(v["on"])},
    "day_year": lambda v: _("Write a year from %(first)s to %(last)s.") % v,
    "day_taken": lambda v: (
        _("There is a workday at this place on %(on)s already. Open that one.") % {"on": _day(v["on"])}
    ),
    "day_times": lambda v: _("The day and its breaks must end after they start. Look at the times again."),
    "declaration_unknown": lambda v: _("%(given)s is not something people declare.") % v,
    "does_not_come": lambda v: _("%(name)s has not said yes for this day. Choose somebody who comes.") % v,
    "estimate_input": lambda v: _("This cannot be worked out: %(what)s.") % v,
    "family_unknown": lambda v: _("%(given)s is not a kind of work.") % v,
    "field_unknown": lambda v: _("A tree has no %(given)s that could be changed here.") % v,
    "group_unknown": lambda v: _("%(given)s is not a species group. Choose one from the list.") % v,
    "has_sign_in": lambda v: _("%(name)s can sign in already.") % v,
    "job_there_already": lambda v: _("This job is on the tree's list already."),
    "latitude_range": lambda v: _("Write the latitude from -90 to 90, south of the equator below 0."),
    "leave_alone": _leave_alone,
    "level_too_low": lambda v: (
        _("%(name)s is not yet %(level)s in this kind of work. Choose somebody who is.") % v
    ),
    "level_unknown": lambda v: _("Choose novice, learning, practised or expert."),
    "look_unknown": lambda v: _("Say what you saw: loose, snug or marking."),
    "member_name_taken": lambda v: (
        _("There is a %(name)s in the club already. Add a letter or a second name.") % v
    ),
    "metal_unknown": lambda v: _("Choose copper or aluminium."),
    "minutes_over_span": lambda v: (
        _("From start to end is %(span)s minutes. Write fewer minutes, or other times.") % v
    ),
    "minutes_range": lambda v: _("Write minutes from 1 to %(most)s, like 90.") % v,
    "month_day": lambda v: _("Write a month and a day with a dash, like 04-25."),
    "needs_consent": lambda v: _("%(owner)s asked to be asked first and has not agreed for this season.") % v,
    "needs_sign_off": lambda v: _("The bend has not been signed off yet. A coordinator signs it."),
    "nobody_comes": lambda v: _("Nobody has said yes for this day yet. A plan needs people."),
    "not_a_member": lambda v: _("You are not a member of a club here. Ask its coordinator to add you."),
    "not_found": lambda v: _("There is nothing at this address."),
    "note_needed": lambda v: _("Write where you stopped, so that the next hands can go on."),
    "out_of_range": lambda v: str(v["said"]),
    "person_twice": lambda v: _("Somebody is named twice. Name each person once."),
    "plan_not_ready": lambda v: _("This plan is not ready. Wait for it, or plan again."),
    "priority_range": lambda v: _("Choose a priority from 1 to 5."),
    "reason_needed": lambda v: _("Write why, in a few words."),
    "release_by_another": lambda v: _("You refused this bend. Somebody else must release it."),
    "role_unknown": lambda v: _("Choose member, bench lead, coordinator or club admin."),
    "row_values": lambda v: _("This row cannot be read. Look at its dates, stages and numbers again."),
    "no_such_person": lambda v: _("%(name)s is not a member. Choose one of: %(known)s.") % v,
    "two_of_that_name": lambda v: _("There are two members called %(name)s. Set the lead on the page.") % v,
    "no_workday": lambda v: (
        _("There is no workday on %(on)s. Put it on the list first.") % {"on": _day(v["on"])}
    ),
    "site_unknown": lambda v: _("There is no place of that name. Choose one of: %(known)s.") % v,
    "site_kind": lambda v: _("Choose club ground, home or show."),
    "sitting_ahead": lambda v: _("This time has not come yet. Write an earlier one."),
    "sitting_empty": lambda v: _("Say who worked and what was done."),
    "sitting_times": lambda v: _("The end is before the start. Write a later time."),
    "size_range": lambda v: _("Write a size above 0, or leave it empty."),
    "stage_unknown": lambda v: _("Choose raw, building, refining or show."),
    "stale": lambda v: _("Somebody else changed this while you were writing. Look at it again, then choose."),
    "start_time": lambda v: _("Write a start inside the day, in steps of five minutes, like 10:15."),
    "task_twice": lambda v: _("A task is named twice. Name each one once, and add its amounts up."),
    "task_unknown": lambda v: _("%(given)s is not a task we know. Choose one from the list.") % v,
    "window_order": lambda v: _("The window closes before it opens. Write a later closing day."),
    "wire_label_taken": lambda v: _("A wire %(label)s is on this tree already. Choose another label.") % v,
    "wire_length": lambda v: _("Write a length above 0 and up to 200 metres, like 2.4."),
    "wires_not_said": lambda v: _("Say which wires came off. Say none when all of them are still on."),
    "wire_off_untold": lambda v: _("Wire comes off with the task Wire off. Add it to what was done."),
    "wire_off_early": lambda v: _("The wire went on later than that. Write a day after it went on."),
    "wire_size": lambda v: _("Write a thickness from 0.3 to 12 mm, like 2.5."),
    "zone_unknown": lambda v: _("%(zone)s is not a time zone. Write one like Europe/London.") % v,
    "offer_times": lambda v: _("Write hours inside the day, from %(opens)s to %(closes)s.") % v,
}
