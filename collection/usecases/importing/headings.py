"""The fields a sheet can bring. The words clubs put above them are data: ``sheet_headings.csv``.

Headings are in English, German, Spanish, French and Japanese; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from collection.craft.tasks import FAMILIES
from collection.usecases.importing.numbers import KG_PER, LITRES_PER, MINUTES_PER, MM_PER
from collection.usecases.importing.vocabulary import REFERENCE

HEADINGS = REFERENCE / "sheet_headings.csv"
# A column whose heading is a day holds an answer or hours for that day: "day:2026-12-05".
DAY = "day:"
# Words for the way around a trunk, wherever they stand in a heading.
GIRTH = frozenset(
    ("girth", "circumference", "umfang", "stammumfang", "perimetro", "contorno", "circonference", "幹周")
)
# The name of the sheet a row stands on, when each member or bench has a sheet.
SHEET_NAME = "(sheet name)"


@dataclass(frozen=True, slots=True)
class Field:
    """One thing a column can mean.

    Attributes:
        reads: How its cells are read: text, length, mass, volume, hours, count, date, past_date,
            time, weekday, stage, condition, group, species, yes_no, level, skills, role, answer,
            email or phone.
        usual: What such a size commonly is, in mm, kg, litres or minutes (assumption); tells cm
            from mm where nothing else does.
        most: The largest size taken, same unit (assumption: no club tree is larger).
        needed: A sheet without this column cannot be taken.
        many: Several columns may mean this; their cells are joined.
        by_value: The column can be known by its cells alone.
        longest: Most letters a text may have.
    """

    reads: str
    usual: tuple[float, float] = (0.0, 0.0)
    most: float = 0.0
    needed: bool = False
    many: bool = False
    by_value: bool = False
    longest: int = 120


TREES: Mapping[str, Field] = {
    "accession": Field("text", longest=30),
    "species": Field("species", by_value=True),
    "common_name": Field("species"),
    "name": Field("text"),
    "group": Field("group", by_value=True),
    "stage": Field("stage", by_value=True),
    "style": Field("text", longest=60),
    "batch": Field("count"),
    "height": Field("length", usual=(80, 1500), most=5000),
    "spread": Field("length", usual=(80, 1500), most=5000),
    "trunk": Field("length", usual=(8, 250), most=1000),
    "girth": Field("length", usual=(25, 785), most=3140),
    "pot_litres": Field("volume", usual=(0.2, 100), most=1000),
    "pot": Field("text"),
    "mass": Field("mass", usual=(0.3, 150), most=1000),
    "mass_weighed": Field("yes_no"),
    "site": Field("text"),
    "bench": Field("text", longest=60),
    "owner": Field("text", longest=80),
    "carer": Field("text", longest=80),
    "acquired_on": Field("past_date"),
    "last_repot": Field("past_date"),
    "condition": Field("condition"),
    "may_travel": Field("yes_no"),
    "brought_by": Field("text", longest=80),
    "no_hard_work_until": Field("date"),
    "no_hard_work_why": Field("text", longest=200),
    "leave_alone_until": Field("date"),
    "leave_alone_why": Field("text", longest=200),
    "count_primary": Field("count"),
    "count_secondary": Field("count"),
    "count_fine": Field("count"),
    "count_branches_total": Field("count"),
    "count_cut_sites": Field("count"),
    "count_shoots": Field("count"),
    "count_candles": Field("count"),
    "note": Field("text", many=True, longest=20000),
}
PEOPLE: Mapping[str, Field] = {
    "name": Field("text", longest=80),
    "first_name": Field("text", longest=40),
    "last_name": Field("text", longest=40),
    "email": Field("email", by_value=True),
    "telephone": Field("phone", by_value=True, longest=40),
    "role": Field("role", by_value=True),
    "active_from": Field("past_date"),
    "active_to": Field("date"),
    "wants_mail": Field("yes_no"),
    "skills": Field("skills", by_value=True),
    "can_lift": Field("yes_no"),
    "power_tools": Field("yes_no"),
    "sprays": Field("yes_no"),
    "first_aid": Field("yes_no"),
    "wants_bends": Field("yes_no"),
    **{f"skill_{family}": Field("level") for family in FAMILIES},
}
OFFERS: Mapping[str, Field] = {
    "member": Field("text", needed=True),
    "date": Field("date", by_value=True),
    "weekday": Field("weekday", by_value=True),
    "arrives": Field("time"),
    "leaves": Field("time"),
    "answer": Field("answer"),
    "minutes": Field("hours", usual=(30, 600), most=900),
    "every_weeks": Field("count"),
    "starts": Field("date"),
    "ends": Field("date"),
}

KINDS: Mapping[str, Mapping[str, Field]] = {"trees": TREES, "people": PEOPLE, "offers": OFFERS}
TABLES: Mapping[str, Mapping[str, float]] = {
    "length": MM_PER,
    "mass": KG_PER,
    "volume": LITRES_PER,
    "hours": MINUTES_PER,
}
