"""What is missing before a day is found, and goes away when it is mended."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest

from collection.models import (
    Assignment,
    Bend,
    Care,
    Contact,
    Declaration,
    Invitation,
    Job,
    Member,
    Offer,
    Place,
    Tree,
    Workday,
)
from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.queries.missing import missing_before
from collection.usecases import workdays
from tests.factories import (
    JobFactory,
    MemberFactory,
    PlanFactory,
    SiteFactory,
    TreeFactory,
    WorkdayFactory,
    actor_of,
)
from tests.usecases import bend_world

pytestmark = pytest.mark.django_db


class House:
    """A day without lead, first aider and people, with one job on a tree of the ground."""

    def __init__(self) -> None:
        self.site = SiteFactory()
        self.boss = MemberFactory(club=self.site.club, name="Edith", coordinator=True)
        self.actor: Actor = actor_of(self.boss)
        self.day: Workday = WorkdayFactory(site=self.site, least_people=1)
        self.tree: Tree = TreeFactory(site=self.site)
        self.job: Job = JobFactory(tree=self.tree)

    def yes(self, member: Member) -> None:
        workdays.offer_hours(actor=self.actor, workday_id=self.day.pk, member_id=member.pk, answer="yes")

    def kinds(self) -> list[str]:
        return [lack.kind for lack in missing_before(self.actor, self.day.pk).lacks]

    def only(self, kind: str) -> str:
        [lack] = [lack for lack in missing_before(self.actor, self.day.pk).lacks if lack.kind == kind]
        return lack.sentence


@pytest.fixture
def house() -> House:
    return House()


def test_people_lead_and_first_aider_are_missing_until_they_come_and_have_declared_it(house: House):
    assert house.kinds() == ["people", "lead", "first_aider"]
    assert house.only("people") == "1 more person is needed, 1 at least."
    Workday.objects.update(lead=house.boss, first_aider=house.boss)
    assert house.only("lead") == "Edith leads the day and has not said yes."
    assert house.only("first_aider") == "Edith is the first aider and has not said yes."
    house.yes(house.boss)
    assert house.kinds() == ["first_aider"]
    assert house.only("first_aider") == "Edith is named as first aider and has not declared it."
    Declaration.objects.create(
        club=house.site.club, member=house.boss, kind="first_aid", given_on=date(2027, 1, 1)
    )
    assert house.kinds() == []


def test_an_owner_who_has_not_agreed_is_named_with_the_telephone(house: House):
    owner = MemberFactory(club=house.site.club, name="Wilma")
    Contact.objects.create(club=house.site.club, member=owner, telephone="01 234")
    care = Care.objects.create(
        club=house.site.club, tree=house.tree, member=owner, role="owner", ask_first=True,
        consent_until=date(2027, 3, 5),
    )  # fmt: skip
    [lack] = [x for x in missing_before(house.actor, house.day.pk).lacks if x.kind == "consent"]
    assert (lack.call, lack.tree) == (("Wilma", "01 234"), (house.tree.pk, house.tree.accession))
    Care.objects.filter(pk=care.pk).update(consent_until=date(2027, 3, 6))
    assert "consent" not in house.kinds()


def test_a_bend_without_sign_off_is_missing_until_somebody_signs(house: House):
    bend = Bend.objects.create(club=house.site.club, tree=house.tree, diameter_mm=25.0)
    JobFactory(tree=house.tree, heavy_bend=True, bend=bend)
    assert "sign_off" in house.kinds()
    Bend.objects.update(signed_by=house.boss, signed_on=date(2027, 3, 1))
    assert "sign_off" not in house.kinds()


def test_a_pair_job_that_found_no_second_is_missing_and_one_that_rests_is_not(house: House):
    pair = JobFactory(tree=TreeFactory(site=house.site), task="REPOT", crew=2)
    for code, missing in (("too_few_hands", True), ("tree_rests", False)):
        why = [[pair.pk, [{"code": code, "values": {}}]]]
        PlanFactory(workday=house.day, club=house.site.club, state="ready", outcome={"unplaced": why})
        assert ("second" in house.kinds()) == missing


def test_a_pair_job_planned_with_somebody_who_left_is_missing_by_name(house: House):
    wilma = MemberFactory(club=house.site.club, name="Wilma")
    pair = JobFactory(tree=house.tree, task="REPOT", crew=2)
    plan = PlanFactory(workday=house.day, club=house.site.club, state="out_of_date")
    for member in (house.boss, wilma):
        house.yes(member)
        Assignment.objects.create(
            club=house.site.club, plan=plan, job=pair, member=member, person_key=f"member:{member.pk}",
            role="lead", starts=datetime(2027, 3, 6, 10, tzinfo=UTC),
            ends=datetime(2027, 3, 6, 11, tzinfo=UTC), steps=[["work", 600, 660]],
        )  # fmt: skip
    assert "second" not in house.kinds()
    Offer.objects.filter(member=wilma).delete()
    assert house.only("second") == "Wilma is planned for repotting and does not come."


def test_before_a_plan_a_bend_says_who_is_missing_until_a_team_is_free():
    made = bend_world.world()

    def why() -> list[str]:
        lacks = missing_before(made.planner, made.day).lacks
        return [lack.sentence for lack in lacks if lack.kind == "second"]

    start = "Heavy bend needs 2 people, and "
    assert why() == [start + "nobody has said yes."]
    made.add("Dilip", leaves=time(10))
    assert why() == [start + "1 person has said yes."]
    made.add("Petra", lifts=False)
    assert why() == [start + "nobody who comes can lead it."]
    made.add("Wilma", "expert")
    assert why() == [start + "nobody is free with Wilma for all of it."]
    made.add("Ravi")
    assert why() == []


def test_before_a_plan_a_pair_job_wants_as_many_as_its_crew(house: House):
    JobFactory(tree=TreeFactory(site=house.site), task="REPOT", crew=2)
    house.yes(house.boss)
    assert house.only("second") == "Repotting needs 2 people, and 1 person has said yes."
    house.yes(MemberFactory(club=house.site.club))
    assert "second" not in house.kinds()


def test_a_tree_from_elsewhere_is_missing_until_somebody_brings_it(house: House):
    away = TreeFactory(site=SiteFactory(club=house.site.club), may_travel=True)
    JobFactory(tree=away)
    JobFactory(tree=TreeFactory(site=away.site))
    house.yes(house.boss)
    assert house.only("bring") == "It stands elsewhere, and nobody brings it."
    Tree.objects.filter(pk=away.pk).update(brought_by=house.boss)
    found = missing_before(house.actor, house.day.pk)
    assert "bring" not in house.kinds()
    assert found.brought == ((away.pk, away.accession, "Edith"),)


def test_somebody_who_was_asked_and_has_not_answered_is_named_until_the_place_is_taken(house: House):
    place = Place.objects.create(club=house.site.club, workday=house.day, job=house.job, number=1)
    Invitation.objects.create(club=house.site.club, place=place, order=1, member=house.boss)
    assert house.only("invitation") == "Edith was asked to help with detail wiring and has not answered."
    Place.objects.update(winner=house.boss)
    assert "invitation" not in house.kinds()


def test_only_coordinators_see_it(house: House):
    member = actor_of(MemberFactory(club=house.site.club))
    with pytest.raises(Refused) as refused:
        missing_before(member, house.day.pk)
    assert refused.value.reason.code == "coordinators_only"
