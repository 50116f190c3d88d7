"""Sentences about a spreadsheet as a whole: questions about columns, what was left out, what is made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext_lazy as _

from collection.queries.import_cell_sentences import IMPORT_CELL_SENTENCES
from collection.queries.import_words import UNITS, field_name, list_joined, said, where, with_days

Values = Mapping[str, Any]


def _ask(values: Values) -> str:
    question = str(_("Is this %(field)s?")) % {"field": field_name(values["field"])}
    if values["field"] == "trees.girth":
        question += " " + _("It is divided by 3.14 to get the thickness.")
    if values.get("unsaid"):
        question += " " + _("Which unit are plain numbers in?")
    if not values["unit"]:
        return question
    unit = UNITS[values["unit"]]
    if values["assumed"]:
        return question + " " + _("Plain numbers are read as %(unit)s: is that right?") % {"unit": unit}
    return question + " " + _("Plain numbers are %(unit)s.") % {"unit": unit}


def _place(values: Values) -> str:
    kind = _("Column") if values["turned"] else _("Row")
    return f"{kind} {values['place']}"


def _has_problems(values: Values) -> str:
    first = where("", values["place"], values["column"])
    text = _("Rows with problems: %(rows)s. The first: %(first)s. Put them right, or set those rows aside.")
    return str(text) % {"rows": values["rows"], "first": first[:1].lower() + first[1:]}


def _girth_turned(values: Values) -> str:
    text = _(
        "Trees measured around the trunk: %(trees)s. "
        "Divided by 3.14: %(around)g mm around is %(thick)g mm thick."
    )
    return text % values


def _left_out(text: object) -> Callable[[Values], str]:
    return lambda values: str(text) % {"place": _place(values), "sheet": values["sheet"]}


def _column_missing(values: Values) -> str:
    names = _(" or ").join(field_name(name) for name in values["fields"])
    return _("No column holds %(names)s. Say which one does.") % {"names": names}


IMPORT_SENTENCES: dict[str, Callable[[Values], str]] = {
    "import_answered_meanwhile": said(
        _("Somebody answered about this file just now. Look at the page again.")
    ),
    "import_ask": _ask,
    "import_ask_day": with_days(_("Is this who comes on %(day)s?")),
    "import_broken_quotes": said(
        _("The text breaks off near row %(row)s. Save the file as .xlsx and try again.")
    ),
    "import_changed_meanwhile": said(
        _("Somebody changed the same rows just now. Look at the preview again.")
    ),
    "import_column_kept": said(_("We do not know '%(heading)s'. Its cells are kept with the tree.")),
    "import_column_left": said(_("We do not know '%(heading)s'. Its cells are left out.")),
    "import_column_missing": _column_missing,
    "import_empty": said(_("There is nothing in this file. Check that you chose the right one.")),
    "import_file_too_big": said(
        _("The file is too big: more than %(most_mib)s MiB. Take pictures out, or split it.")
    ),
    "import_gave_up": said(_("This file could not be read in three tries. Save it again, or split it.")),
    "import_gave_up_half": said(
        _("Only part of this list came in. Bring the file again for the rest, or take it back.")
    ),
    "import_girth_turned": _girth_turned,
    "import_has_problems": _has_problems,
    "import_heading_again": _left_out(_("%(place)s of %(sheet)s repeats the headings and is left out.")),
    "import_hidden_sheet": said(_("Sheet '%(sheet)s' is hidden and is left out.")),
    "import_kind": said(_("Choose trees, people, or answers and hours.")),
    "import_line_of_words": _left_out(_("%(place)s of %(sheet)s is a line of words and is left out.")),
    "import_locked": said(_("The file has a password. Save it without one and try again.")),
    "import_makes_bench": said(_("The bench '%(name)s' will be made.")),
    "import_makes_offers": said(
        _("Answers for workdays to add: %(answers)s. Weekly offers to add: %(habits)s.")
    ),
    "import_makes_people": said(_("People to add: %(people)s. Skills to add: %(skills)s.")),
    "import_makes_site": said(_("The site '%(name)s' will be made.")),
    "import_makes_trees": said(_("Trees to add: %(trees)s. Figures of counted branches to add: %(counts)s.")),
    "import_merged_filled": said(
        _("Sheet '%(sheet)s' has cells joined over several rows. Each of those rows got the value.")
    ),
    "import_no_headings": said(
        _("We found no row of headings. Write a heading above each column and try again.")
    ),
    "import_no_rows": said(
        _("There are headings but no rows below them. Check that you chose the right file.")
    ),
    "import_no_such_club": list_joined("names", _("There is no club '%(name)s'. The clubs are: %(names)s.")),
    "import_no_such_column": list_joined(
        "headings", _("There is no column '%(heading)s'. The columns are: %(headings)s.")
    ),
    "import_no_such_field": list_joined("fields", _("We do not keep '%(field)s'. You can use: %(fields)s.")),
    "import_no_such_sheet": said(_("There is no sheet '%(sheet)s'. The sheets are: %(sheets)s.")),
    "import_no_such_unit": said(_("'%(unit)s' is not a unit we know. Use mm, cm, m, in, ft, kg, lb or l.")),
    "import_not_a_sheet": said(
        _("This file is not a spreadsheet we can read. Save it as .xlsx or .csv and try again.")
    ),
    "import_nothing_new": said(_("There is nothing to take in: no row is new.")),
    "import_numbers_given": said(_("No column holds tree numbers. The new trees get %(first)s to %(last)s.")),
    "import_old_or_locked": said(
        _("This is an old .xls file or it has a password. Save it as .xlsx without one.")
    ),
    "import_say_columns": said(_("Say first what the columns are.")),
    "import_sheet_skipped": said(
        _("Sheet '%(sheet)s' looks different and is left out. Take it in by itself.")
    ),
    "import_sheets_joined": list_joined("sheets", _("These sheets are read together: %(sheets)s.")),
    "import_stage_assumed": said(
        _("Trees without a stage: %(trees)s. They come in as building (assumption). Change it on a tree.")
    ),
    "import_stays_changed": said(_("Changed since.")),
    "import_stays_planned": said(_("On a plan, or with a job somebody gave it.")),
    "import_stays_used": said(_("Named elsewhere since.")),
    "import_stays_worked": said(_("Worked on since.")),
    "import_taken": said(_("This file is in already.")),
    "import_too_many_waiting": said(_("%(most)s files wait already. Take them in or throw some away first.")),
    "import_too_many_columns": said(
        _("Sheet '%(sheet)s' has %(columns)s columns, the most is %(most)s. Delete the ones you do not need.")
    ),
    "import_too_many_rows": said(
        _("Sheet '%(sheet)s' has %(rows)s rows, the most is %(most)s. Split the file.")
    ),
    "import_totals_row": _left_out(_("%(place)s of %(sheet)s is a row of totals and is left out.")),
    "import_turned": said(_("In sheet '%(sheet)s' the trees stand side by side, one in each column.")),
    "import_unknown_letters": said(
        _("Some letters in this file cannot be read. Save it as CSV UTF-8 or .xlsx.")
    ),
    "import_undo_late": said(_("A file can be taken back for %(days)s days. This one came in before that.")),
    "import_undo_running": said(_("This list is still coming in. Take it back when it is done.")),
    "import_undone": said(_("This file was taken back already.")),
    "import_which_club": list_joined("names", _("There is more than one club. Say which: %(names)s.")),
}
IMPORT_SENTENCES |= IMPORT_CELL_SENTENCES
