"""Clubs in the database, for commands that work on all of them."""

from __future__ import annotations

from dataclasses import dataclass

from collection.models import Accepted, Club, Job, Member, Round, Sitting, Tree
from collection.queries.access import PLANNERS, Actor
from collection.queries.real_work import real_work


def other_clubs() -> list[str]:
    """Names of clubs that are not samples."""
    return list(Club.objects.filter(sample=False).order_by("name").values_list("name", flat=True))


def sample_actors() -> list[Actor]:
    """The first coordinator of each sample club, the larger club first."""
    actors = []
    for club in Club.objects.filter(sample=True):
        member = Member.objects.filter(club=club, role__in=PLANNERS).order_by("id").first()
        if member is not None:
            trees = Tree.objects.filter(club=club, archived_at=None).count()
            actors.append((-trees, Actor(club.pk, member.pk, member.role, member.name, "command")))
    return [actor for _, actor in sorted(actors, key=lambda pair: (pair[0], pair[1].club_id))]


@dataclass(frozen=True, slots=True)
class Holdings:
    """How much a club's database holds."""

    files: tuple[tuple[str, str, int], ...]
    trees: int
    people: int
    jobs: int
    rounds: int
    sittings: int


def holdings(actor: Actor) -> Holdings:
    """Rows taken in by file, and what they became."""
    club = actor.club_id
    return Holdings(
        files=tuple(
            Accepted.objects.filter(club_id=club).order_by("id").values_list("kind", "file_name", "rows")
        ),
        trees=Tree.objects.filter(club_id=club, archived_at=None).count(),
        people=Member.objects.filter(club_id=club).count(),
        jobs=Job.objects.filter(club_id=club, state=Job.State.OPEN, tree__isnull=False).count(),
        rounds=Round.objects.filter(club_id=club, jobs__state=Job.State.OPEN).distinct().count(),
        sittings=real_work(Sitting.objects.filter(club_id=club, remembered=False)).count(),
    )
