"""The round-up that the demo prints is read from the rows, and printing it writes nothing."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from collection import models
from collection.management.telling_letters import letters
from collection.queries.access import Actor
from tests.factories import MemberFactory, SiteFactory, TreeFactory, WorkdayFactory, actor_of
from tests.walls.asking import digests

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 7, tzinfo=UTC)
FOLDER = Path("mail")


@pytest.fixture
def actor(time_machine) -> Actor:
    time_machine.move_to(NOW, tick=False)
    site = SiteFactory()
    coordinator = MemberFactory(club=site.club, coordinator=True, name="Petra Moss")
    member = MemberFactory(club=site.club, name="Dilip Tarn")
    day = WorkdayFactory(site=site, date=date(2027, 3, 20))
    models.Offer.objects.create(club=site.club, workday=day, member=member, answer="yes")
    tree = TreeFactory(site=site, common_name="Larch")
    models.Care.objects.create(club=site.club, tree=tree, member=member, role="owner")
    models.Wire.objects.create(
        club=site.club, tree=tree, label="W1", length_m=1, gauge_mm=2, metal="copper",
        on=date(2026, 10, 1), look_on=date(2027, 3, 22),
    )  # fmt: skip
    return actor_of(coordinator, "command")


def told(actor: Actor) -> str:
    return "\n".join(letters(actor, NOW, FOLDER))


def test_the_fullest_round_up_before_the_next_workday_is_printed_whole(actor):
    before = digests()
    text = told(actor)
    assert "The round-up that Dilip Tarn gets on Thursday 18 March 2027" in text
    assert "Subject: You on Saturday 20 March, one wire to look at" in text
    assert "| Hello Dilip," in text
    assert "Larch, wire at W1: look by Monday 22 March." in text
    assert "0 messages made so far." in text
    assert digests() == before


def test_one_offer_and_one_look_change_what_is_printed(actor):
    models.Offer.objects.update(answer="no")
    assert "You on Saturday 20 March" not in told(actor)
    models.Wire.objects.update(look_on=date(2027, 3, 22) + timedelta(days=90))
    assert "Larch" not in told(actor)


def test_a_club_with_nothing_to_tell_says_so(actor):
    models.Workday.objects.update(state="held")
    models.Wire.objects.update(off=date(2027, 3, 1))
    assert "Round-up: nobody has anything to be told." in told(actor)


def test_those_whom_no_mail_reaches_are_counted(actor):
    member = models.Member.objects.get(name="Dilip Tarn")
    models.Message.objects.create(
        club=member.club, member=member, local_day=NOW.date(), message_id="<a@x>", parked_reason="no_address"
    )
    assert "1 of them no mail can carry: tell those by telephone." in told(actor)
