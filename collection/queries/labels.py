"""Names of tasks, quantities and stages as people read them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from collection.craft.reference import groups, tasks

DAY_STATES = {
    "draft": "Draft",
    "open": "Open for offers",
    "sent": "The plan is out",
    "held": "Held",
    "cancelled": "Cancelled",
}
STAGE_NAMES = {"R": "Raw", "B": "Building", "F": "Refining", "S": "Show"}
# Short headings for the tasks; the catalogue's own words describe, these name.
TASK_NAMES = {
    "WATER": "Watering",
    "FEED_START": "Start feeding",
    "FEED_STOP": "Stop feeding",
    "CANDLE_BREAK": "Breaking candles",
    "DECANDLE": "Decandling",
    "CANDLE_PINCH": "Shortening candles",
    "BUD_SELECT": "Bud thinning",
    "NEEDLE_PLUCK": "Needle plucking",
    "PINCH": "Pinching",
    "TRIM": "Trimming",
    "PRUNE_STRUCT": "Structural pruning",
    "DEFOL_PART": "Partial defoliation",
    "DEFOL_FULL": "Full defoliation",
    "DEADHEAD": "Deadheading",
    "FLOWER_THIN": "Thinning flowers",
    "WIRE_DETAIL": "Detail wiring",
    "WIRE_STRUCT": "Structural wiring",
    "WIRE_CHECK": "Looking at wire",
    "WIRE_OFF": "Wire off",
    "GUY": "Guy wire",
    "HEAVY_BEND": "Heavy bend",
    "REPOT": "Repotting",
    "UP_POT": "Potting up",
    "DEADWOOD": "Deadwood",
    "LIME": "Lime sulphur",
    "GRAFT": "Grafting",
    "LAYER": "Air layering",
    "PEST": "Pest look-over",
    "SPRAY": "Spraying",
    "TURN": "Turning",
    "PROTECT": "Shelter and shade",
    "SHOW_PREP": "Show preparation",
    "RECORD": "Stocktake",
    "LOOK_OVER": "Look-over",
}
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
LEVEL_NAMES = {
    "novice": "novice",
    "learning": "learning",
    "practised": "practised",
    "expert": "expert",
}
KIND_NAMES = {
    "primary": ("main branch", "main branches"),
    "secondary": ("side branch", "side branches"),
    "fine": ("fine branch", "fine branches"),
    "cut_sites": ("cut site", "cut sites"),
    "candles": ("candle", "candles"),
    "shoots": ("shoot", "shoots"),
    "cuts_small": ("cut under 5 mm", "cuts under 5 mm"),
    "cuts_medium": ("cut of 5 to 15 mm", "cuts of 5 to 15 mm"),
    "cuts_large": ("cut over 15 mm", "cuts over 15 mm"),
    "leaves": ("leaf", "leaves"),
    "flowers": ("flower", "flowers"),
    "wire_thick_m": ("metre of thick wire", "metres of thick wire"),
    "wire_thin_m": ("metre of thin wire", "metres of thin wire"),
    "guys": ("guy wire", "guy wires"),
    "wrap_cm": ("cm of wrap", "cm of wrap"),
    "bends": ("bend", "bends"),
    "bend_mm": ("mm at the bend", "mm at the bend"),
    "pots": ("pot", "pots"),
    "deadwood_cm2": ("cm2 of deadwood", "cm2 of deadwood"),
    "scions": ("scion", "scions"),
    "grafts_thread": ("thread graft", "thread grafts"),
    "layers": ("air layer", "air layers"),
    "trees": ("tree", "trees"),
    "branches_total": ("branch", "branches"),
    "primary_mm": ("usual thickness of main branches", "usual thickness of main branches"),
    "secondary_mm": ("usual thickness of side branches", "usual thickness of side branches"),
    "fine_mm": ("usual thickness of fine branches", "usual thickness of fine branches"),
    "primary_wired": ("main branches wired", "main branches wired"),
    "secondary_wired": ("side branches wired", "side branches wired"),
    "fine_wired": ("fine branches wired", "fine branches wired"),
}
SETUP_NAMES = {
    "bench": "Set up the bench, fetch the tree",
    "clean_down": "Clean down, tree back, water",
    "disinfect": "Disinfect the kit",
    "record": "Write it up, take a photo",
    "briefing": "Talk it through",
    "mix": "Sieve and mix the soil",
    "spray_batch": "Mix and load the sprayer",
    "lift": "Lift and turn the tree",
}
ORIGIN_NAMES = {
    "counted": "counted",
    "typed": "typed in",
    "default": "nobody has counted: a usual number",
    "last_year": "an older count",
    "split": "split from a bare total",
}


def task_name(code: str) -> str:
    """A task's name for a heading."""
    return TASK_NAMES.get(code) or tasks()[code].name.capitalize()


