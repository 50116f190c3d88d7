"""What is on record of a day that nobody planned, and how many came."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from collection.models import Attendance, Member, Offer, Workday
from collection.usecases.sittings import TaskDone, Worked, record
from tests.factories import JobFactory, MemberFactory, SiteFactory, TreeFactory, WorkdayFactory, actor_of

pytestmark = pytest.mark.django_db
DAY = date(2027, 3, 6)


@pytest.fixture
def day(time_machine) -> Workday:
    time_machine.move_to("2027-03-07T09:00:00+00:00", tick=False)
    return WorkdayFactory(site=SiteFactory(), date=DAY)


@pytest.fixture
def boss(day: Workday) -> Member:
    return MemberFactory(club=day.club, name="Edith", coordinator=True)


def text(who: Member, name: str, day: Workday) -> str:
    client = Client()
    client.force_login(who.account)
    return client.get(reverse(name, args=[day.pk])).content.decode().replace("\u00a0", " ")


def test_a_day_without_a_plan_lists_the_sittings_of_the_day(day: Workday, boss: Member):
    heron = TreeFactory(site=day.site, accession="2009.014")
    for on, task in ((DAY, "TRIM"), (date(2027, 3, 5), "DEADWOOD")):
        began = datetime(on.year, on.month, on.day, 10, tzinfo=UTC)
        record(
            actor=actor_of(boss), trees=[heron.pk], tasks=[TaskDone(task)], people=[Worked(boss.pk, 40)],
            started=began, ended=began + timedelta(minutes=40), request_key=task,
        )  # fmt: skip
    page = text(boss, "day-after", day)
    assert "Nothing was planned. One sitting is on record." in page
    assert "Trimming, 40 min. Edith." in page
    assert "Deadwood" not in page
    assert "No plan was sent out" not in page


def test_who_brings_a_tree_is_said_at_its_field(time_machine, day: Workday, boss: Member):
    time_machine.move_to("2027-03-01T09:00:00+00:00", tick=False)
    away = TreeFactory(site=SiteFactory(club=day.club), may_travel=True)
    JobFactory(tree=away)
    Offer.objects.create(club=day.club, workday=day, member=boss, answer="yes")
    assert f'href="/trees/{away.pk}/edit#id_brought_by_id"' in text(boss, "day-missing", day)
    client = Client()
    client.force_login(boss.account)
    assert 'id="id_brought_by_id"' in client.get(f"/trees/{away.pk}/edit").content.decode()


def test_a_day_that_was_held_counts_those_who_came(day: Workday, boss: Member):
    others = [MemberFactory(club=day.club) for _ in range(2)]
    for who in (boss, *others):
        Offer.objects.create(club=day.club, workday=day, member=who, answer="yes")
    Workday.objects.filter(pk=day.pk).update(state="held")
    assert "Three people, 9:30" in text(boss, "day", day)
    for n, who in enumerate((boss, *others)):
        Attendance.objects.create(club=day.club, workday=day, member=who, came=n < 2)
    assert "Two people, 9:30" in text(boss, "day", day)
