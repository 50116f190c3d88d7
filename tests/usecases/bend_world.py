"""A club with a signed-off bend, a lead, helpers and a workday on which they come."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, time
from typing import Any

from collection import models
from collection.queries.access import Actor
from collection.usecases import bends, members, workdays
from tests.factories import MemberFactory, SiteFactory, TreeFactory, actor_of

TODAY = date(2027, 3, 1)
DAY = date(2027, 3, 6)
OPENS, CLOSES = date(2027, 2, 1), date(2027, 3, 31)


@dataclass
class World:
    """Rows by name; ``planner`` is a coordinator who comes to no day."""

    planner: Actor
    site: models.Site
    tree: models.Tree
    bend: models.Bend
    job: models.Job
    day: int
    people: dict[str, models.Member] = field(default_factory=dict)

    def add(self, name: str, level: str = "practised", *, lifts: bool | None = True, **hours: Any) -> int:
        """A member with a level in bends who said yes for the day; ``comes=False`` for no answer."""
        member = MemberFactory(club=self.site.club, name=name)
        self.people[name] = member
        since = date(2025, 1, 1)
        if level != "novice":
            members.set_skill(
                actor=self.planner, member_id=member.pk, family="bending", level=level, since=since
            )
        if lifts is not None:
            members.declare(actor=self.planner, member_id=member.pk, kind="can_lift", answer=lifts, on=since)
        if hours.pop("comes", True):
            workdays.offer_hours(
                actor=self.planner, workday_id=self.day, member_id=member.pk, answer="yes", **hours
            )
        return member.pk

    def actor(self, name: str) -> Actor:
        """The member as the one who acts."""
        return actor_of(self.people[name])

    def lead(self, name: str) -> None:
        """Make the member the lead."""
        self.bend.refresh_from_db()
        bends.set_lead(
            actor=self.planner,
            bend_id=self.bend.pk,
            version=self.bend.version,
            member_id=self.people[name].pk,
            today=TODAY,
        )
        self.bend.refresh_from_db()


def world(*, signed: bool = True, diameter_mm: float = 28.0, **wanted: Any) -> World:
    """A club with a bend of two on a juniper and one workday; nobody is in it but a coordinator."""
    site = SiteFactory()
    planner = actor_of(MemberFactory(club=site.club, coordinator=True, name="Carol"))
    tree = TreeFactory(site=site, group="G03", accession="2011.007")
    job_id = bends.want_bend(
        actor=planner, tree_id=tree.pk, diameter_mm=diameter_mm, opens=OPENS, closes=CLOSES, **wanted
    )
    job = models.Job.objects.select_related("bend").get(pk=job_id)
    assert job.bend is not None
    if signed:
        bends.sign_off(actor=planner, bend_id=job.bend.pk, version=1, today=TODAY)
        job.bend.refresh_from_db()
    day = workdays.create_workday(actor=planner, site_id=site.pk, on=DAY, opens=time(9), closes=time(14))
    return World(planner, site, tree, job.bend, job, day)


def trio(**wanted: Any) -> World:
    """A lead who is set, and two who can help."""
    made = world(**wanted)
    made.add("Imke", "expert")
    made.add("Dilip")
    made.add("Petra", "learning")
    made.lead("Imke")
    return made
