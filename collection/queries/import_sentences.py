"""Sentences about spreadsheets: questions about columns, what is wrong with a cell, what would be made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

Values = Mapping[str, Any]

FIELDS = {
    "trees.accession": _("the tree's number"),
    "trees.name": _("the tree's own name"),
    "trees.species": _("the species"),
    "trees.common_name": _("the common name"),
    "trees.group": _("the species group"),
    "trees.stage": _("the stage of the tree"),
    "trees.batch": _("how many trees"),
    "trees.height": _("the height of the tree"),
    "trees.spread": _("the width of the crown"),
    "trees.trunk": _("the trunk thickness"),
    "trees.pot_litres": _("how much the pot holds"),
    "trees.mass": _("the weight of tree and pot"),
    "trees.site": _("the garden or ground where it stands"),
    "trees.bench": _("the bench it stands on"),
    "trees.owner": _("the owner"),
    "trees.carer": _("who looks after it"),
    "trees.acquired_on": _("the day the tree came"),
    "trees.last_repot": _("the day it was last repotted"),
    "trees.condition": _("the health of the tree"),
    "trees.may_travel": _("whether it may travel"),
    "trees.count_primary": _("the number of primary branches"),
    "trees.count_secondary": _("the number of secondary branches"),
    "trees.count_fine": _("the number of fine branches"),
    "trees.count_branches_total": _("the number of all branches"),
    "trees.note": _("a note"),
    "people.name": _("the person's name"),
    "people.first_name": _("the first name"),
    "people.last_name": _("the last name"),
    "people.email": _("the e-mail address"),
    "people.telephone": _("the telephone number"),
    "people.role": _("the role in the club"),
    "people.active_from": _("the day the person joined"),
    "people.skills": _("a list of skills"),
    "people.can_lift": _("whether the person can lift and hold"),
    "people.power_tools": _("whether the person is trained for powered tools"),
    "people.sprays": _("whether the person is trained for sprays"),
    "people.first_aid": _("whether the person is a first aider"),
    "people.wants_bends": _("whether the person wants to learn bends"),
    "people.skill_water_feed": _("the skill in watering and feeding"),
    "people.skill_candles_needles": _("the skill in candles and needles"),
    "people.skill_trimming": _("the skill in trimming"),
    "people.skill_pruning": _("the skill in pruning"),
    "people.skill_wiring": _("the skill in wiring"),
    "people.skill_bending": _("the skill in bending"),
    "people.skill_repotting": _("the skill in repotting"),
    "people.skill_deadwood": _("the skill in deadwood"),
    "people.skill_grafting": _("the skill in grafting"),
    "people.skill_plant_health": _("the skill in plant health"),
    "people.skill_moving": _("the skill in moving trees"),
    "people.skill_show_record": _("the skill in shows and records"),
    "offers.member": _("the person"),
    "offers.date": _("the date of the workday"),
    "offers.weekday": _("the day of the week"),
    "offers.arrives": _("when the person comes"),
    "offers.leaves": _("when the person goes"),
    "offers.answer": _("whether the person comes"),
    "offers.minutes": _("the hours a week"),
    "offers.every_weeks": _("every how many weeks"),
    "offers.starts": _("the first day"),
    "offers.ends": _("the last day"),
}
UNITS = {
    "mm": _("millimetres"),
    "cm": _("centimetres"),
    "dm": _("decimetres"),
    "m": _("metres"),
    "in": _("inches"),
    "ft": _("feet"),
    "kg": _("kilograms"),
    "g": _("grams"),
    "lb": _("pounds"),
    "oz": _("ounces"),
    "l": _("litres"),
    "ml": _("millilitres"),
    "cl": _("centilitres"),
    "dl": _("decilitres"),
    "h": _("hours"),
    "min": _("minutes"),
}
SHORT = {"length": "mm", "mass": "kg", "volume": "l", "hours": "min"}


def field_name(field: str) -> str:
    """A field in words: "trees.trunk" is "the trunk thickness"."""
    return str(FIELDS[field])


def _ask(values: Values) -> str:
    question = str(_("Is this %(field)s?")) % {"field": field_name(values["field"])}
    if not values["unit"]:
        return question
    unit = UNITS[values["unit"]]
    if values["assumed"]:
        return question + " " + _("Plain numbers are read as %(unit)s: is that right?") % {"unit": unit}
    return question + " " + _("Plain numbers are %(unit)s.") % {"unit": unit}


def _member_unknown(values: Values) -> str:
    if values["near"]:
        text = _(
            "'%(value)s' is not a member. Write %(near)s if you mean that person, or add the person first."
        )
    else:
        text = _("'%(value)s' is not a member. Add the person first, or leave it empty.")
    return text % values


def _two_ways(values: Values) -> str:
    days = {name: _short_day(values[name]) for name in ("one", "two")}
    return _("'%(value)s' could be %(one)s or %(two)s. Write the month as a word.") % {**values, **days}


def _short_day(day: date) -> str:
    return f"{day.day} {day:%B} {day.year}"


def _place(values: Values) -> str:
    kind = _("Column") if values["turned"] else _("Row")
    return f"{kind} {values['place']}"


def where(sheet: str, place: str, column: str) -> str:
    """Where a problem is, as the spreadsheet program shows it: "Sheet Ana, row 14, column Height"."""
    across = not place.isdigit()
    spot = (_("column %(place)s") if across else _("row %(place)s")) % {"place": place}
    heading = (_("line %(name)s") if across else _("column %(name)s")) % {"name": column}
    parts = [_("sheet %(name)s") % {"name": sheet}] if sheet else []
    text = ", ".join([*map(str, parts), str(spot), *([str(heading)] if column else [])])
    return text[:1].upper() + text[1:]


def _has_problems(values: Values) -> str:
    first = where("", values["place"], values["column"])
    text = _("Rows with problems: %(rows)s. The first: %(first)s. Put them right, or set those rows aside.")
    return str(text) % {"rows": values["rows"], "first": first[:1].lower() + first[1:]}


def _left_out(text: object) -> Callable[[Values], str]:
    return lambda values: str(text) % {"place": _place(values), "sheet": values["sheet"]}


def _too_large(values: Values) -> str:
    short = SHORT[values["kind"]]
    text = _("'%(value)s' is %(read)g %(unit)s, more than the %(most)g %(unit)s we take. Check the unit.")
    return text % {**values, "unit": short}


def _differs(values: Values) -> str:
    named = {**values, "field": field_name(values["field"])}
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


def _listed(name: str, text: object) -> Callable[[Values], str]:
    return lambda values: str(text) % {**values, name: ", ".join(map(str, values[name]))}


def _no_workday(values: Values) -> str:
    on = values["on"]
    typed = on.isoformat() if isinstance(on, date) else on
    said = _(
        "There is no workday on %(on)s. Put it on the list first, on the Days page or with "
        "'python3 manage.py new_workday %(typed)s 9:30 13:30'."
    )
    return str(said) % {"on": _short_day(on) if isinstance(on, date) else on, "typed": typed}


def _dated(text: object) -> Callable[[Values], str]:
    def sentence(values: Values) -> str:
        days = {
            name: _short_day(value) if isinstance(value, date) else value for name, value in values.items()
        }
        return str(text) % days

    return sentence


def _said(text: object) -> Callable[[Values], str]:
    return lambda values: str(text) % values


def _column_missing(values: Values) -> str:
    names = _(" or ").join(field_name(name) for name in values["fields"])
    return _("No column holds %(names)s. Say which one does.") % {"names": names}


IMPORT_SENTENCES: dict[str, Callable[[Values], str]] = {
    "import_accession_missing": _said(_("This tree has no number. Write one, or set the row aside.")),
    "import_accession_past": _said(
        _("Number '%(value)s' belonged to a tree that left. Numbers are never used again: write a new one.")
    ),
    "import_ask": _ask,
    "import_ask_day": _dated(_("Is this who comes on %(day)s?")),
    "import_bench_elsewhere": _said(
        _("Bench '%(bench)s' stands in another place than '%(site)s'. Give each bench its own name.")
    ),
    "import_broken_quotes": _said(
        _("The text breaks off near row %(row)s. Save the file as .xlsx and try again.")
    ),
    "import_cell_error": _said(_("The cell shows %(value)s, an error. Put the value in, or leave it empty.")),
    "import_changed_meanwhile": _said(
        _("Somebody changed the same rows just now. Look at the preview again.")
    ),
    "import_column_kept": _said(_("We do not know '%(heading)s'. Its cells are kept with the tree.")),
    "import_column_left": _said(_("We do not know '%(heading)s'. Its cells are left out.")),
    "import_column_missing": _column_missing,
    "import_date_ahead": _said(_("'%(value)s' has not come yet. Check the year.")),
    "import_date_as_number": _said(
        _("'%(value)s' is a date turned into a number. Show the column as dates and save again.")
    ),
    "import_date_two_ways": _two_ways,
    "import_day_over": _dated(_("The workday on %(on)s is over or called off. Leave the row out.")),
    "import_differs": _differs,
    "import_doubled": _said(_("'%(value)s' is also in row %(place)s of %(sheet)s. Keep one of the two.")),
    "import_email_shared": _said(_("More than one member uses '%(value)s'. Write the name.")),
    "import_email_unknown": _said(_("No member uses '%(value)s'. Write the name, or add the person first.")),
    "import_empty": _said(_("There is nothing in this file. Check that you chose the right one.")),
    "import_ends_early": _dated(
        _("It ends on %(ends)s, before it starts on %(starts)s. Change one of the two.")
    ),
    "import_file_too_big": _said(
        _("The file is too big: more than %(most_mib)s MiB. Take pictures out, or split it.")
    ),
    "import_habit_differs": _said(
        _(
            "This person already gives %(there)s minutes that weekday, not %(here)s. "
            "Change one, or set the row aside."
        )
    ),
    "import_has_problems": _has_problems,
    "import_heading_again": _left_out(_("%(place)s of %(sheet)s repeats the headings and is left out.")),
    "import_hidden_sheet": _said(_("Sheet '%(sheet)s' is hidden and is left out.")),
    "import_hours_missing": _said(_("Say how long, up to 15 hours: write hours or minutes, or from and to.")),
    "import_line_of_words": _left_out(_("%(place)s of %(sheet)s is a line of words and is left out.")),
    "import_locked": _said(_("The file has a password. Save it without one and try again.")),
    "import_makes_bench": _said(_("The bench '%(name)s' will be made.")),
    "import_makes_offers": _said(
        _("Answers for workdays to add: %(answers)s. Weekly offers to add: %(habits)s.")
    ),
    "import_makes_people": _said(_("People to add: %(people)s. Skills to add: %(skills)s.")),
    "import_makes_site": _said(_("The place '%(name)s' will be made.")),
    "import_makes_trees": _said(_("Trees to add: %(trees)s. Branch counts to add: %(counts)s.")),
    "import_member_differs": _member_differs,
    "import_member_unknown": _member_unknown,
    "import_merged_filled": _said(
        _("Sheet '%(sheet)s' has cells joined over several rows. Each of those rows got the value.")
    ),
    "import_name_missing": _said(_("There is no name in this row. Write one, or set the row aside.")),
    "import_no_day": _said(_("The row names no workday and no weekday. Write one of them.")),
    "import_no_headings": _said(
        _("We found no row of headings. Write a heading above each column and try again.")
    ),
    "import_no_result": _said(
        _("The formula here has no saved result. Open the file, save it, and try again.")
    ),
    "import_no_rows": _said(
        _("There are headings but no rows below them. Check that you chose the right file.")
    ),
    "import_no_such_club": _listed("names", _("There is no club '%(name)s'. The clubs are: %(names)s.")),
    "import_no_such_column": _listed(
        "headings", _("There is no column '%(heading)s'. The columns are: %(headings)s.")
    ),
    "import_no_such_day": _said(
        _("There is no day '%(value)s'. Write a day like 3 May 2019 or leave it empty.")
    ),
    "import_no_such_field": _listed("fields", _("We do not keep '%(field)s'. You can use: %(fields)s.")),
    "import_no_such_group": _said(_("'%(value)s' is not a group. Write G01 to G15 or leave it empty.")),
    "import_no_such_sheet": _said(_("There is no sheet '%(sheet)s'. The sheets are: %(sheets)s.")),
    "import_no_such_unit": _said(_("'%(unit)s' is not a unit we know. Use mm, cm, m, in, ft, kg, lb or l.")),
    "import_no_trees": _said(_("The row says 0 trees. Write how many, or set the row aside.")),
    "import_no_workday": _no_workday,
    "import_not_a_condition": _said(_("'%(value)s' is not a state of health. Write sound, weak or sick.")),
    "import_not_a_count": _said(_("'%(value)s' is not a count. Write a whole number or leave it empty.")),
    "import_not_a_date": _said(
        _("'%(value)s' is not a date. Write a day like 3 May 2019 or leave it empty.")
    ),
    "import_not_a_hours": _said(
        _("'%(value)s' is not a length of time. Write it like 3 hours or 90 minutes.")
    ),
    "import_not_a_length": _said(
        _("'%(value)s' is not a length. Write a length like 62 cm or leave it empty.")
    ),
    "import_not_a_level": _said(
        _("'%(value)s' is not a level. Write novice, learning, practised or expert.")
    ),
    "import_not_a_mass": _said(
        _("'%(value)s' is not a weight. Write a weight like 12 kg or leave it empty.")
    ),
    "import_not_a_number": _said(_("'%(value)s' is not a number. Write digits or leave it empty.")),
    "import_not_a_phone": _said(_("'%(value)s' is not a telephone number. Write digits or leave it empty.")),
    "import_not_a_role": _said(
        _("'%(value)s' is not a role. Write member, bench lead, coordinator or club admin.")
    ),
    "import_not_a_sheet": _said(
        _("This file is not a spreadsheet we can read. Save it as .xlsx or .csv and try again.")
    ),
    "import_not_a_size": _said(_("'%(value)s' is not a size. Write a size like 62 cm or leave it empty.")),
    "import_not_a_skill": _said(_("'%(value)s' is not a skill we know. Write it like wiring: practised.")),
    "import_not_a_stage": _said(_("'%(value)s' is not a stage. Write raw, building, refining or show.")),
    "import_not_a_time": _said(_("'%(value)s' is not a time. Write a time like 9:30.")),
    "import_not_a_volume": _said(
        _("'%(value)s' is not a volume. Write litres like 4.5 l or leave it empty.")
    ),
    "import_not_a_weekday": _said(_("'%(value)s' is not a day of the week. Write one like Tuesday.")),
    "import_not_an_answer": _said(
        _("'%(value)s' is not an answer. Write yes, no, perhaps, or hours like 10-13.")
    ),
    "import_not_an_email": _said(_("'%(value)s' is not an e-mail address. Correct it or leave it empty.")),
    "import_not_yes_or_no": _said(
        _("'%(value)s' is neither yes nor no. Write yes or no, or leave it empty.")
    ),
    "import_number_two_ways": _said(
        _("'%(value)s' could be %(small)s or %(large)s. Write it without the mark.")
    ),
    "import_numbers_given": _said(
        _("No column holds tree numbers. The new trees get %(first)s to %(last)s.")
    ),
    "import_offer_differs": _dated(
        _("For %(on)s this person has said '%(there)s', not '%(here)s', or other hours.")
    ),
    "import_offer_outside": _said(
        _("%(value)s is outside the workday, %(opens)s to %(closes)s. Write hours inside it.")
    ),
    "import_offer_twice": _said(_("The file says this twice for the same person. Keep one of the two rows.")),
    "import_old_or_locked": _said(
        _("This is an old .xls file or it has a password. Save it as .xlsx without one.")
    ),
    "import_range": _said(_("'%(value)s' gives two sizes. Write one of them.")),
    "import_sheet_skipped": _said(
        _("Sheet '%(sheet)s' looks different and is left out. Take it in by itself.")
    ),
    "import_sheets_joined": _listed("sheets", _("These sheets are read together: %(sheets)s.")),
    "import_size_too_large": _too_large,
    "import_species_missing": _said(
        _("The row names no species. Write one, or write its group, G01 to G15.")
    ),
    "import_species_two_groups": _listed(
        "groups", _("'%(value)s' could be more than one kind: %(groups)s. Write the full name or the group.")
    ),
    "import_species_unknown": _said(
        _("We do not know '%(value)s'. Write its group, G01 to G15, in a column Group.")
    ),
    "import_stage_assumed": _said(
        _("Trees without a stage: %(trees)s. They are taken as building (assumption). Is that right?")
    ),
    "import_times_order": _said(_("'%(value)s' ends before it starts. Write it like 10:00-13:00.")),
    "import_too_long": _said(_("The text has %(letters)s letters, the most is %(most)s. Shorten it.")),
    "import_too_many_columns": _said(
        _("Sheet '%(sheet)s' has %(columns)s columns, the most is %(most)s. Delete the ones you do not need.")
    ),
    "import_too_many_rows": _said(
        _("Sheet '%(sheet)s' has %(rows)s rows, the most is %(most)s. Split the file.")
    ),
    "import_totals_row": _left_out(_("%(place)s of %(sheet)s is a row of totals and is left out.")),
    "import_turned": _said(_("In sheet '%(sheet)s' the trees stand side by side, one in each column.")),
    "import_two_workdays": _dated(
        _("There are two workdays on %(on)s. Write down this offer on the day's page.")
    ),
    "import_unit_unknown": _said(
        _("'%(value)s' has no unit. Write it like 62 cm, or put the unit in the heading.")
    ),
    "import_unknown_letters": _said(
        _("Some letters in this file cannot be read. Save it as CSV UTF-8 or .xlsx.")
    ),
    "import_which_club": _listed("names", _("There is more than one club. Say which: %(names)s.")),
    "import_which_site": _listed("sites", _("The club has several grounds: %(sites)s. Write which one.")),
}
