"""When the sun rises and sets: the one module that knows the library for it."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from astral import Observer, SunDirection
from astral import sun as library

# The upper limb on the horizon: 34 minutes of arc of refraction and 16 of the sun's radius.
LIMB_DEG = -0.8333
# The library adds the refraction itself.
ZENITH_DEG = 90 + library.SUN_APPARENT_RADIUS
# At the very pole there is no noon; a tenth of a degree beside it there is.
NEAREST_POLE_DEG = 89.9
WHOLE_DAY_MIN = 1440.0


@dataclass(frozen=True, slots=True)
class SunDay:
    """The sun on one local day.

    Attributes:
        rises, sets: Local times; None where it does not on that day.
        length_min: Minutes from one to the other; 1440 in the polar day, 0 in the polar night.
    """

    rises: datetime | None
    sets: datetime | None
    length_min: float


def sun_on(latitude: float, longitude: float, on: date, zone: str) -> SunDay:
    """Sunrise, sunset and day length at a place on a local date.

    Args:
        latitude: Degrees, south below 0.
        longitude: Degrees, west below 0.
        on: Date in the zone.
        zone: Name of the time zone, such as "Europe/London".

    Raises:
        ValueError: If a degree is out of range or the zone unknown; never for where or when the sun stays.

    Source: the library's solar position (NOAA's equations, after Meeus, *Astronomical Algorithms*).
    """
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        raise ValueError(
            f"latitude runs from -90 to 90 and longitude from -180 to 180: {latitude}, {longitude}"
        )
    try:
        local = ZoneInfo(zone)
    except (KeyError, ValueError, OSError) as error:
        raise ValueError(f"no time zone called {zone!r}") from error
    place = Observer(max(-NEAREST_POLE_DEG, min(NEAREST_POLE_DEG, latitude)), longitude, 0)
    rises = next(
        (at for at in _times(SunDirection.RISING, place, on) if at.astimezone(local).date() == on),
        None,
    )
    starts, ends = (
        datetime.combine(day, time(), local).astimezone(UTC) for day in (on, on + timedelta(days=1))
    )
    after = rises or starts
    sets = next(
        (at for at in _times(SunDirection.SETTING, place, on) if after < at <= after + timedelta(days=1)),
        None,
    )
    if rises is None and sets is None:
        return SunDay(None, None, WHOLE_DAY_MIN if _up_at_noon(place, on) else 0.0)
    length = (sets or ends) - after
    return SunDay(
        rises.astimezone(local) if rises else None,
        sets.astimezone(local) if sets else None,
        length.total_seconds() / 60,
    )


def _times(direction: SunDirection, place: Observer, on: date) -> list[datetime]:
    """The sun's times about a date, UTC, in order.

    The library's own sunrise names days by a clock and refuses one where the time moves over midnight, so
    its crossing of the horizon is asked for, on the neighbouring dates too.
    """
    found = []
    for days in (-2, -1, 0, 1):
        with suppress(ValueError):  # the sun stays up or down
            found.append(library.time_of_transit(place, on + timedelta(days=days), ZENITH_DEG, direction))
    found.sort()
    # Where the time moves over midnight in Greenwich the library puts one crossing a whole day on.
    lost = [a + (b - a) / 2 for a, b in pairwise(found) if timedelta(hours=36) < b - a < timedelta(hours=60)]
    return sorted([*found, *lost])


def _up_at_noon(place: Observer, on: date) -> bool:
    noon = library.noon(place, date=on, tzinfo=UTC)
    return library.elevation(place, noon, with_refraction=False) > LIMB_DEG
