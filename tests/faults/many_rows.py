"""Rows that wait, made in a few statements: letters to send, news to gather, a season to work out."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from collection import models
from collection.usecases.season_asked import ask_again
from collection.usecases.workdays import move_workday
from tests.factories import ClubFactory, MemberFactory, SiteFactory, TreeFactory, WorkdayFactory, actor_of
from tests.usecases.letters import letter_for

# Whatever the clock says, it is past the hour of the mails and no quiet week.
ALWAYS = {"mail_hour": 0, "quiet_weeks": ["02-30", "02-30"]}


def people(club: models.Club, count: int) -> list[models.Member]:
    """Members who can be reached."""
    rows = [MemberFactory.build(club=club, account=None, name=f"Member {n}") for n in range(count)]
    found = models.Member.objects.bulk_create(rows)
    models.Contact.objects.bulk_create(
        models.Contact(club=club, member=member, email=f"m{member.pk}@example.org") for member in found
    )
    return found


def letters(count: int) -> None:
    """Written messages that wait to be sent, one a member."""
    members = people(ClubFactory(zone="UTC", settings=ALWAYS), count)
    models.Message.objects.bulk_create(letter_for(member) for member in members)


def news(count: int) -> None:
    """A day that was moved, and so many people who had said yes and are to hear of it."""
    site = SiteFactory(club__zone="UTC", club__settings=ALWAYS)
    today = timezone.now().date()
    day = WorkdayFactory(site=site, date=today + timedelta(days=30))
    models.Offer.objects.bulk_create(
        models.Offer(club=site.club, member=member, workday=day, answer="yes", arrives=day.opens,
                     leaves=day.closes)
        for member in people(site.club, count)
    )  # fmt: skip
    planner = actor_of(MemberFactory(club=site.club, coordinator=True))
    move_workday(
        actor=planner, workday_id=day.pk, on=today + timedelta(days=37), today=today, keep_answers=True
    )


def season(trees: int) -> None:
    """A club whose season waits to be worked out."""
    site = SiteFactory(club__zone="UTC")
    models.Tree.objects.bulk_create(TreeFactory.build(site=site, club=site.club) for _ in range(trees))
    ask_again(site.club_id)
