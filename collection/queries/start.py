"""How far a club has come in setting itself up: five steps, each known from its rows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from collection.models import Job, Tree, Workday
from collection.queries.access import Actor, club_of, must_plan
from collection.queries.people import active


@dataclass(frozen=True, slots=True)
class Start:
    """What is there of each step.

    ``frost`` is true when a frost date is set or somebody has looked at the club's settings; counts are of
    people, trees on the register, open jobs and workdays. ``season_waits`` while it is being worked out.
    """

    frost: bool
    people: int
    trees: int
    jobs: int
    days: int
    season_waits: bool

    @property
    def done(self) -> tuple[bool, bool, bool, bool, bool]:
        """Whether each step is done: the club's facts, people, trees, season, first workday."""
        return self.frost, self.people > 1, self.trees > 0, self.jobs > 0, self.days > 0


def start_of(actor: Actor, *, today: date) -> Start:
    """How far the actor's club has come.

    Raises:
        Refused: ``coordinators_only``.
    """
    must_plan(actor)
    club = club_of(actor)
    return Start(
        frost=bool(club.last_frost or club.first_frost) or club.version > 1,
        people=len(active(club.pk, today)),
        trees=Tree.objects.filter(club=club, archived_at=None).count(),
        jobs=Job.objects.filter(club=club, state=Job.State.OPEN).count(),
        days=Workday.objects.filter(club=club).count(),
        season_waits=club.season_asked_at is not None,
    )
