"""The shapes the rules read and give back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from collection.craft.reasons import Reason, Value
from collection.craft.tasks import EVENTS, Group, Task

LEVELS = ("hard", "warn")


@dataclass(frozen=True, slots=True)
class Done:
    """A piece of work on one tree, done or planned.

    Attributes:
        task: A task code, or the events WRAP (raffia put on) and SHOW (the tree travels).
        on: The day.
        subject: The branch, bend or wire; "" for the whole tree or when nobody said.
        occurrence: Pass or repeat number, from 1.
        visit: Name of the visit; "" when nobody said, then days one after another count as one visit.
    """

    task: str
    on: date
    subject: str = ""
    occurrence: int = 1
    visit: str = ""

    def __post_init__(self) -> None:
        if not self.task:
            raise ValueError("say which task was done")
        if self.occurrence < 1:
            raise ValueError(f"{self.task}: passes are counted from 1, not {self.occurrence}")


@dataclass(frozen=True, slots=True)
class TreeFacts:
    """What the rules need to know of a tree.

    Attributes:
        group: ``G01`` to ``G15``.
        stage: R, B, F or S.
        weak: Marked weak, sick, newly collected or newly imported.
        collected: From the wild: the recovery column for collected trees applies.
        height_cm: Height, cm, or None.
        history: Work done, in any order.
        signs: Day each tree sign was last noted.
    """

    group: str
    stage: str
    weak: bool = False
    collected: bool = False
    height_cm: float | None = None
    history: tuple[Done, ...] = ()
    signs: Mapping[str, date] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.stage not in {"R", "B", "F", "S"}:
            raise ValueError(f"the stage is one of R, B, F, S, not {self.stage!r}")


@dataclass(frozen=True, slots=True)
class Weather:
    """Forecast for the day, each None when not known.

    Attributes:
        rain_within_h: Hours until rain.
        dusk_within_h: Hours until dusk.
        min_temp_c: Lowest temperature forecast, degrees Celsius.
        roots_covered: Whether the soil is covered against lime sulphur.
    """

    rain_within_h: float | None = None
    dusk_within_h: float | None = None
    min_temp_c: float | None = None
    roots_covered: bool | None = None


@dataclass(frozen=True, slots=True)
class Hold:
    """Something that stops a job (``hard``) or asks for a reason (``warn``).

    Attributes:
        rule: P1..P17, X1..X14, ``budget``, ``rest`` or ``gate``.
        until: First day on which the rule lets go; None when a sign, a record or a person must lift it.
    """

    rule: str
    level: str
    until: date | None
    reason: Reason

    def __post_init__(self) -> None:
        if self.level not in LEVELS:
            raise ValueError(f"a hold is hard or warn, not {self.level!r}")


@dataclass(frozen=True, slots=True)
class OrderRule:
    """What comes before what; days between the first job and the second."""

    key: str
    first: str
    then: str
    groups: frozenset[str]
    min_days: int
    max_days: int | None
    level: str
    label: str
    source: str
    note: str

    def __post_init__(self) -> None:
        if self.level not in LEVELS:
            raise ValueError(f"rule {self.key}: the level is hard or warn, not {self.level!r}")
        if self.min_days < 0 or (self.max_days is not None and self.max_days < self.min_days):
            raise ValueError(f"rule {self.key}: the gap runs from {self.min_days} to {self.max_days} days")


@dataclass(frozen=True, slots=True)
class ClashRule:
    """What must not meet; gap in days, None where the rule is not a gap in days.

    Attributes:
        gap: The gap in the table's words; for X10 the first and last day, "MM-DD..MM-DD".
        limit: The rule's other figure (hours of X12, degrees Celsius of X14, days of X8's exception).
    """

    key: str
    a: str
    b: str
    gap: str
    gap_conifer_days: int | None
    gap_other_days: int | None
    limit: float | None
    level: str
    exception: str
    label: str
    source: str
    note: str

    def __post_init__(self) -> None:
        if self.level not in LEVELS:
            raise ValueError(f"rule {self.key}: the level is hard or warn, not {self.level!r}")

    def gap_days(self, *, conifer: bool) -> int:
        """The gap for a kind of tree, days.

        Raises:
            ValueError: If the rule is not a gap in days.
        """
        gap = self.gap_conifer_days if conifer else self.gap_other_days
        if gap is None:
            raise ValueError(f"rule {self.key} is not a gap in days")
        return gap


@dataclass(frozen=True, slots=True)
class Budget:
    """Stress points a kind of tree may take in a rolling spell of days."""

    kind: str
    points: int
    majors: int
    window_days: int

    def __post_init__(self) -> None:
        if self.points < 0 or self.majors < 0 or self.window_days < 1:
            raise ValueError(f"stress budget {self.kind}: no number may be below 0, and days are at least 1")


@dataclass(frozen=True, slots=True)
class RuleSettings:
    """The tables the rules use and the club's choices where sources disagree.

    Attributes:
        rest: Days by (job, column); absent where the job has no recovery time of its own.
        never: Pairs of (job, column) that are not done at all.
        southern: Growing seasons run July to June instead of January to December.
        wake_shift_days: Days the spring is later than the baseline; moves X10.
        azalea_rests_after_repot: X11, which one society asks for and another source does not.
        expert_signed: An expert has signed this work off; eases X1, and X3 for elm and trident.
        long_season: The season is long enough for a second full defoliation of trident (X8).
    """

    tasks: Mapping[str, Task]
    groups: Mapping[str, Group]
    order: Mapping[str, OrderRule]
    clash: Mapping[str, ClashRule]
    budgets: Mapping[str, Budget]
    rest: Mapping[tuple[str, str], int]
    never: frozenset[tuple[str, str]]
    southern: bool = False
    wake_shift_days: int = 0
    azalea_rests_after_repot: bool = True
    expert_signed: bool = False
    long_season: bool = False

    def group(self, code: str) -> Group:
        """The group of that code.

        Raises:
            ValueError: If there is none.
        """
        try:
            return self.groups[code]
        except KeyError:
            raise ValueError(f"there is no species group {code!r}") from None

    def stress(self, task: str) -> int:
        """Stress of a task, 0 to 3; an event (wrap, show) has none.

        Raises:
            ValueError: If there is no such task.
        """
        if task in EVENTS:
            return 0
        try:
            return self.tasks[task].stress
        except KeyError:
            raise ValueError(f"there is no task {task!r}") from None

    def growing_year(self, day: date) -> int:
        """The growing season a day lies in: its year, or in the south the year in which July began it."""
        return day.year - (1 if self.southern and day.month < 7 else 0)

    def growing_year_ends(self, day: date) -> date:
        """First day of the next growing season."""
        year = self.growing_year(day) + 1
        return date(year, 7, 1) if self.southern else date(year, 1, 1)


@dataclass(frozen=True, slots=True)
class StressEvent:
    """One counted piece of hard work: tasks, first and last day, points."""

    tasks: tuple[str, ...]
    first: date
    last: date
    stress: int


@dataclass(frozen=True, slots=True)
class StressTally:
    """Points of the stress-2 and stress-3 events of a rolling spell, against the limit."""

    points: int
    limit: int
    majors: int
    majors_limit: int
    events: tuple[StressEvent, ...]

    @property
    def is_over(self) -> bool:
        """Whether either limit is broken."""
        return self.points > self.limit or self.majors > self.majors_limit


@dataclass(frozen=True, slots=True)
class Rest:
    """No stress-2 or stress-3 work before ``until``, because of ``task`` on ``since``."""

    until: date
    task: str
    since: date
    days: int


@dataclass(frozen=True, slots=True)
class Case:
    """One question put to the rules: may this be done on this tree on this day?

    Attributes:
        others: History and plan together, earliest first; sorted once, as every rule reads it.
    """

    facts: TreeFacts
    job: Done
    planned: tuple[Done, ...]
    settings: RuleSettings
    weather: Weather | None
    others: tuple[Done, ...] = field(init=False)

    def __post_init__(self) -> None:
        work = sorted((*self.facts.history, *self.planned), key=lambda done: done.on)
        object.__setattr__(self, "others", tuple(work))

    @property
    def task(self) -> str:
        """The task asked about."""
        return self.job.task

    @property
    def on(self) -> date:
        """The day asked about."""
        return self.job.on

    @property
    def conifer(self) -> bool:
        """Whether the tree is a conifer."""
        return self.settings.group(self.facts.group).is_conifer

    def hold(self, rule: str, level: str, until: date | None, code: str, **values: Value) -> Hold:
        """A hold whose reason names the rule, the task and, where there is one, the day it ends."""
        if until is not None:
            values["until"] = until
        return Hold(rule, level, until, Reason.of(code, rule=rule, task=self.task, **values))
