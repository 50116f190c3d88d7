"""What a day plan is drawn from, and the order of its rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

Role = Literal["work", "pair"]


@dataclass(frozen=True, slots=True)
class PersonRow:
    """Somebody on the day; times are minutes since midnight."""

    name: str
    note: str
    arrives: int
    leaves: int

    def __post_init__(self) -> None:
        if self.leaves <= self.arrives:
            raise ValueError(f"{self.name} leaves before arriving: swap the times")


@dataclass(frozen=True, slots=True)
class Step:
    """A part of a bar: set up, hold, clean down."""

    starts: int
    ends: int
    words: str
    detail: str = ""
    held: bool = False

    def __post_init__(self) -> None:
        if self.ends <= self.starts:
            raise ValueError(f"the step {self.words!r} ends before it starts: swap its times")


@dataclass(frozen=True, slots=True)
class Bar:
    """A job on the day.

    Attributes:
        people: Places in the list of people, the lead first; several make it a pair job.
        steps: Parts in order of time; drawn for jobs of several people.
        beside: The place of a learner who works along in a row of their own, or None.
        number: The job's number in the list below, drawn where the tag has no room; 0 for none.
    """

    key: str
    tag: str
    title: str
    detail: str
    people: tuple[int, ...]
    starts: int
    ends: int
    steps: tuple[Step, ...] = ()
    beside: int | None = None
    number: int = 0

    def __post_init__(self) -> None:
        if self.ends <= self.starts:
            raise ValueError(f"the job {self.title!r} ends before it starts: swap its times")
        if not self.people or len(set(self.people)) != len(self.people):
            raise ValueError(f"the job {self.title!r} needs different people, one at least")
        if self.beside in self.people:
            raise ValueError(f"the job {self.title!r} has its learner in its crew")

    @property
    def everybody(self) -> tuple[int, ...]:
        """The crew, and the learner beside it."""
        return self.people if self.beside is None else (*self.people, self.beside)


@dataclass(frozen=True, slots=True)
class Column:
    """A time that people share: briefing, tea, close. ``people`` empty means all who are there."""

    words: str
    starts: int
    ends: int
    people: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if self.ends <= self.starts:
            raise ValueError(f"{self.words!r} ends before it starts: swap its times")


def order_rows(count: int, bars: Sequence[Bar]) -> tuple[int, ...]:
    """An order of the people in which those who work together are neighbours, as far as it goes.

    Pairs with the most minutes together are joined first; nobody gets more than two neighbours and no
    ring is closed, so each joined pair is neighbours in the result. People otherwise keep their order.
    """
    together: dict[tuple[int, int], int] = {}
    for bar in bars:
        for a, b in pairwise(bar.everybody):
            pair = (min(a, b), max(a, b))
            together[pair] = together.get(pair, 0) + bar.ends - bar.starts
    chains: dict[int, list[int]] = {person: [person] for person in range(count)}
    for a, b in sorted(together, key=lambda pair: (-together[pair], pair)):
        left, right = chains[a], chains[b]
        if left is right or a not in (left[0], left[-1]) or b not in (right[0], right[-1]):
            continue
        joined = (left if left[-1] == a else left[::-1]) + (right if right[0] == b else right[::-1])
        chains.update(dict.fromkeys(joined, joined))
    order: list[int] = []
    for person in range(count):
        chain = chains[person]
        if chain[0] in order:
            continue
        order += chain if chain[0] <= chain[-1] else chain[::-1]
    return tuple(order)


def stretches(rows: Sequence[int]) -> list[tuple[int, int]]:
    """Rows as unbroken stretches, first and last row of each."""
    found: list[tuple[int, int]] = []
    for row in sorted(rows):
        if found and found[-1][1] == row - 1:
            found[-1] = (found[-1][0], row)
        else:
            found.append((row, row))
    return found
