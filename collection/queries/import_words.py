"""The words for what a column of a spreadsheet can hold, and where in a sheet something stands."""

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
    "trees.style": _("the style of the tree"),
    "trees.batch": _("how many trees"),
    "trees.height": _("the height of the tree"),
    "trees.spread": _("the width of the crown"),
    "trees.trunk": _("the trunk thickness"),
    "trees.girth": _("the way around the trunk"),
    "trees.pot_litres": _("how much the pot holds"),
    "trees.pot": _("what pot it is in"),
    "trees.mass": _("the weight of tree and pot"),
    "trees.mass_weighed": _("whether the weight was weighed"),
    "trees.site": _("the garden or ground where it stands"),
    "trees.bench": _("the bench it stands on"),
    "trees.owner": _("the owner"),
    "trees.carer": _("who looks after it"),
    "trees.acquired_on": _("the day the tree came"),
    "trees.last_repot": _("the day it was last repotted"),
    "trees.condition": _("the health of the tree"),
    "trees.may_travel": _("whether it may travel"),
    "trees.brought_by": _("who brings it to a workday"),
    "trees.no_hard_work_until": _("the day until which it gets no hard work"),
    "trees.no_hard_work_why": _("why it gets no hard work"),
    "trees.leave_alone_until": _("the day until which it is left alone"),
    "trees.leave_alone_why": _("why it is left alone"),
    "trees.count_primary": _("the number of main branches"),
    "trees.count_secondary": _("the number of side branches"),
    "trees.count_fine": _("the number of fine branches"),
    "trees.count_branches_total": _("the number of all branches"),
    "trees.count_cut_sites": _("the number of cut sites"),
    "trees.count_shoots": _("the number of shoots"),
    "trees.count_candles": _("the number of candles"),
    "trees.note": _("a note"),
    "people.name": _("the person's name"),
    "people.first_name": _("the first name"),
    "people.last_name": _("the last name"),
    "people.email": _("the e-mail address"),
    "people.telephone": _("the telephone number"),
    "people.role": _("the role in the club"),
    "people.active_from": _("the day the person joined"),
    "people.active_to": _("the last day in the club"),
    "people.wants_mail": _("whether the person wants mail"),
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
# Units a plain number of a size may be in, by field; the words are above.
SIZES = {
    **dict.fromkeys(
        ("trees.height", "trees.spread", "trees.trunk", "trees.girth"), ("mm", "cm", "m", "in", "ft")
    ),
    "trees.mass": ("kg", "g", "lb", "oz"),
    "trees.pot_litres": ("l", "ml"),
    "offers.minutes": ("h", "min"),
}
# What the register keeps a size in, by field.
KEPT_IN = {
    **dict.fromkeys(("trees.height", "trees.spread", "trees.trunk", "trees.girth"), " mm"),
    "trees.mass": " kg",
    "trees.pot_litres": " l",
}
SHORT = {"length": "mm", "mass": "kg", "volume": "l", "hours": "min"}


def field_name(field: str) -> str:
    """A field in words: "trees.trunk" is "the trunk thickness"."""
    return str(FIELDS[field])


def where(sheet: str, place: str, column: str) -> str:
    """Where a problem is, as the spreadsheet program shows it: "Sheet Ana, row 14, column Height"."""
    across = not place.isdigit()
    spot = (_("column %(place)s") if across else _("row %(place)s")) % {"place": place}
    heading = (_("line %(name)s") if across else _("column %(name)s")) % {"name": column}
    parts = [_("sheet %(name)s") % {"name": sheet}] if sheet else []
    text = ", ".join([*map(str, parts), str(spot), *([str(heading)] if column else [])])
    return text[:1].upper() + text[1:]


def said(text: object) -> Callable[[Values], str]:
    """A sentence that takes its values as they are."""
    return lambda values: str(text) % values


def list_joined(name: str, text: object) -> Callable[[Values], str]:
    """A sentence one of whose values is a list."""
    return lambda values: str(text) % {**values, name: ", ".join(map(str, values[name]))}


def with_days(text: object) -> Callable[[Values], str]:
    """A sentence that says its dates as "3 May 2019"."""

    def sentence(values: Values) -> str:
        days = {
            name: short_day(value) if isinstance(value, date) else value for name, value in values.items()
        }
        return str(text) % days

    return sentence


def short_day(day: date) -> str:
    """A day without its weekday: "3 May 2019"."""
    return f"{day.day} {day:%B} {day.year}"
