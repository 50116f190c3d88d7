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
from collection.queries.import_sentences import IMPORT_SENTENCES
from collection.queries.task_words import work

Values = Mapping[str, Any]
Sentence = Callable[[Values], str]


def day(value: date) -> str:
    """A day as people say it: "Saturday 28 November 2026"."""
    return f"{value:%A} {value.day} {value:%B} {value.year}"


def clock(minutes: int) -> str:
    """Minutes since midnight as a 24-hour time: 570 is "9:30"."""
    return f"{minutes // 60}:{minutes % 60:02d}"


def listed(names: list[str] | tuple[str, ...]) -> str:
    """Names joined as in speech: "Ana, Ben and Cleo"."""
    if not names:
        return _("nobody")
    if len(names) == 1:
        return str(names[0])
    return _("%(first)s and %(last)s") % {"first": ", ".join(names[:-1]), "last": names[-1]}


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
    return _("This would bring it to %(points)d stress points in a year. It may have %(limit)d.") % values


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
    "primary": lambda: _("primary branches"),
    "scions": lambda: _("scions"),
    "secondary": lambda: _("secondary branches"),
    "shoots": lambda: _("shoots"),
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
        _("At %(mass_kg).0f kg it takes two people to lift this tree to the bench.") % v
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
}

# --- workday ----------------------------------------------------------------------------------

# --- import -----------------------------------------------------------------------------------

SENTENCES |= IMPORT_SENTENCES
