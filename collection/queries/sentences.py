"""The one place where reasons become sentences.

Page, mail, print, command and API all call ``say``. Each code has one function that takes the
reason's values and returns a finished sentence, translatable, at most twenty words.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from collection.craft.reasons import Reason
from collection.craft.tasks import SPRAYED
from collection.queries.api_sentences import API_SENTENCES
from collection.queries.bend_sentences import BEND_SENTENCES
from collection.queries.club_sentences import CLUB_SENTENCES
from collection.queries.craft_sentences import CRAFT_SENTENCES
from collection.queries.day_sentences import DAY_SENTENCES
from collection.queries.gear_sentences import GEAR_SENTENCES
from collection.queries.helper_sentences import HELPER_SENTENCES
from collection.queries.import_sentences import IMPORT_SENTENCES
from collection.queries.keeping_sentences import KEEPING_SENTENCES
from collection.queries.people_sentences import PEOPLE_SENTENCES
from collection.queries.refusal_sentences import REFUSAL_SENTENCES
from collection.queries.register_sentences import REGISTER_SENTENCES
from collection.queries.reminder_sentences import REMINDER_SENTENCES
from collection.queries.speech import clock, day, listed
from collection.queries.task_words import work

Values = Mapping[str, Any]
Sentence = Callable[[Values], str]


def say(reason: Reason) -> str:
    """The sentence for a reason.

    Raises:
        KeyError: If the code has no sentence; a test finds such codes before a reader does.
    """
    return SENTENCES[reason.code](reason.values)


SENTENCES: dict[str, Sentence] = {}

# --- season and rules -------------------------------------------------------------------------


def _then(values: Values) -> dict[str, Any]:
    """The reason's values with tasks and days in words."""
    words = dict(values)
    for name in ("task", "first", "other", "after"):
        if name in values:
            words[name] = work(values[name])
    for name, value in values.items():
        if isinstance(value, date):
            words[name] = day(value)
    return words


def _stress_budget(values: Values) -> str:
    if values["majors"] > values["majors_limit"] and values["points"] <= values["limit"]:
        return _("This would be hard job number %(majors)d in a year. It may have %(majors_limit)d.") % values
    return _("This year's hard work would count %(points)d on this tree. It may have %(limit)d.") % values


SENTENCES |= {
    "answered_weakly": lambda v: (
        _("It grew back weakly after the last candle cutting. Wait until %(until)s.") % _then(v)
    ),
    "dusk_too_soon": lambda v: _("Lime sulphur needs %(hours)d hours of daylight left.") % v,
    "fed_too_briefly": lambda v: _("It has had feed only since %(since)s. Wait until %(until)s.") % _then(v),
    "feed_still_on": lambda v: _("The feed is still on. Take it off before the candles are cut.") % v,
    "feeds_missing": lambda v: (
        _("It had %(fed)d feeds this spring. It needs %(wanted)d before the candles are cut.") % v
    ),
    "first_comes_later": lambda v: (
        _("First comes %(first)s, planned for %(planned)s. Then %(task)s, from %(until)s.") % _then(v)
    ),
    "first_pass_missing": lambda v: _("The first pass of candle cutting is not on record this season.") % v,
    "flowers_long_over": lambda v: (
        _("Flowers were over on %(seen)s, more than %(days)d days ago. A cut now costs next year's buds.")
        % _then(v)
    ),
    "hard_frost_after_bend": lambda v: (
        _("Hard frost is forecast: %(lowest)d °C. Fresh bends and wire can die back; give it shelter.") % v
    ),
    "leaves_not_seen_hard": lambda v: (
        _("Nobody has noted that the leaves are dark and stiff. Look first.") % v
    ),
    "never_on_collected": lambda v: _("A tree from the wild has no candles cut.") % v,
    "not_decandled_this_season": lambda v: (
        _("The candles were last cut on %(done)s, not this season. There are no new buds to thin.") % _then(v)
    ),
    "rain_too_soon": lambda v: _("Lime sulphur needs %(hours)d dry hours. Rain comes sooner.") % v,
    "rest_meets_plan": lambda v: (
        _("It then rests %(days)d days, and %(other)s is planned for %(other_on)s.") % _then(v)
    ),
    "rests_after_wire": lambda v: (
        _("It rests after the fine wiring of %(done)s. No cutting until %(until)s.") % _then(v)
    ),
    "roots_uncovered": lambda v: _("Cover the soil before lime sulphur is used.") % v,
    "same_season": lambda v: (
        _("This does not go with %(other)s of %(other_on)s in one season. Wait until %(until)s.") % _then(v)
    ),
    "spring_growth_soft": lambda v: _("Spring growth is soft and breaks. Wait until %(until)s.") % _then(v),
    "still_in_flower": lambda v: (
        _("It was in flower on %(seen)s. Wait until somebody notes that flowers are over.") % _then(v)
    ),
    "stress_budget": _stress_budget,
    "too_long_after": lambda v: (
        _("This follows %(first)s within %(days)d days. That was on %(done)s.") % _then(v)
    ),
    "too_near": lambda v: (
        _("This is too near to %(other)s on %(other_on)s. Wait until %(until)s.") % _then(v)
    ),
    "too_soon_after": lambda v: (
        _("This is too soon after %(first)s of %(done)s. Wait until %(until)s.") % _then(v)
    ),
    "tree_is_weak": lambda v: _("The tree is weak. It gets water, light and pest care only.") % v,
    "tree_rests": lambda v: _("It rests until %(until)s, after %(after)s of %(since)s.") % _then(v),
    "weak_not_cut": lambda v: _("A weak tree is not cut until one flush of growth has hardened.") % v,
    "wire_still_on": lambda v: _("Wire from %(since)s is still on. Take it off first.") % _then(v),
}

