"""A club's own facts: name, place, frost, corrections, units, and choices where sources disagree."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from datetime import date
from typing import Any

from django.db import transaction

from collection.craft.season import ANCHORS, WEEKS_MOST
from collection.models import Club
from collection.queries.access import Actor, club_of, must_plan
from collection.queries.errors import Refused
from collection.queries.mail_times import mail_times
from collection.queries.programme import CHOICES
from collection.usecases.clubs import check_zone
from collection.usecases.edit import edit
from collection.usecases.season_asked import ask_again

# What moves windows when it changes.
MOVING = frozenset({"latitude", "last_frost", "first_frost", "weeks_later"})
CHANGEABLE = MOVING | {"name", "zone", "longitude", "altitude_m", "inches", "settings", "mails"}
RANGES = {"latitude": (-90.0, 90.0), "longitude": (-180.0, 180.0), "altitude_m": (-450.0, 6000.0)}
LONGEST_NAME = 120


def change_club(*, actor: Actor, version: int, changes: Mapping[str, Any]) -> bool:
    """Change facts of the actor's club; True when windows may move, so that the season is asked for again.

    Args:
        actor: A coordinator or club admin.
        version: The club's version as it was read.
        changes: Some of name, zone, latitude and longitude (degrees), altitude_m, last_frost and
            first_frost ("MM-DD", "" for never), weeks_later (whole weeks by anchor), inches, settings
            (yes or no by choice, see ``queries.programme.CHOICES``), mails (some of the values of
            ``queries.mail_times.MailTimes``).

    Raises:
        Refused: ``coordinators_only``, ``club_name_missing``, ``club_name_taken``, ``club_range``,
            ``zone_unknown``, ``month_day``, ``weeks_later_range``, ``mail_hour``,
            ``mails_a_week``, ``quiet_weeks`` or ``stale``.
    """
    must_plan(actor)
    if unknown := set(changes) - CHANGEABLE:
        raise ValueError(f"a club has no {', '.join(sorted(unknown))} to change")
    club = club_of(actor)
    wanted = _checked(club, changes)
    before = {name: getattr(club, name) for name in wanted}
    with transaction.atomic():
        edit(club, version, wanted, actor)
        moved = any(getattr(club, name) != before[name] for name in wanted if name in MOVING)
        if moved:
            ask_again(club.pk)
    return moved


def _checked(club: Club, changes: Mapping[str, Any]) -> dict[str, Any]:
    wanted = dict(changes)
    if "name" in wanted:
        wanted["name"] = _name(club, str(wanted["name"]))
    if "zone" in wanted:
        check_zone(wanted["zone"])
    for name, (low, high) in RANGES.items():
        if name in wanted and not low <= float(wanted[name]) <= high:
            raise Refused("club_range", field=name, low=low, high=high)
    for name in ("last_frost", "first_frost"):
        if wanted.get(name):
            _check_month_day(name, str(wanted[name]))
    if "weeks_later" in wanted:
        wanted["weeks_later"] = _weeks(wanted["weeks_later"])
    if "settings" in wanted:
        wanted["settings"] = _settings(club, wanted["settings"])
    if mails := wanted.pop("mails", None):
        wanted["settings"] = wanted.get("settings", club.settings) | _mails(club, mails)
    return wanted


def _name(club: Club, text: str) -> str:
    name = " ".join(text.split())
    if not name or len(name) > LONGEST_NAME:
        raise Refused("club_name_missing", field="name", most=LONGEST_NAME)
    if Club.objects.filter(name__iexact=name).exclude(pk=club.pk).exists():
        raise Refused("club_name_taken", kind="conflict", field="name", name=name)
    return name


def _check_month_day(name: str, text: str) -> None:
    try:
        date.fromisoformat(f"2027-{text}")
    except ValueError:
        raise Refused("month_day", field=name, text=text) from None


def _weeks(given: Mapping[str, Any]) -> dict[str, int]:
    weeks = {anchor: int(count) for anchor, count in given.items() if int(count)}
    if set(weeks) - set(ANCHORS) or any(abs(count) > WEEKS_MOST for count in weeks.values()):
        raise Refused("weeks_later_range", field="weeks_later", most=WEEKS_MOST)
    return weeks


def _settings(club: Club, given: Mapping[str, Any]) -> dict[str, Any]:
    """The club's settings with the choices put in; what else is kept there stays."""
    if unknown := set(given) - set(CHOICES):
        raise ValueError(f"no such choice: {', '.join(sorted(unknown))}")
    return {**club.settings, **{name: bool(answer) for name, answer in given.items()}}


def _mails(club: Club, given: Mapping[str, Any]) -> dict[str, Any]:
    """When round-ups go out, as it is kept; what is not given stays."""
    times = asdict(mail_times(club)) | dict(given)
    if not 0 <= times["hour"] <= 23:
        raise Refused("mail_hour", field="hour")
    if not 1 <= times["most_a_week"] <= 7:
        raise Refused("mails_a_week", field="most_a_week")
    kept: dict[str, Any] = {"mail_hour": times["hour"], "mails_a_week": times["most_a_week"]}
    if times["quiet"] == "own":
        weeks = [times["quiet_from"], times["quiet_to"]]
        if not all(weeks):
            raise Refused("quiet_weeks", field="quiet_from")
        for name in ("quiet_from", "quiet_to"):
            _check_month_day(name, str(times[name]))
        return kept | {"quiet_weeks": weeks}
    return kept | {"quiet_weeks": [] if times["quiet"] == "none" else None}
