"""The smallest valid row of each table; traits name the club's situations; nothing is random."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import factory

from collection import models
from collection.queries.access import Actor


class AccountFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = models.Account

    email = factory.Sequence(lambda n: f"person{n}@example.org")


class ClubFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = models.Club

    class Params:
        southern = factory.Trait(
            latitude=-38.0, zone="Australia/Melbourne", last_frost="10-01", first_frost="05-20"
        )

    name = factory.Sequence(lambda n: f"Club {n}")
    latitude = 48.0
    zone = "Europe/London"
    last_frost = "04-25"
    first_frost = "10-25"


class SiteFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = models.Site

    club = factory.SubFactory(ClubFactory)
    name = factory.Sequence(lambda n: f"Ground {n}")


class BenchFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = models.Bench

    club = factory.SelfAttribute("site.club")
    site = factory.SubFactory(SiteFactory)
    name = factory.Sequence(lambda n: f"Bench {n}")


class MemberFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = models.Member

    class Params:
        coordinator = factory.Trait(role="coordinator")

    club = factory.SubFactory(ClubFactory)
    name = factory.Sequence(lambda n: f"Member {n}")
    account = factory.SubFactory(AccountFactory)
    active_from = date(2020, 1, 1)


class TreeFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = models.Tree

    class Params:
        two_flush_pine = factory.Trait(group="G01", species="Pinus thunbergii", stage="F")
        maple = factory.Trait(group="G07", species="Acer palmatum", stage="F")

    club = factory.SelfAttribute("site.club")
    site = factory.SubFactory(SiteFactory)
    accession = factory.Sequence(lambda n: f"2020.{n:03d}")
    group = "G03"
    stage = "F"
    height_mm = 600.0


class JobFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = models.Job

    class Params:
        heavy_bend = factory.Trait(task="HEAVY_BEND", crew=2, stress=3)

    club = factory.SelfAttribute("tree.club")
    tree = factory.SubFactory(TreeFactory)
    target = factory.LazyAttribute(lambda o: f"tree:{o.tree.pk}")
    task = "WIRE_DETAIL"
    origin = "hand"
    season_year = 2027
    occurrence = factory.Sequence(lambda n: n % 30_000 + 1)
    opens = date(2027, 3, 1)
    closes = date(2027, 3, 31)
    stress = 1


class WorkdayFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = models.Workday

    club = factory.SelfAttribute("site.club")
    site = factory.SubFactory(SiteFactory)
    date = date(2027, 3, 6)
    opens = time(9, 30)
    closes = time(13, 30)
    zone = factory.SelfAttribute("club.zone")
    state = "open"


class PlanFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = models.Plan

    club = factory.SelfAttribute("workday.club")
    workday = factory.SubFactory(WorkdayFactory)
    number = factory.Sequence(lambda n: n + 1)
    asked_at = datetime(2027, 3, 1, tzinfo=UTC)


def actor_of(member: models.Member, door: str = "page") -> Actor:
    """The member as an actor."""
    return Actor(member.club_id, member.pk, member.role, member.name, door)


def coordinator(club: models.Club | None = None) -> Actor:
    """A coordinator of the club, or of a new one."""
    fields = {"club": club} if club is not None else {}
    return actor_of(MemberFactory(coordinator=True, **fields))