# --- labour -----------------------------------------------------------------------------------

KIND_NAMES: dict[str, Callable[[], str]] = {
    "bend_mm": lambda: _("thickness at the bend"),
    "candles": lambda: _("candles"),
    "cut_sites": lambda: _("cut sites"),
    "cuts_medium": lambda: _("cuts"),
    "deadwood_cm2": lambda: _("deadwood"),
    "fine": lambda: _("fine branches"),
    "flowers": lambda: _("flowers"),
    "guys": lambda: _("guy wires"),
    "layers": lambda: _("layers"),
    "leaves": lambda: _("leaves"),
    "pot_litres": lambda: _("pot size"),
    "primary": lambda: _("main branches"),
    "scions": lambda: _("scions"),
    "secondary": lambda: _("side branches"),
    "shoots": lambda: _("shoots"),
    "wire_thick_m": lambda: _("thick wire"),
    "wire_thin_m": lambda: _("thin wire"),
    "wrap_cm": lambda: _("length of wrap"),
}


def _kinds(values: Values) -> str:
    return listed([KIND_NAMES[kind]() for kind in values["kinds"]])


def _hours(minutes: float) -> str:
    return f"{minutes / 60:.1f}"


def _crew_mass(values: Values) -> str:
    text = (
        _("The tree and pot weigh about %(mass_kg).0f kg by our guess, so %(people)d people lift it.")
        if values["guessed"]
        else _("The tree and pot weigh %(mass_kg).0f kg, so %(people)d people lift it.")
    )
    return text % values


def _lifting_aid(values: Values) -> str:
    text = (
        _("At %(mass_kg).0f kg this tree must be moved with a trolley or hoist.")
        if values["must"]
        else _("At %(mass_kg).0f kg this tree needs three people, or a trolley or hoist.")
    )
    return text % values


def _two_sides(text: str, values: Values) -> str:
    return text % {"branches": _hours(values["branches_min"]), "metres": _hours(values["metres_min"])}


