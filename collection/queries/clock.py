"""The club's own time."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils import timezone


def local(instant: datetime, zone: str) -> datetime:
    """An instant as wall time in a zone."""
    return instant.astimezone(ZoneInfo(zone))


def today_in(zone: str) -> date:
    """The date it is now in a zone."""
    return local(timezone.now(), zone).date()
