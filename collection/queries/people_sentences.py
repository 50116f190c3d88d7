"""Sentences about people, letters of welcome and signing in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

Values = Mapping[str, Any]

PEOPLE_SENTENCES: dict[str, Callable[[Values], str]] = {
    "club_admins_only": lambda v: _("Only a club admin can do this. Ask yours."),
    "email_needed": lambda v: _("Write the e-mail address the letter goes to."),
    "email_unreadable": lambda v: _("Write an e-mail address like ana@example.org, or leave it empty."),
    "habit_ends": lambda v: _("The last day is before the first. Write a later day."),
    "habit_minutes": lambda v: _("Write hours from 0.25 to 15, like 2.5."),
    "habit_there": lambda v: _("There are hours on this weekday from that day on already. Change those."),
    "habit_weekday": lambda v: _("Choose a day of the week."),
    "habit_weeks": lambda v: _("Write every how many weeks, from 1 to %(most)d.") % v,
    "has_left": lambda v: _("%(name)s has left the club. Take %(name)s back in first.") % v,
    "has_not_left": lambda v: _("%(name)s is a member already, with no last day.") % v,
    "in_club_already": lambda v: _(
        "Your sign-in belongs to another person of this club. Ask the coordinator who invited you."
    ),
    "last_admin": lambda v: _("This is the club's only admin. Make somebody else club admin first."),
    "leave_instead": lambda v: _(
        "This day is over. Use Leave the club, so that trees and offers are settled."
    ),
    "letter_taken_back": lambda v: _("This link was taken back. Ask your coordinator for a new letter."),
    "letter_too_old": lambda v: _("This link is too old. Ask your coordinator for a new letter."),
    "letter_used": lambda v: _("This link was used. Sign in, or ask your coordinator for a new letter."),
    "member_dates": lambda v: _("The last day is before the first. Write a later day, or none."),
    "member_name_needed": lambda v: _("Write a name of up to %(most)d letters.") % v,
    "no_letter": lambda v: _("%(name)s has no letter that could be taken back.") % v,
    "password_common": lambda v: _("Many people use this password. Choose another, such as four odd words."),
    "password_short": lambda v: _("Write at least %(least)d letters. Four odd words are easy to keep.") % v,
    "sign_in_first": lambda v: _("You have a sign-in already. Sign in first, then come back to this page."),
    "telephone_unreadable": lambda v: _("Write a telephone number of up to 40 figures, or leave it empty."),
    "tree_receiver": lambda v: _("Choose a member of the club for each tree."),
    "tree_unsettled": lambda v: _("Say who owns %(accession)s from now on, or that it leaves the club.") % v,
    "theme_unknown": lambda v: _("Choose light, dark, or as the device says."),
}