SENTENCES |= {
    "crew_bend": lambda v: (
        _("The branch is %(diameter_mm).0f mm thick; from %(limit_mm).0f mm this takes %(people)d people.")
        % v
    ),
    "crew_carving": lambda v: _("Carving with power tools needs a second person to watch."),
    "crew_mass": _crew_mass,
    "crew_novice_primary": lambda v: _("A novice wiring big branches needs an expert beside them."),
    "crew_steps": lambda v: _("Work on steps or a ladder needs a second person."),
    "crew_table": lambda v: _("Work of this size takes %(people)d people.") % v,
    "crew_tool": lambda v: _("A lever, jack or clamp under load needs a second person."),
    "crew_trunk": lambda v: _("Bending a trunk of %(diameter_mm).0f mm takes %(people)d people.") % v,
    "crew_wire": lambda v: (
        _("Wire of %(wire_mm).1f mm is stiff: one person holds the trunk still while another lays it.") % v
    ),
    "labour_bench_lift": lambda v: (
        _("It weighs %(mass_kg).0f kg: two people carry it to the bench and back.") % v
    ),
    "labour_carries_over": lambda v: (
        _("This takes about %(sittings)d sittings, so leave a handover note.") % v
    ),
    "labour_conditions_capped": lambda v: (
        _("The conditions would multiply the time by %(product).2f; we stop at %(cap).1f (assumption).") % v
    ),
    "labour_default_counts": lambda v: (
        _("Nobody has given a figure for %(kinds)s, so we used a usual one (assumption).")
        % {"kinds": _kinds(v)}
    ),
    "labour_lifting_aid": _lifting_aid,
    "labour_mass_guessed": lambda v: (
        _("Nobody has weighed this tree. We guess %(mass_kg).0f kg from its pot or height (assumption).") % v
    ),
    "labour_metres_only": lambda v: _("Nobody counted branches, so the time comes from metres of wire."),
    "labour_recount": lambda v: _two_sides(
        _("Branches say %(branches)s hours, wire says %(metres)s. That is far apart: count again."), v
    ),
    "labour_split_total": lambda v: (
        _("We shared %(branches)d branches out by size, as on a usual tree of this stage (assumption).") % v
    ),
    "labour_two_sides": lambda v: _two_sides(
        _("Branches say %(branches)s hours, wire says %(metres)s. We use both."), v
    ),
    "labour_watering_not_counted": lambda v: _("Daily watering is not counted in the season's hours."),
    "labour_wire_elsewhere": lambda v: (
        _("The %(kinds)s belongs to the other wiring job and is not counted here.") % {"kinds": _kinds(v)}
    ),
}

# --- workday ----------------------------------------------------------------------------------

FAMILY_NAMES: dict[str, Callable[[], str]] = {
    "bending": lambda: _("heavy bends"),
    "candles_needles": lambda: _("candles and needles"),
    "deadwood": lambda: _("deadwood"),
    "grafting": lambda: _("grafting"),
    "moving": lambda: _("moving trees"),
    "plant_health": lambda: _("pests and sprays"),
    "pruning": lambda: _("structure pruning"),
    "repotting": lambda: _("repotting"),
    "show_record": lambda: _("shows and records"),
    "trimming": lambda: _("trimming"),
    "water_feed": lambda: _("water and feed"),
    "wiring": lambda: _("wiring"),
}
LEVEL_NAMES: dict[str, Callable[[], str]] = {
    "expert": lambda: _("an expert"),
    "learning": lambda: _("at least learning"),
    "novice": lambda: _("a novice or more"),
    "practised": lambda: _("practised"),
}


def spell(minutes: int) -> str:
    """A length of time as people say it: 90 is "1 h 30", 45 is "45 min", 120 is "2 h"."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return _("%(min)d min") % {"min": rest}
    return _("%(hours)d h %(min)02d") % {"hours": hours, "min": rest} if rest else _("%(h)d h") % {"h": hours}


def _some(names: tuple[str, ...], most: int = 4) -> str:
    """Names as in speech; of a long list the first few and how many more."""
    if len(names) <= most:
        return listed(names)
    return _("%(names)s and %(count)d more") % {
        "names": ", ".join(names[: most - 1]),
        "count": len(names) - most + 1,
    }


def _planned(values: Values) -> dict[str, Any]:
    """The reason's values with people, tasks, lengths and times of the clock in words."""
    words = _then(values)
    for name, value in values.items():
        if name == "people":
            words[name] = _some(value)
        elif name.endswith("_clock_min") and value is not None:
            words[name] = clock(value)
        elif name == "minutes" or name.endswith("_min"):
            words[name] = spell(value) if value is not None else ""
    if "family" in values:
        words["family"] = FAMILY_NAMES[values["family"]]()
    if "level" in values:
        words["level"] = LEVEL_NAMES[values["level"]]()
    return words


