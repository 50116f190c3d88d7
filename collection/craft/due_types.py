"""What goes into a season's due work and what comes out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from collection.craft.rule_types import Done
from collection.craft.season import STAGES, Window

SECOND_PASS = "DECANDLE:2"  # key in last_done for the second pass of a decandling


def last_days(history: Iterable[Done]) -> dict[str, date]:
    """The newest day of each task, with the second pass of a decandling under a key of its own."""
    found: dict[str, date] = {}
    for done in history:
        second = done.task == "DECANDLE" and done.occurrence == 2
        key = SECOND_PASS if second else done.task
        found[key] = max(found.get(key, done.on), done.on)
    return found


@dataclass(frozen=True, slots=True)
class TreeInput:
    """A tree, or a batch of alike trees, as the season sees it.

    Attributes:
        bench: Where it stands, or None.
        last_done: Day each task was last done; ``DECANDLE:2`` for the second pass.
        has_wire: Whether wire is on it now.
        weak: Gets water, light and pest care only.
        collected: From the wild; never decandled.
        created: Day it came to the club, or None; no work is due before.
        count: Trees in the batch, 1 for a single tree.
        signs: Day each tree sign was last noted.
        weeks_later: Of the bench: 1 in shade, -1 under glass (one week either way is an assumption).
    """

    id: int
    group: str
    stage: str
    height_cm: float | None = None
    bench: int | None = None
    last_done: Mapping[str, date] = field(default_factory=dict)
    has_wire: bool = False
    weak: bool = False
    collected: bool = False
    created: date | None = None
    count: int = 1
    signs: Mapping[str, date] = field(default_factory=dict)
    weeks_later: int = 0

    def __post_init__(self) -> None:
        if self.stage not in tuple(STAGES):
            raise ValueError(f"tree {self.id}: the stage is one of R, B, F, S, not {self.stage!r}")
        if self.count < 1:
            raise ValueError(f"tree {self.id}: a batch has at least one tree, not {self.count}")
        if self.height_cm is not None and self.height_cm <= 0:
            raise ValueError(f"tree {self.id}: a height is above 0 cm, not {self.height_cm}")


@dataclass(frozen=True, slots=True)
class DueJob:
    """A task due on one tree; ``count`` is the number of trees in its batch."""

    tree: int
    task: str
    row_key: str
    season_year: int
    occurrence: int
    opens: date
    closes: date
    stress: int
    count: int = 1

    @property
    def key(self) -> tuple[int, str, str, int, int]:
        """What makes it the same job when the season is worked out again."""
        return (self.tree, self.task, self.row_key, self.season_year, self.occurrence)


@dataclass(frozen=True, slots=True)
class DueRound:
    """A repeating task over the trees of a bench on a date.

    Attributes:
        bench: None for trees that stand on no bench.
        row_keys: The programme rows that ask for it, sorted.
        on: The day it is due.
        closes: Last sensible day: the day before the next one, or the end of the window.
        trees: Their numbers, sorted.
        count: Trees with batches counted in full.
    """

    bench: int | None
    task: str
    row_keys: tuple[str, ...]
    on: date
    closes: date
    trees: tuple[int, ...]
    season_year: int
    occurrence: int
    count: int

    @property
    def key(self) -> tuple[int | None, str, date]:
        """What makes it the same round when the season is worked out again."""
        return (self.bench, self.task, self.on)


@dataclass(frozen=True, slots=True)
class Question:
    """A tree whose last such job nobody knows; ``weight`` is its share of a job in the load."""

    tree: int
    task: str
    row_key: str
    season_year: int
    window: Window
    weight: float
    count: int = 1


@dataclass(frozen=True, slots=True)
class Chore:
    """A job of the club that belongs to no tree, such as cleaning the kit."""

    row_key: str
    season_year: int
    opens: date
    closes: date
    note: str


@dataclass(frozen=True, slots=True)
class Due:
    """All work of a stretch of days, sorted and without doubles."""

    jobs: tuple[DueJob, ...]
    rounds: tuple[DueRound, ...]
    questions: tuple[Question, ...]
    chores: tuple[Chore, ...]
