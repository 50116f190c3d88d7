"""What is known when a lead and helpers are sought for a large bend: frozen values, no rows.

Times are minutes since midnight in the club's zone, in steps of five. The parts of the work are those
of the day planner (``collection.planning.workday.problem``), so that a pair found here fits a day plan.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from collection.craft.reasons import Reason
from collection.planning.workday.problem import LEVELS, Break, Segment, Step

MOST_CREW = 4


@dataclass(frozen=True, slots=True)
class Hand:
    """A person of the club as a bend sees him.

    Attributes:
        level: In bends: novice, learning, practised or expert.
        can_lift: The person's own declaration on lifting and holding; None when there is none.
        trained_power: Declared to be trained for powered tools.
        under_age: Too young for powered kit.
        bends_on_group, bends_any: Bends led or held, on record, on the tree's species group and on any.
        tree_before, tree_last: Has worked on this tree; was among the last who did.
        worked_with: People who shared a sitting with him.
        hours_given: Hours on record in the past twelve months.
    """

    id: int
    name: str
    level: str = "novice"
    active: bool = True
    can_lift: bool | None = None
    trained_power: bool = False
    wants_bends: bool = False
    under_age: bool = False
    bends_on_group: int = 0
    bends_any: int = 0
    tree_before: bool = False
    tree_last: bool = False
    worked_with: frozenset[int] = frozenset()
    hours_given: float = 0.0

    def __post_init__(self) -> None:
        if self.level not in LEVELS:
            raise ValueError(f"the level of {self.name} is {self.level!r}: give one of {', '.join(LEVELS)}")
        if not 0 <= self.bends_on_group <= self.bends_any:
            raise ValueError(f"{self.name} has held more bends on one group than on all: count them again")
        if self.hours_given < 0:
            raise ValueError(f"the hours of {self.name} are below 0: give 0 or more")

    @property
    def untried(self) -> bool:
        """Has held no bend and is only learning: helps beside an expert, one such person at a bend."""
        return self.bends_any == 0 and LEVELS.index(self.level) < LEVELS.index("practised")


@dataclass(frozen=True, slots=True)
class Day:
    """A day on which the bend could be done.

    Attributes:
        id: The workday, or None for a day on which people usually give hours.
        hours: Person -> from and to, briefing and closing taken out; only people who said yes.
        held: Person -> held steps that person has promised already, as from and to.
        holds: Why the bend may not be done that day, whoever comes.
        dated: False when nobody has said at what hour: only lengths are known.
    """

    id: int | None
    date: date
    hours: Mapping[int, tuple[int, int]]
    breaks: tuple[Break, ...] = ()
    held: Mapping[int, tuple[tuple[int, int], ...]] = field(default_factory=dict)
    holds: tuple[Reason, ...] = ()
    dated: bool = True


@dataclass(frozen=True, slots=True)
class Bend:
    """The bend for which people are sought.

    Attributes:
        crew: People needed at once, lead included, 1 to 4.
        segments: The parts in order, at the pace of an expert: set-up, work, held step, clean-down.
        power_kit: Powered tools are used.
        lead: The one who is to lead, or None.
        stops: Why the bend is not to be done at all: the owner's no, a refusal.
    """

    id: int
    crew: int
    segments: tuple[Segment, ...]
    power_kit: bool = False
    lead: int | None = None
    stops: tuple[Reason, ...] = ()

    def __post_init__(self) -> None:
        if not 1 <= self.crew <= MOST_CREW:
            raise ValueError(f"a crew of {self.crew}: give 1 to {MOST_CREW}")
        if not self.segments:
            raise ValueError("a bend takes time: give its parts")

    @property
    def minutes(self) -> int:
        """Minutes on the clock from the first part to the last."""
        return sum(part.minutes for part in self.segments)

    @property
    def held_min(self) -> int:
        """Minutes that all must hold at once."""
        return sum(part.minutes for part in self.segments if part.kind == "held")


@dataclass(frozen=True, slots=True)
class Case:
    """Everything that is known: the bend, the club's people, the days; ``average_h`` hours a person."""

    bend: Bend
    hands: tuple[Hand, ...]
    days: tuple[Day, ...]
    average_h: float = 0.0

    def __post_init__(self) -> None:
        if len({hand.id for hand in self.hands}) != len(self.hands):
            raise ValueError("a person is given twice: give each once")

    @property
    def days_in_order(self) -> list[Day]:
        """The days, soonest first."""
        return sorted(self.days, key=lambda day: (day.date, day.id or 0))

    def hand(self, person: int) -> Hand:
        """The person of that id.

        Raises:
            KeyError: If there is none.
        """
        for hand in self.hands:
            if hand.id == person:
                return hand
        raise KeyError(person)


@dataclass(frozen=True, slots=True)
class Slot:
    """The earliest time at which all of some people are free for the whole bend."""

    day_id: int | None
    date: date
    dated: bool
    starts_min: int
    ends_min: int
    steps: tuple[Step, ...]

    @property
    def held(self) -> tuple[int, int] | None:
        """From the first moment of holding to the last."""
        spans = [step for step in self.steps if step.kind == "held"]
        return (spans[0].from_min, spans[-1].to_min) if spans else None


@dataclass(frozen=True, slots=True)
class Point:
    """One line of the points: how many of how many, and for what."""

    points: int
    most: int
    reason: Reason


@dataclass(frozen=True, slots=True)
class Ranked:
    """A person whom nothing stops, with every line of the points and the earliest time.

    ``conditions`` say under what terms the person may help.
    """

    person: int
    name: str
    points: tuple[Point, ...]
    slot: Slot
    conditions: tuple[Reason, ...] = ()

    @property
    def total(self) -> int:
        """The points added up."""
        return sum(point.points for point in self.points)


@dataclass(frozen=True, slots=True)
class Stopped:
    """A person who cannot take part, and every reason."""

    person: int
    name: str
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Team:
    """The people recommended, lead first, with their points together and when all are free."""

    people: tuple[int, ...]
    total: int
    slot: Slot


@dataclass(frozen=True, slots=True)
class Answer:
    """Who is to do the bend.

    Attributes:
        stops: Why the bend is not to be done at all; then nobody is ranked.
        leads: Everybody who may lead, best first; the one who was set when one was set.
        lead: The one for whom helpers are ranked, None when nobody can lead.
        lead_stops: Why the one who was set cannot lead; then no helper is ranked.
        helpers: In order for that lead.
        stopped: Who cannot help that lead, and why.
        team: The lead with the helpers to ask first, None when no full crew is free at once.
    """

    stops: tuple[Reason, ...]
    leads: tuple[Ranked, ...]
    lead: Ranked | None
    lead_stops: tuple[Reason, ...]
    helpers: tuple[Ranked, ...]
    stopped: tuple[Stopped, ...]
    team: Team | None
