"""A day of the year without its year, and how often something comes round."""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date, timedelta

YEAR_DAYS = 365
PLAIN_YEAR = 2023  # any year without 29 February


@dataclass(frozen=True, slots=True, order=True)
class MonthDay:
    """A day of a fixed year of 365 days.

    Raises:
        ValueError: If there is no such day in such a year (29 February included).
    """

    month: int
    day: int

    def __post_init__(self) -> None:
        if not 1 <= self.month <= 12 or not 1 <= self.day <= calendar.monthrange(PLAIN_YEAR, self.month)[1]:
            raise ValueError(f"there is no day {self.month:02d}-{self.day:02d} in a year of 365 days")

    @classmethod
    def parse(cls, text: str) -> MonthDay:
        """Read ``MM-DD``.

        Raises:
            ValueError: If the text is not a day of the year written month-day.
        """
        found = re.fullmatch(r"(\d\d)-(\d\d)", text)
        if not found:
            raise ValueError(f"write the day as month-day, such as 04-25; got {text!r}")
        return cls(int(found[1]), int(found[2]))

    @classmethod
    def of(cls, day: date) -> MonthDay:
        """The month and day of a date; 29 February counts as the 28th."""
        return cls(day.month, 28 if (day.month, day.day) == (2, 29) else day.day)

    @property
    def number(self) -> int:
        """Day of the year, 1 to 365."""
        return date(PLAIN_YEAR, self.month, self.day).timetuple().tm_yday

    def flipped(self) -> MonthDay:
        """The same day half a year on: month + 6, day cut to the length of the new month (assumption)."""
        month = (self.month + 5) % 12 + 1
        return MonthDay(month, min(self.day, calendar.monthrange(PLAIN_YEAR, month)[1]))

    def plus(self, days: int) -> MonthDay:
        """The day so many days on, round the year of 365 days."""
        return MonthDay.of(date(PLAIN_YEAR, 1, 1) + timedelta(days=(self.number - 1 + days) % YEAR_DAYS))

    def days_after(self, other: MonthDay) -> int:
        """Days from ``other`` to this day by the shorter way round, -182 to 182."""
        return (self.number - other.number + 182) % YEAR_DAYS - 182

    def __str__(self) -> str:
        return f"{self.month:02d}-{self.day:02d}"


@dataclass(frozen=True, slots=True)
class Repeat:
    """How often a row asks for its task.

    Attributes:
        kind: ``once`` (on demand), ``yearly``, ``years`` or ``days``.
        low: Smallest interval, in years or days; 0 for ``once``.
        high: Largest interval in the same unit.
    """

    kind: str
    low: float
    high: float

    def __post_init__(self) -> None:
        if self.kind not in {"once", "yearly", "years", "days"}:
            raise ValueError(f"no such repeat: {self.kind!r}")
        if self.kind != "once" and not 0 < self.low <= self.high:
            raise ValueError(f"an interval runs from a smaller to a larger number: {self.low} to {self.high}")

    @classmethod
    def parse(cls, text: str) -> Repeat:
        """Read ``once``, ``y``, ``3y``, ``2-5y`` or ``28d``.

        Raises:
            ValueError: If the text is none of these.
        """
        if text == "once":
            return cls("once", 0, 0)
        if text == "y":
            return cls("yearly", 1, 1)
        found = re.fullmatch(r"(\d+)(?:-(\d+))?([yd])", text)
        if not found:
            raise ValueError(f"write once, y, 3y, 2-5y or 28d; got {text!r}")
        low = float(found[1])
        return cls("years" if found[3] == "y" else "days", low, float(found[2] or low))

    @property
    def middle(self) -> float:
        """Half-way between the two ends."""
        return (self.low + self.high) / 2
