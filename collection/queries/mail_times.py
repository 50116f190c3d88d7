"""When a club's mails go out: the hour of the day, the quiet weeks, until when an answer may change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from collection.models import Club, Workday

Quiet = Literal["usual", "none", "own"]

# Local hour of the round-up, and how many a person gets in seven days (assumptions).
MAIL_HOUR = 8
MOST_A_WEEK = 2
# Silence from December to mid-January, in the south half a year later (common practice, no source).
QUIET_NORTH = ("12-01", "01-15")
QUIET_SOUTH = ("06-01", "07-15")
# An answer from a mail may be changed until this hour of the evening before (assumption).
CUT_OFF_HOUR = 18
# What is nearer than this cannot wait for the next morning (assumption).
CANNOT_WAIT = timedelta(hours=48)


def mail_hour(club: Club) -> int:
    """The hour from which the day's round-up may go out; clubs choose, and nonsense means the usual one."""
    hour = club.settings.get("mail_hour", MAIL_HOUR)
    return hour if isinstance(hour, int) and 0 <= hour <= 23 else MAIL_HOUR


def most_a_week(club: Club) -> int:
    """How many round-ups a person gets in seven days, one at least; urgent news comes besides."""
    most = club.settings.get("mails_a_week", MOST_A_WEEK)
    return most if isinstance(most, int) and 1 <= most <= 7 else MOST_A_WEEK


@dataclass(frozen=True, slots=True)
class MailTimes:
    """When a club's round-ups go out; the quiet weeks are "MM-DD", both "" where there are none."""

    hour: int
    most_a_week: int
    quiet: Quiet
    quiet_from: str
    quiet_to: str


def mail_times(club: Club) -> MailTimes:
    """What the club chose, or the usual."""
    own = club.settings.get("quiet_weeks")
    quiet: Quiet = "usual" if own is None else "own" if own else "none"
    first, last = ((QUIET_SOUTH if club.latitude < 0 else QUIET_NORTH) if own is None else own) or ("", "")
    return MailTimes(mail_hour(club), most_a_week(club), quiet, first, last)


def is_quiet(club: Club, on: date) -> bool:
    """Whether the club is left in peace that day, save for what cannot wait."""
    times = mail_times(club)
    if times.quiet == "none":
        return False
    first, last = times.quiet_from, times.quiet_to
    day = f"{on:%m-%d}"
    return first <= day <= last if first <= last else day >= first or day <= last


def wall(on: date, at: time, zone: str) -> datetime:
    """A wall time in a zone as a UTC instant."""
    return datetime.combine(on, at, ZoneInfo(zone)).astimezone(UTC)


def midnight(on: date, zone: str) -> datetime:
    """The instant at which a local day begins."""
    return wall(on, time(0), zone)


def starts_at(day: Workday) -> datetime:
    """The instant a workday opens."""
    return wall(day.date, day.opens, day.zone)


def ends_at(day: Workday) -> datetime:
    """The instant a workday closes."""
    return wall(day.date, day.closes, day.zone)


def answers_until(day: Workday) -> datetime:
    """Until when an answer to a workday may be changed from a mail."""
    return wall(day.date - timedelta(days=1), time(CUT_OFF_HOUR), day.zone)
