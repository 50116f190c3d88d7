"""What people are to be told on a day: who hears of what, from when, and until when."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection import models
from collection.queries.due_notices import facts_on
from collection.queries.notice_kinds import TOLD, WAYS, NoticeKind
from collection.queries.roundup_words import WORDINGS, line_of
from tests.factories import (
    BenchFactory,
    JobFactory,
    MemberFactory,
    PlanFactory,
    SiteFactory,
    TreeFactory,
    WorkdayFactory,
)

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 3)
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)


class House:
    """A club with a coordinator, a member and a tree that the member keeps."""

    def __init__(self) -> None:
        self.site = SiteFactory()
        self.club = self.site.club
        self.coordinator = MemberFactory(club=self.club, coordinator=True)
        self.member = MemberFactory(club=self.club)
        self.tree = TreeFactory(site=self.site, bench=BenchFactory(site=self.site, name="Shelf"))
        self.keep(self.member)

    def keep(self, member: models.Member, role: str = "carer") -> None:
        models.Care.objects.create(club=self.club, tree=self.tree, member=member, role=role)

    def told(self, kind: str, at: datetime = NOW) -> set[int]:
        return {fact.member_id for fact in facts_on(self.club, at) if fact.kind == kind}

    def sat(self, member: models.Member, tree: models.Tree, on: date, **fields) -> models.Sitting:
        began = datetime.combine(on, time(10), UTC)
        fields = {"started": began, "ended": began + timedelta(hours=1), "request_key": f"k{on}"} | fields
        sitting = models.Sitting.objects.create(club=self.club, tree=tree, **fields)
        models.SittingMember.objects.create(club=self.club, sitting=sitting, member=member, minutes=60)
        models.SittingTask.objects.create(club=self.club, sitting=sitting, task="TRIM")
        return sitting


@pytest.fixture
def house() -> House:
    return House()


def days(count: int) -> timedelta:
    return timedelta(days=count)


# --- days ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("ahead", "told"), [(0, True), (2, True), (3, False)])
def test_a_booked_day_is_told_from_two_days_before(house, ahead, told):
    day = WorkdayFactory(site=house.site, date=TODAY + days(ahead), opens=time(13), closes=time(16))
    models.Offer.objects.create(club=house.club, workday=day, member=house.member, answer="yes")
    assert (house.member.pk in house.told("day_ahead")) is told
    assert house.coordinator.pk not in house.told("day_ahead")


def test_a_day_that_has_begun_is_not_ahead(house):
    day = WorkdayFactory(site=house.site, date=TODAY, opens=time(8), closes=time(16))
    models.Offer.objects.create(club=house.club, workday=day, member=house.member, answer="yes")
    assert house.told("day_ahead") == set()


def test_a_job_on_the_plan_sent_out_books_a_day_and_a_no_takes_it_back(house):
    day = WorkdayFactory(site=house.site, date=TODAY + days(2), state="sent")
    plan = PlanFactory(workday=day, state="ready", sent_out=True)
    seat = {
        "club": house.club, "plan": plan, "job": JobFactory(tree=house.tree), "person_key": "member:1",
        "starts": datetime(2027, 3, 5, 10, tzinfo=UTC), "ends": datetime(2027, 3, 5, 11, tzinfo=UTC),
        "confirmed": True, "steps": [["work", 600, 660]],
    }  # fmt: skip
    models.Assignment.objects.create(member=house.member, role="lead", **seat)
    models.Assignment.objects.create(
        member=house.coordinator, role="hand", **(seat | {"person_key": "member:2"})
    )
    [mine] = [f for f in facts_on(house.club, NOW) if f.member_id == house.member.pk]
    [job] = mine.values["jobs"]
    assert job["people"] == [["", "lead"], [house.coordinator.name, "hand"]]
    assert (job["from"], job["to"], job["tree"]) == ("10:00", "11:00", house.tree.accession)
    models.Offer.objects.create(club=house.club, workday=day, member=house.member, answer="no")
    assert house.told("day_ahead") == {house.coordinator.pk}


@pytest.mark.parametrize("answer", ["yes", "perhaps", "no"])
def test_an_open_day_asks_only_those_without_an_answer(house, answer):
    day = WorkdayFactory(site=house.site, date=TODAY + days(20))
    assert house.told("day_open") == {house.member.pk, house.coordinator.pk}
    models.Offer.objects.create(club=house.club, workday=day, member=house.member, answer=answer)
    assert house.told("day_open") == {house.coordinator.pk}


def test_nobody_is_asked_too_early_or_after_the_evening_before(house):
    day = WorkdayFactory(site=house.site, date=TODAY + days(28))
    assert house.told("day_open", NOW - days(1)) == set()
    assert house.told("day_open", NOW)
    evening = datetime.combine(day.date - days(1), time(18), UTC)  # London has summer time by then
    assert house.told("day_open", evening - timedelta(hours=1, minutes=1))
    assert house.told("day_open", evening - timedelta(hours=1)) == set()


@pytest.mark.parametrize("state", ["draft", "cancelled", "held", "sent"])
def test_a_day_that_is_not_open_asks_nobody(house, state):
    WorkdayFactory(site=house.site, date=TODAY + days(10), state=state)
    assert house.told("day_open") == set()


# --- trees --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("ahead", "told"), [(1, True), (28, True), (29, False), (0, False)])
def test_a_window_is_told_four_weeks_before_it_opens(house, ahead, told):
    JobFactory(tree=house.tree, opens=TODAY + days(ahead), closes=TODAY + days(60))
    assert house.told("window_opens") == ({house.member.pk} if told else set())


def test_trees_of_one_window_are_one_fact_by_bench_and_a_tree_of_nobody_goes_to_the_coordinator(house):
    other = TreeFactory(site=house.site)
    second = TreeFactory(site=house.site, bench=house.tree.bench)
    models.Care.objects.create(club=house.club, tree=second, member=house.member, role="owner")
    for tree in (house.tree, second, other):
        JobFactory(tree=tree, opens=TODAY + days(7), closes=TODAY + days(60))
    facts = {f.member_id: f.values for f in facts_on(house.club, NOW)}
    assert facts[house.member.pk]["benches"] == [["Shelf", sorted([house.tree.accession, second.accession])]]
    assert facts[house.member.pk]["unkept"] is False
    assert facts[house.coordinator.pk]["benches"] == [[house.site.name, [other.accession]]]
    assert facts[house.coordinator.pk]["unkept"] is True


def test_who_carries_a_tree_is_told_and_not_its_owner_too(house):
    owner = MemberFactory(club=house.club)
    house.keep(owner, "owner")
    JobFactory(tree=house.tree, opens=TODAY + days(7), closes=TODAY + days(60))
    assert house.told("window_opens") == {house.member.pk}


@pytest.mark.parametrize(
    ("stress", "left", "told"), [(3, 7, True), (3, 0, True), (3, 8, False), (2, 3, False), (3, -1, False)]
)
def test_hard_work_is_told_in_its_last_seven_days_to_keeper_and_coordinator(house, stress, left, told):
    JobFactory(tree=house.tree, opens=TODAY - days(30), closes=TODAY + days(left), stress=stress)
    everybody = {house.member.pk, house.coordinator.pk}
    assert house.told("window_closes") == (everybody if told else set())


def test_hard_work_that_somebody_is_down_for_is_not_told(house):
    job = JobFactory(tree=house.tree, opens=TODAY - days(30), closes=TODAY + days(5), stress=3)
    day = WorkdayFactory(site=house.site, date=TODAY + days(3), state="sent")
    plan = PlanFactory(workday=day, state="ready", sent_out=True)
    models.Assignment.objects.create(
        club=house.club, plan=plan, job=job, member=house.member, person_key="m", role="lead", confirmed=True,
        starts=datetime(2027, 3, 6, 10, tzinfo=UTC), ends=datetime(2027, 3, 6, 11, tzinfo=UTC),
    )  # fmt: skip
    assert house.told("window_closes") == set()


def test_a_tree_left_open_is_told_from_the_next_day_until_somebody_goes_on(house):
    house.sat(house.member, house.tree, TODAY, left_open=True, note="Stopped at the apex.")
    assert house.told("tree_open") == set()
    tomorrow = NOW + days(1)
    [fact] = [f for f in facts_on(house.club, tomorrow) if f.kind == "tree_open"]
    assert (fact.member_id, fact.values["note"]) == (house.member.pk, "Stopped at the apex.")
    house.sat(house.coordinator, house.tree, TODAY + days(1))
    assert house.told("tree_open", tomorrow + days(1)) == set()


# --- wire ---------------------------------------------------------------------------------------


def wire(house: House, look_on: date | None, **fields) -> models.Wire:
    return models.Wire.objects.create(
        club=house.club, tree=house.tree, label="W1", length_m=1, gauge_mm=2, metal="copper",
        on=date(2026, 10, 1), look_on=look_on, **fields,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("ahead", "look", "today"), [(8, False, False), (7, True, False), (0, True, True), (-30, True, True)]
)
def test_a_look_is_told_a_week_before_and_again_on_its_day(house, ahead, look, today):
    wire(house, TODAY + days(ahead))
    assert house.told("wire_look") == ({house.member.pk} if look else set())
    assert house.told("wire_today") == ({house.member.pk} if today else set())


def test_a_wire_taken_off_asks_for_no_look(house):
    wire(house, TODAY, off=TODAY)
    assert house.told("wire_look") == set()


def test_where_nobody_keeps_the_tree_whoever_wired_it_last_is_told_then_the_coordinator(house):
    models.Care.objects.all().delete()
    wire(house, TODAY)
    assert house.told("wire_today") == {house.coordinator.pk}
    sitting = house.sat(house.member, house.tree, date(2026, 10, 1))
    models.SittingTask.objects.create(club=house.club, sitting=sitting, task="WIRE_DETAIL")
    house.sat(MemberFactory(club=house.club), house.tree, date(2026, 11, 1))
    assert house.told("wire_today") == {house.member.pk}


def test_a_guy_wire_is_looked_at_too(house):
    models.Guy.objects.create(
        club=house.club, tree=house.tree, label="Y1", gauge_mm=1, metal="copper", on=TODAY, look_on=TODAY
    )
    [fact] = [f for f in facts_on(house.club, NOW) if f.kind == "wire_today"]
    assert fact.subject.startswith("guy:")


# --- everybody ------------------------------------------------------------------------------------


def fill(house: House, count: int) -> None:
    for _ in range(count):
        member = MemberFactory(club=house.club)
        tree = TreeFactory(site=house.site)
        models.Care.objects.create(club=house.club, tree=tree, member=member, role="owner")
        JobFactory(tree=tree, opens=TODAY + days(7), closes=TODAY + days(60))
        JobFactory(tree=tree, opens=TODAY - days(7), closes=TODAY + days(2), stress=3)
        models.Wire.objects.create(
            club=house.club, tree=tree, label="W1", length_m=1, gauge_mm=2, metal="copper",
            on=date(2026, 10, 1), look_on=TODAY,
        )  # fmt: skip
        house.sat(member, tree, TODAY - days(3), left_open=True, note="Half.", request_key=f"f{tree.pk}")
        day = WorkdayFactory(site=house.site, date=TODAY + days(1 + len(models.Workday.objects.all())))
        models.Offer.objects.create(club=house.club, workday=day, member=member, answer="yes")


def test_who_wants_no_mail_and_who_has_left_are_told_nothing(house):
    fill(house, 1)
    models.Member.objects.filter(pk=house.member.pk).update(wants_mail=False)
    models.Member.objects.filter(pk=house.coordinator.pk).update(active_to=TODAY - days(1))
    told = {fact.member_id for fact in facts_on(house.club, NOW)}
    assert told
    assert not told & {house.member.pk, house.coordinator.pk}


def test_three_times_the_rows_cost_the_same_queries(house):
    def cost() -> int:
        with CaptureQueriesContext(connection) as taken:
            assert {fact.kind for fact in facts_on(house.club, NOW)} >= set(WAYS) - TOLD
        return len(taken)

    fill(house, 3)
    few = cost()
    fill(house, 6)
    assert cost() == few <= 20


def test_another_clubs_rows_are_told_to_nobody_here(house):
    fill(house, 2)
    other = House()
    assert {fact.member_id for fact in facts_on(other.club, NOW)} == set()


def test_every_kind_has_a_way_and_words():
    assert {kind.value for kind in NoticeKind} <= set(WAYS)
    assert set(WAYS) <= set(WORDINGS)


def test_every_fact_has_a_finished_line_and_may_be_kept_as_json(house):
    fill(house, 2)
    for fact in facts_on(house.club, NOW):
        line = line_of(fact.kind, fact.subject, fact.values, TODAY)
        assert line is not None
        assert line.text[0].isupper() or line.text[0].isdigit()
        assert line.text.endswith(".")
        assert "%(" not in line.text + line.below
        assert fact.expires_at >= fact.due_at
        assert len(fact.subject) <= 60
        assert len(fact.period) <= 20
