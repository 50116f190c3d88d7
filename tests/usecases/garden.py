"""A club with one pine on a bench, for tests of what follows from what."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from collection.models import Job, Tree
from collection.queries.access import Actor
from collection.usecases import season, sittings
from collection.usecases.sittings import TaskDone, Worked
from tests.factories import BenchFactory, ClubFactory, SiteFactory, TreeFactory, coordinator

TODAY = date(2026, 11, 25)


class Garden:
    """A northern club with one refined two-flush pine on a bench."""

    def __init__(self, **club: object) -> None:
        self.site = SiteFactory(club=ClubFactory(**club))
        self.bench = BenchFactory(site=self.site)
        self.actor: Actor = coordinator(self.site.club)
        self.tree: Tree = TreeFactory(site=self.site, bench=self.bench, two_flush_pine=True, height_mm=500)

    def again(self, today: date = TODAY) -> season.Regenerated:
        return season.regenerate(actor=self.actor, today=today)

    def job(self, task: str, **more: object) -> Job:
        return Job.objects.filter(tree=self.tree, task=task, **more).earliest("opens", "occurrence")


def worked(garden: Garden, task: str, on: date, key: str = "k", **more: object) -> list[int]:
    began = datetime(on.year, on.month, on.day, 10, tzinfo=UTC)
    return sittings.record(
        actor=garden.actor,
        trees=[garden.tree.pk],
        tasks=[TaskDone(task)],
        people=[Worked(garden.actor.member_id, 90)],
        started=began,
        ended=began + timedelta(minutes=90),
        request_key=key,
        **more,
    )
