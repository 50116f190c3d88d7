"""How the parts of a row read when two people changed it: what belongs together, in words and units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from django.utils.translation import gettext as _

from collection.craft.reference import tasks
from collection.models import ClubRow, Job, Offer, Site
from collection.queries.labels import (
    DAY_STATES,
    STAGE_NAMES,
    WEEKDAYS,
    dated,
    day,
    length,
    task_name,
)
from collection.queries.mail_times import MAIL_HOUR, MOST_A_WEEK
from collection.queries.speech import month_day, weeks_later

Values = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Part:
    """Columns that are one thing for a reader; ``along`` goes with them and is never shown."""

    label: str
    shown: tuple[str, ...]
    say: Callable[[Values], str]
    along: tuple[str, ...] = ()


def plainly(name: str, value: Any) -> str:
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, datetime):
        return f"{dated(value.date())} {value:%H:%M}"
    if isinstance(value, date):
        return dated(value)
    if isinstance(value, time):
        return f"{value.hour}:{value:%M}"
    unit = next((words for end, words in UNITS.items() if name.endswith(end)), "")
    return f"{round(value, 2):g}{unit}" if isinstance(value, (int, float)) else str(value)


def _window(v: Values) -> str:
    return _("%(opens)s to %(closes)s") % {"opens": dated(v["opens"]), "closes": dated(v["closes"])}


def _job_state(v: Values) -> str:
    state = str(Job.State(v["state"]).label).capitalize()
    return f"{state}: {v['reason']}" if v["reason"] else state


def _answer(v: Values) -> str:
    words = {"yes": _("Yes"), "perhaps": _("Perhaps"), "no": _("No")}[v["answer"]]
    if v["answer"] == "no" or not v["arrives"] or not v["leaves"]:
        return words
    hours = {"words": words, "arrives": plainly("", v["arrives"]), "leaves": plainly("", v["leaves"])}
    return _("%(words)s, %(arrives)s to %(leaves)s") % hours


def _own_dates(v: Values) -> str:
    values = v["values"]
    if {"opens", "closes"} <= set(values):
        return _("%(opens)s to %(closes)s") % {k: month_day(values[k]) for k in ("opens", "closes")}
    return ", ".join(f"{name} {text}" for name, text in sorted(values.items())) or _("as in the programme")


def _signed(v: Values) -> str:
    if not v["signed_on"] and v["refused_by_id"] and not v["released_by_id"]:
        return _("Refused: %(why)s") % {"why": v["refused_why"]}
    if not v["signed_on"]:
        return _("Released, not signed off") if v["released_by_id"] else _("Not signed off")
    return _("Signed off on %(day)s") % {"day": dated(v["signed_on"])}


def _breaks(v: Values) -> str:
    return ", ".join(f"{start} to {end}" for start, end in v["breaks"]) or _("none")


def _frost(name: str) -> Callable[[Values], str]:
    return lambda v: month_day(v[name]) if v[name] else _("it never freezes")


def _corrections(v: Values) -> str:
    found = [f"{anchor}: {weeks_later(int(weeks))}" for anchor, weeks in sorted(v["weeks_later"].items())]
    return ", ".join(found) or _("none")


def _chosen(v: Values) -> str:
    chosen = {"azalea_rests_after_repot": _("azaleas rest"), "long_season": _("long season")}
    return ", ".join(words for name, words in chosen.items() if v["settings"].get(name)) or _("none")


def _mail_times(v: Values) -> str:
    """The hour, how many a week and the quiet weeks."""
    settings = v["settings"]
    weeks = settings.get("quiet_weeks")
    quiet = _("as usual") if weeks is None else " to ".join(map(month_day, weeks)) or _("none")
    return _("from %(hour)s:00 on, %(most)s a week, quiet weeks: %(quiet)s") % {
        "hour": settings.get("mail_hour", MAIL_HOUR),
        "most": settings.get("mails_a_week", MOST_A_WEEK),
        "quiet": quiet,
    }


def _club_settings(v: Values) -> str:
    return _("%(chosen)s; mails %(mails)s") % {"chosen": _chosen(v), "mails": _mail_times(v)}


def _hours(v: Values) -> str:
    return _("%(opens)s to %(closes)s") % {k: plainly("", v[k]) for k in ("opens", "closes")}


PARTS: dict[str, tuple[Part, ...]] = {
    "club": (
        Part("Last frost", ("last_frost",), _frost("last_frost")),
        Part("First frost", ("first_frost",), _frost("first_frost")),
        Part("Earlier or later", ("weeks_later",), _corrections),
        Part("Where sources disagree, and mails", ("settings",), _club_settings),
    ),
    "job": (
        Part("Window", ("opens", "closes"), _window, ("moved_opens", "moved_closes", "edited")),
        Part("State", ("state", "reason"), _job_state, ("by_id", "ended_on", "edited")),
    ),
    "offer": (Part("Answer", ("answer", "arrives", "leaves"), _answer, ("by_id",)),),
    "clubrow": (
        Part("Window", ("values",), _own_dates, ("dropped", "by_id")),
        Part("Reason", ("why",), lambda v: str(v["why"] or _("nothing"))),
    ),
    "bend": (
        Part(
            "Sign-off",
            ("signed_by_id", "signed_on", "refused_by_id", "refused_why", "released_by_id"),
            _signed,
        ),
    ),
    "workday": (
        Part("Day", ("date",), lambda v: day(v["date"])),
        Part("Hours", ("opens", "closes"), _hours),
        Part("Where", ("site_id",), lambda v: str(Site.objects.get(pk=v["site_id"]))),
        Part("Break", ("breaks",), _breaks),
        Part("State", ("state",), lambda v: DAY_STATES[v["state"]], ("cancelled_why",)),
    ),
    "habit": (
        Part("Day of the week", ("weekday",), lambda v: WEEKDAYS[v["weekday"]]),
        Part("Hours", ("minutes",), lambda v: length(v["minutes"])),
    ),
    "tree": (Part("Stage", ("stage",), lambda v: STAGE_NAMES[v["stage"]]),),
}
LABELS = {
    "zone": "Time zone",
    "inches": "Inches",
    "altitude_m": "Height above the sea",
    "weeks_later": "Weeks later",
    "retired_at": "Retired",
    "mass_kg": "Weight",
    "mass_weighed": "Weighed",
    "height_mm": "Height",
    "spread_mm": "Spread",
    "trunk_mm": "Trunk",
    "pot_litres": "Pot",
    "site_id": "Where it stands",
    "brought_by_id": "Who brings it",
    "acquired_on": "Day it came",
    "opens": "Start",
    "closes": "End",
    "date": "Day",
    "lead_id": "Lead",
    "first_aider_id": "First aider",
    "bring": "What to bring",
    "briefing_min": "Briefing",
    "closing_min": "Closing",
    "most_people": "Most people",
    "least_people": "Least people",
    "active_to": "Last day in the club",
    "email": "E-mail",
    "active_from": "Member since",
    "role": "Part in the club",
    "wants_mail": "Mail wanted",
    "every_weeks": "Every how many weeks",
    "starts": "From",
    "ends": "Last day",
}
UNITS = {"_mm": " mm", "_kg": " kg", "_litres": " l", "_min": " min", "_m": " m", "_h": " h"}


def _job_words(job: Job) -> str:
    task = task_name(job.task).lower()
    return _("%(task)s on") % {"task": task} if job.round is None else f"{task}, {day(job.round.on)}"


def _programme_words(row: ClubRow) -> str:
    found = [task_name(piece) for piece in row.key.split("-") if piece in tasks()]
    return found[0].lower() if found else row.key


def _offer_words(offer: Offer) -> str:
    return _("%(who)s for %(day)s") % {"who": offer.member.name, "day": day(offer.workday.date)}


SUBJECTS: dict[str, Callable[[Any], str]] = {
    "tree": lambda row: "",
    "job": _job_words,
    "bend": lambda row: _("the bend on"),
    "branch": lambda row: _("branch %(label)s on") % {"label": row.label},
    "wire": lambda row: _("wire %(label)s on") % {"label": row.label},
    "guy": lambda row: _("guy wire %(label)s on") % {"label": row.label},
    "clubrow": _programme_words,
    "contact": lambda row: str(row.member),
    "habit": lambda row: str(row.member),
    "offer": _offer_words,
    "round": lambda row: f"{task_name(row.task).lower()}, {day(row.on)}",
    "wirestock": lambda row: f"{row.metal} {row.gauge_mm:g} mm",
    "workday": lambda row: day(row.date),
}
