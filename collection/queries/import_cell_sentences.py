"""Sentences about one cell or row of a spreadsheet: what is wrong with it and what to write."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from collection.queries.import_words import (
    KEPT_IN,
    SHORT,
    field_name,
    list_joined,
    said,
    short_day,
    with_days,
)

Values = Mapping[str, Any]


def _member_unknown(values: Values) -> str:
    if values["near"]:
        text = _(
            "'%(value)s' is not a member. Write %(near)s if you mean that person, or add the person first."
        )
    else:
        text = _("'%(value)s' is not a member. Add the person first, or leave it empty.")
    return text % values


def _two_ways(values: Values) -> str:
    days = {name: short_day(values[name]) for name in ("one", "two")}
    return _("'%(value)s' could be %(one)s or %(two)s. Write the month as a word.") % {**values, **days}


def _too_large(values: Values) -> str:
    short = SHORT[values["kind"]]
    text = _("'%(value)s' is %(read)g %(unit)s, more than the %(most)g %(unit)s we take. Check the unit.")
    return text % {**values, "unit": short}


def _differs(values: Values) -> str:
    unit = KEPT_IN.get(values["field"], "")
    named = {**values, "field": field_name(values["field"])}
    named |= {name: f"{values[name]}{unit}" for name in ("there", "here")}
    if not values["there"]:
        text = _(
            "%(accession)s is on the register without %(field)s. "
            "Add '%(here)s' on its page, or set the row aside."
        )
    else:
        text = _(
            "%(accession)s is on the register and %(field)s is '%(there)s' there, '%(here)s' here. "
            "Change one, or set the row aside."
        )
    return text % named


def _member_differs(values: Values) -> str:
    text = _("%(name)s is a member already, but %(field)s is not the same. Change one, or set the row aside.")
    return text % {**values, "field": field_name(values["field"])}


def _no_workday(values: Values) -> str:
    on = values["on"]
    typed = on.isoformat() if isinstance(on, date) else on
    text = _(
        "There is no workday on %(on)s. Put it on the list first, on the Days page or with "
        "'python3 manage.py new_workday %(typed)s 9:30 13:30'."
    )
    return str(text) % {"on": short_day(on) if isinstance(on, date) else on, "typed": typed}


IMPORT_CELL_SENTENCES: dict[str, Callable[[Values], str]] = {
    "import_accession_missing": said(_("This tree has no number. Write one, or set the row aside.")),
    "import_accession_past": said(
        _("Number '%(value)s' belonged to a tree that left. Numbers are never used again: write a new one.")
    ),
    "import_bench_elsewhere": said(
        _("Bench '%(bench)s' stands on another site than '%(site)s'. Give each bench its own name.")
    ),
    "import_cell_error": said(_("The cell shows %(value)s, an error. Put the value in, or leave it empty.")),
    "import_date_ahead": said(_("'%(value)s' has not come yet. Check the year.")),
    "import_date_as_number": said(
        _("'%(value)s' is a date turned into a number. Show the column as dates and save again.")
    ),
    "import_date_two_ways": _two_ways,
    "import_day_over": with_days(_("The workday on %(on)s is over or called off. Leave the row out.")),
    "import_differs": _differs,
    "import_doubled": said(_("'%(value)s' is also in row %(place)s of %(sheet)s. Keep one of the two.")),
    "import_email_shared": said(_("More than one member uses '%(value)s'. Write the name.")),
    "import_email_unknown": said(_("No member uses '%(value)s'. Write the name, or add the person first.")),
    "import_ends_early": with_days(
        _("It ends on %(ends)s, before it starts on %(starts)s. Change one of the two.")
    ),
    "import_habit_differs": said(
        _(
            "This person already gives %(there)s minutes that weekday, not %(here)s. "
            "Change one, or set the row aside."
        )
    ),
    "import_hours_missing": said(_("Say how long, up to 15 hours: write hours or minutes, or from and to.")),
    "import_member_differs": _member_differs,
    "import_member_unknown": _member_unknown,
    "import_name_missing": said(_("There is no name in this row. Write one, or set the row aside.")),
    "import_no_day": said(_("The row names no workday and no weekday. Write one of them.")),
    "import_no_result": said(
        _("The formula here has no saved result. Open the file, save it, and try again.")
    ),
    "import_no_such_day": said(
        _("There is no day '%(value)s'. Write a day like 3 May 2019 or leave it empty.")
    ),
    "import_no_such_group": said(_("'%(value)s' is not a group. Write G01 to G15 or leave it empty.")),
    "import_no_trees": said(_("The row says 0 trees. Write how many, or set the row aside.")),
    "import_no_workday": _no_workday,
    "import_not_a_condition": said(_("'%(value)s' is not a state of health. Write sound, weak or sick.")),
    "import_not_a_count": said(_("'%(value)s' is not a count. Write a whole number or leave it empty.")),
    "import_not_a_date": said(_("'%(value)s' is not a date. Write a day like 3 May 2019 or leave it empty.")),
    "import_not_a_hours": said(
        _("'%(value)s' is not a length of time. Write it like 3 hours or 90 minutes.")
    ),
    "import_not_a_length": said(
        _("'%(value)s' is not a length. Write a length like 62 cm or leave it empty.")
    ),
    "import_not_a_level": said(_("'%(value)s' is not a level. Write novice, learning, practised or expert.")),
    "import_not_a_mass": said(_("'%(value)s' is not a weight. Write a weight like 12 kg or leave it empty.")),
    "import_not_a_number": said(_("'%(value)s' is not a number. Write digits or leave it empty.")),
    "import_not_a_phone": said(_("'%(value)s' is not a telephone number. Write digits or leave it empty.")),
    "import_not_a_role": said(
        _("'%(value)s' is not a role. Write member, bench lead, coordinator or club admin.")
    ),
    "import_not_a_size": said(_("'%(value)s' is not a size. Write a size like 62 cm or leave it empty.")),
    "import_not_a_skill": said(_("'%(value)s' is not a skill we know. Write it like wiring: practised.")),
    "import_not_a_stage": said(_("'%(value)s' is not a stage. Write raw, building, refining or show.")),
    "import_not_a_time": said(_("'%(value)s' is not a time. Write a time like 9:30.")),
    "import_not_a_volume": said(_("'%(value)s' is not a volume. Write litres like 4.5 l or leave it empty.")),
    "import_not_a_weekday": said(_("'%(value)s' is not a day of the week. Write one like Tuesday.")),
    "import_not_an_answer": said(
        _("'%(value)s' is not an answer. Write yes, no, perhaps, or hours like 10-13.")
    ),
    "import_not_an_email": said(_("'%(value)s' is not an e-mail address. Correct it or leave it empty.")),
    "import_not_yes_or_no": said(_("'%(value)s' is neither yes nor no. Write yes or no, or leave it empty.")),
    "import_number_two_ways": said(
        _("'%(value)s' could be %(small)s or %(large)s. Write it without the mark.")
    ),
    "import_offer_differs": with_days(
        _("For %(on)s this person has said '%(there)s', not '%(here)s', or other hours.")
    ),
    "import_offer_outside": said(
        _("%(value)s is outside the workday, %(opens)s to %(closes)s. Write hours inside it.")
    ),
    "import_offer_twice": said(_("The file says this twice for the same person. Keep one of the two rows.")),
    "import_range": said(_("'%(value)s' gives two sizes. Write one of them.")),
    "import_role_by_admin": said(
        _("Only a club admin makes somebody '%(value)s'. Leave the role out, or ask yours.")
    ),
    "import_size_too_large": _too_large,
    "import_species_missing": said(_("The row names no species. Write one, or write its group, G01 to G15.")),
    "import_species_two_groups": list_joined(
        "groups", _("'%(value)s' could be more than one kind: %(groups)s. Write the full name or the group.")
    ),
    "import_species_unknown": said(
        _("We do not know '%(value)s'. Write its group, G01 to G15, in a column Group.")
    ),
    "import_times_order": said(_("'%(value)s' ends before it starts. Write it like 10:00-13:00.")),
    "import_too_long": said(_("The text has %(letters)s letters, the most is %(most)s. Shorten it.")),
    "import_two_workdays": with_days(
        _("There are two workdays on %(on)s. Write down this offer on the day's page.")
    ),
    "import_unit_unknown": said(
        _("'%(value)s' has no unit. Write it like 62 cm, or put the unit in the heading.")
    ),
    "import_which_site": list_joined("sites", _("The club has several grounds: %(sites)s. Write which one.")),
}