def _pin_cannot_be_kept(values: Values) -> str:
    if values["start_clock_min"] is None:
        text = _("You chose %(people)s, and this plan has no way to do it with them.")
    elif values["people"]:
        text = _("You chose %(people)s at %(start_clock_min)s, and this plan has no way to do that.")
    else:
        text = _("You chose %(start_clock_min)s, and this plan has no way to do it then.")
    return text % _planned(values)


def _no_one_free_for(values: Values) -> str:
    text = _("%(people)s could do it but are not free for this.")
    if values["task"] in SPRAYED:
        text = _("Nobody who comes has said yes to training for sprays. Ask %(people)s.")
    return text % _planned(values)


SENTENCES |= {
    "day_full": lambda v: (
        _(
            "Needs %(minutes)s. Too little time left: %(people)s. "
            "Most: %(most_free)s, %(longest_min)s from %(from_clock_min)s."
        )
        % _planned(v)
    ),
    "held_limit": lambda v: (
        _("It holds for %(minutes)s, and %(people)s may not hold above %(limit_min)s in a day.") % _planned(v)
    ),
    "left_out": lambda v: _("You left this job out of the day."),
    "needs_practised_beside": lambda v: (
        _("Novices need somebody practised in %(family)s beside them, and nobody is.") % _planned(v)
    ),
    "no_lead": lambda v: (
        _("Nobody has leave to lead this: %(people)s may not lead in %(family)s.") % _planned(v)
    ),
    "no_one_free_for": _no_one_free_for,
    "no_one_to_hold": lambda v: (
        _("Someone must hold or lift, and %(people)s are not free for this.") % _planned(v)
    ),
    "no_one_with_skill": lambda v: _("Nobody who comes is %(level)s in %(family)s.") % _planned(v),
    "no_two_free_together": lambda v: (
        _("Needs %(crew)d people for %(minutes)s at once. The most is %(longest_min)s, for %(people)s.")
        % _planned(v)
    ),
    "not_there_together": lambda v: (
        _("It needs a team for %(minutes)s. %(people)s are there together longest: %(longest_min)s.")
        % _planned(v)
    ),
    "order_too_late": lambda v: (
        _("First comes %(after)s, until %(ends_clock_min)s. Then nobody has the %(minutes)s it needs.")
        % _planned(v)
    ),
    "pin_cannot_be_kept": _pin_cannot_be_kept,
    "too_few_hands": lambda v: (
        _("It takes %(crew)d people. Of those who come, only %(people)s can do it.") % _planned(v)
    ),
    "too_long": lambda v: (
        _("It takes %(minutes)s in one go. %(people)s have %(longest_min)s at most.") % _planned(v)
    ),
    "tree_busy": lambda v: (
        _("The tree is worked on from %(from_clock_min)s to %(to_clock_min)s. This needs %(minutes)s.")
        % _planned(v)
    ),
    "tree_not_here": lambda v: _("The tree is not where the day is held."),
    "waits_for_job": lambda v: (
        _("It waits for %(after)s on the same tree, which is not finished that day.") % _planned(v)
    ),
}

# --- other areas, a module each ---------------------------------------------------------------

for more in (
    BEND_SENTENCES,
    CLUB_SENTENCES,
    CRAFT_SENTENCES,
    DAY_SENTENCES,
    API_SENTENCES,
    GEAR_SENTENCES,
    HELPER_SENTENCES,
    IMPORT_SENTENCES,
    KEEPING_SENTENCES,
    PEOPLE_SENTENCES,
    REFUSAL_SENTENCES,
    REGISTER_SENTENCES,
    REMINDER_SENTENCES,
):
    SENTENCES |= more
