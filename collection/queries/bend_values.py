"""What is told of heavy bends, as frozen values with everything in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from collection.queries.bend_against import Against
from collection.queries.bend_figures import NO_FIGURES, InFigures
from collection.queries.helpers import Helpers
from collection.queries.opened import Opened


@dataclass(frozen=True, slots=True)
class BendRow:
    """A bend in a list."""

    id: int
    tree_id: int
    accession: str
    title: str
    what: str
    opens: date
    closes: date
    people: tuple[str, ...]
    crew: int
    number: Opened | None
    state: str
    over: bool


@dataclass(frozen=True, slots=True)
class Asked:
    """A question to somebody, and the answer so far."""

    invitation_id: int
    member_id: int
    name: str
    answer: str
    place_id: int
    when: str
    taken: bool


@dataclass(frozen=True, slots=True)
class Trigger:
    """Something that asks for more people: in words, how many, and whether it asked for the most."""

    words: str
    people: int
    most: bool


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wanted, on which tree, in mm; ``limit`` says what one person bends of the tree's group."""

    tree_id: int
    accession: str
    tree_title: str
    where: str
    branch: str
    diameter_mm: float
    length_mm: float | None
    drop_mm: float | None
    radius_mm: float | None
    method: str
    circumstances: tuple[str, ...]
    power_kit: bool
    opens: date
    closes: date
    limit: str


@dataclass(frozen=True, slots=True)
class Sanction:
    """Who signed it off, who said no and why, who released it, and what the one who looks may do."""

    signed: str
    refused: tuple[str, str] | None
    released: str
    may_judge: bool
    refuser_looks: bool

    @property
    def held(self) -> bool:
        """Somebody said no and nobody else has released it."""
        return self.refused is not None and not self.released


@dataclass(frozen=True, slots=True)
class Team:
    """Who leads and helps; ``asked`` is for those who ask, ``mine`` are questions to the one who looks."""

    crew: int
    lead_id: int | None
    lead: str
    accepted: tuple[Asked, ...]
    asked: tuple[Asked, ...]
    mine: tuple[Asked, ...]
    when: str
    day_id: int | None


@dataclass(frozen=True, slots=True)
class BendSheet:
    """Everything on a bend's page; ``helpers`` is None for whoever may not see who could help.

    ``number`` is the job's own sum; ``hands_min`` are minutes of everybody who stays from first to last.
    """

    id: int
    version: int
    job_id: int
    wish: Wish
    team: Team
    sanction: Sanction
    number: Opened | None
    hands_min: float | None
    held_words: str
    triggers: tuple[Trigger, ...]
    state: str
    over: bool
    helpers: Helpers | None
    against: tuple[Against, ...] = ()
    figures: InFigures = NO_FIGURES