def group_name(code: str) -> str:
    """A species group's name, with a capital."""
    name = groups()[code].name
    return name[:1].upper() + name[1:]


def kind_name(kind: str, amount: float) -> str:
    """A counted thing in the right number: "12 side branches"."""
    one, many = KIND_NAMES.get(kind, (kind.replace("_", " "), kind.replace("_", " ")))
    shown = f"{amount:.1f}".rstrip("0").rstrip(".")
    return f"{shown} {one if shown == '1' else many}"


def line_label(line: Mapping[str, Any]) -> str:
    """One stored line of a sum in words: "12 side branches, 5.3 min each"."""
    code = str(line["code"])
    if code.startswith("SETUP/"):
        name = SETUP_NAMES.get(code.removeprefix("SETUP/"), code)
        return f"{name}, {line['amount']:.0f} times" if line["amount"] > 1 and line["per"] == 1 else name
    per = (line["low_per"] + 4 * line["likely_per"] + line["high_per"]) / 6
    each = "each" if line["per"] == 1 else f"for {line['per']:.0f}"
    shown = f"{per:.1f}" if per >= 1 else f"{per:.2f}"
    extra = "" if abs(line["multiplier"] - 1) < 1e-9 else f", times {line['multiplier']:.2f}"
    return f"{kind_name(line['kind'], line['amount'])}, {shown} min {each}{extra}"


def line_trust(line: Mapping[str, Any]) -> str:
    """How far a line can be trusted: label of the pace, and where the amount comes from."""
    said = [str(line["label"])]
    if not str(line["code"]).startswith("SETUP/"):
        said.insert(0, ORIGIN_NAMES.get(str(line["origin"]), str(line["origin"])))
    if line.get("logs"):
        said.append(f"{line['logs']} logs")
    return ", ".join(said)


def day(value: date) -> str:
    """ "Saturday 28 November 2026"."""
    return f"{value:%A} {value.day} {value:%B} {value.year}"


def short_day(value: date) -> str:
    """ "Sat 28 Nov"."""
    return f"{value:%a} {value.day} {value:%b}"


def dated(value: date) -> str:
    """ "Sat 28 Nov 2026"."""
    return f"{short_day(value)} {value.year}"


def length(value: float) -> str:
    """Minutes as people say them: "1 h 30" or "55 min"."""
    whole = round(value)
    if whole < 60:
        return f"{whole} min"
    return f"{whole // 60} h {whole % 60:02d}" if whole % 60 else f"{whole // 60} h"


def counted(number: int, one: str, many: str) -> str:
    """A number and its noun: "1 tree", "4 trees"."""
    return f"{number} {one if number == 1 else many}"


WORDS = [
    "No",
    "One",
    "Two",
    "Three",
    "Four",
    "Five",
    "Six",
    "Seven",
    "Eight",
    "Nine",
    "Ten",
    "Eleven",
    "Twelve",
]


def in_words(number: int) -> str:
    """A small number as the first word of a sentence."""
    return WORDS[number] if number < len(WORDS) else str(number)


def hours_range(
    low: float, common: float, high: float, mean: float, cautious: float
) -> list[tuple[str, str]]:
    """Minutes as hours for a list of facts, from the lowest to the cautious figure."""
    rows = (
        ("Lowest", low),
        ("Most common", common),
        ("Highest", high),
        ("Mean, called likely", mean),
        ("Cautious", cautious),
    )
    return [(name, f"{minutes / 60:.1f} h") for name, minutes in rows]
