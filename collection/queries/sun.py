"""The sun on a workday: when it rises and sets at the club's place, and whether the hours run past it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from collection.craft.sun import SunDay, sun_on
from collection.models import Club
from collection.queries.labels import length
from collection.queries.speech import clock

# A turn of the earth by an hour, degrees.
DEGREES_AN_HOUR = 15.0
# A club at longitude 0 whose clock is further from Greenwich than this has not said where it is.
NEAR_GREENWICH_H = 2.0


@dataclass(frozen=True, slots=True)
class DaySun:
    """The sun on the day of a workday.

    Attributes:
        rises, sets: Wall times of the club; None where the sun does not.
        length_min: Minutes of daylight.
        said: When it rises and sets, in words.
        warnings: Sentences about hours without the sun; none where the day lies inside them.
        guessed: The club has not said its longitude; the middle of its time zone stands in.
    """

    rises: time | None
    sets: time | None
    length_min: float
    said: str
    warnings: tuple[str, ...]
    guessed: bool


def sun_of(club: Club, on: date, opens_min: int, closes_min: int) -> DaySun:
    """The sun of a workday at the club's place.

    Args:
        opens_min, closes_min: Wall times in minutes since midnight.
    """
    longitude, guessed = _longitude(club, on)
    exact = sun_on(club.latitude, longitude, on, club.zone)
    sun = replace(exact, rises=_to_the_minute(exact.rises), sets=_to_the_minute(exact.sets))
    return DaySun(
        sun.rises.time() if sun.rises else None,
        sun.sets.time() if sun.sets else None,
        sun.length_min,
        _said(sun, guessed=guessed),
        _warnings(sun, on, opens_min, closes_min),
        guessed,
    )


def _longitude(club: Club, on: date) -> tuple[float, bool]:
    offset = datetime.combine(on, time(12), ZoneInfo(club.zone)).utcoffset()
    hours = offset.total_seconds() / 3600 if offset else 0.0
    if club.longitude or abs(hours) <= NEAR_GREENWICH_H:
        return club.longitude, False
    return (hours * DEGREES_AN_HOUR + 180) % 360 - 180, True


def _said(sun: SunDay, *, guessed: bool) -> str:
    if sun.rises is None and sun.sets is None:
        return _("the sun stays up all day") if sun.length_min else _("the sun does not rise")
    parts = []
    about = _("about ") if guessed else ""
    if sun.rises:
        parts.append(_("rises %(about)s%(at)s") % {"about": about, "at": clock(_minutes(sun.rises))})
    if sun.sets:
        parts.append(_("sets %(about)s%(at)s") % {"about": about, "at": clock(_minutes(sun.sets))})
    said = _("%(times)s, %(length)s of daylight") % {
        "times": ", ".join(parts),
        "length": length(sun.length_min),
    }
    return said + (_(", by the time zone alone") if guessed else "")


def _warnings(sun: SunDay, on: date, opens_min: int, closes_min: int) -> tuple[str, ...]:
    if sun.rises is None and sun.sets is None:
        return () if sun.length_min else (_("The sun does not rise on this day. Work only under lamps."),)
    found = []
    if sun.rises and opens_min < _minutes(sun.rises):
        found.append(
            _("The day begins before sunrise at %(at)s. Start later, or bring lamps.")
            % {"at": clock(_minutes(sun.rises))}
        )
    if sun.sets and sun.sets.date() == on and closes_min > _minutes(sun.sets):
        found.append(
            _("The day ends after sunset at %(at)s. End earlier, or bring lamps.")
            % {"at": clock(_minutes(sun.sets))}
        )
    return tuple(found)


def _to_the_minute(at: datetime | None) -> datetime | None:
    return (at + timedelta(seconds=30)).replace(second=0, microsecond=0) if at else None


def _minutes(at: datetime) -> int:
    return at.hour * 60 + at.minute
