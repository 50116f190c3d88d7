"""A plan is asked for, worked out once elsewhere, changed as asked, and sent out without double booking."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest
from django.test import Client

from collection.models import Assignment, Change, Job, Member, MemberSkill, Plan
from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.usecases import plans, sending, sweep, workdays
from collection.usecases.edit import edit
from collection.usecases.estimates import refresh_jobs
from tests.factories import JobFactory, MemberFactory, SiteFactory, TreeFactory, actor_of, coordinator

pytestmark = pytest.mark.django_db
DAY = date(2027, 3, 6)
LONG_AGO = datetime(2020, 1, 1, tzinfo=UTC)


class House:
    """A day with three people and three trees to trim."""

    def __init__(self) -> None:
        self.site = SiteFactory()
        self.actor: Actor = coordinator(self.site.club)
        self.day = workdays.create_workday(
            actor=self.actor, site_id=self.site.pk, on=DAY, opens=time(9, 30), closes=time(13, 30)
        )
        self.people = [self.person() for _ in range(3)]
        self.jobs = [self.job() for _ in range(3)]

    def person(self) -> Member:
        member = MemberFactory(club=self.site.club)
        MemberSkill.objects.create(
            club=self.site.club, member=member, family="trimming", level="expert", since=date(2026, 1, 1)
        )
        workdays.offer_hours(actor=self.actor, workday_id=self.day, member_id=member.pk, answer="yes")
        return member

    def job(self) -> Job:
        job = JobFactory(tree=TreeFactory(site=self.site), task="TRIM")
        refresh_jobs([job.pk])
        return job

    def ask(self) -> int:
        return plans.request_plan(actor=self.actor, workday_id=self.day)

    def planned(self) -> Plan:
        plan = self.ask()
        assert plans.work_out(plan, effort=0.5)
        return Plan.objects.get(pk=plan)


@pytest.fixture
def house() -> House:
    return House()


def seats(plan: Plan) -> dict[int, list[int]]:
    """Job -> people."""
    found: dict[int, list[int]] = {}
    for seat in plan.assignments.order_by("id"):
        found.setdefault(seat.job_id, []).append(seat.member_id)
    return found


def test_asking_writes_a_waiting_plan_and_works_nothing_out(house: House):
    plan = Plan.objects.get(pk=house.ask())
    assert (plan.state, plan.number, plan.attempts) == ("waiting", 1, 0)
    assert not Assignment.objects.exists()


def test_the_button_on_the_page_only_asks(house: House):
    client = Client()
    client.force_login(Member.objects.get(pk=house.actor.member_id).account)
    assert client.post(f"/days/{house.day}/plan").status_code == 302
    plan = Plan.objects.get()
    assert (plan.state, plan.attempts) == ("waiting", 0)
    state = client.get(f"/plans/{plan.pk}/state").json()
    assert (state["state"], state["words"]) == ("waiting", "waiting")


def test_the_sweep_works_the_waiting_plan_out(house: House):
    plan = house.ask()
    assert sweep.run() == 1
    done = Plan.objects.get(pk=plan)
    assert (done.state, done.attempts, done.lease_until) == ("ready", 1, None)
    assert set(seats(done)) == {job.pk for job in house.jobs}
    assert sweep.run() == 0


def test_a_second_worker_finds_the_plan_taken(house: House):
    plan = house.ask()
    assert plans.claim(plan)
    assert not plans.claim(plan)
    assert not plans.work_out(plan, effort=0.5)
    assert not Assignment.objects.exists()


def test_a_worker_that_let_its_lease_run_out_is_followed_by_another(house: House):
    plan = house.ask()
    assert plans.claim(plan)
    Plan.objects.filter(pk=plan).update(lease_until=LONG_AGO)
    assert sweep.run() == 1
    assert Plan.objects.get(pk=plan).attempts == 2


def test_a_worker_that_lost_its_claim_writes_nothing(house: House):
    plan = house.ask()
    assert plans.claim(plan)
    late = Plan.objects.select_related("workday", "workday__site").get(pk=plan)
    problem = plans.day_problem(late)
    outcome = plans.solve(problem, effort=0.5)
    Plan.objects.filter(pk=plan).update(lease_until=LONG_AGO)
    assert plans.claim(plan)
    assert not plans._write(late, problem, outcome)
    assert not Assignment.objects.exists()
    assert Plan.objects.get(pk=plan).state == "working"


def test_a_plan_that_took_three_workers_down_is_given_up(house: House):
    plan = house.ask()
    for _ in range(3):
        assert plans.claim(plan)
        Plan.objects.filter(pk=plan).update(lease_until=LONG_AGO)
    assert not plans.claim(plan)
    assert sweep.run() == 0
    assert Plan.objects.get(pk=plan).state == "failed"


def test_a_day_that_changed_while_the_plan_was_worked_out_makes_it_out_of_date(house: House):
    asked = house.ask()
    assert plans.claim(asked)
    plan = Plan.objects.select_related("workday", "workday__site").get(pk=asked)
    problem = plans.day_problem(plan)
    outcome = plans.solve(problem, effort=0.5)
    house.job()
    assert plans._write(plan, problem, outcome)
    assert Plan.objects.get(pk=plan.pk).state == "out_of_date"


def test_a_changed_answer_puts_a_ready_plan_out_of_date(house: House):
    plan = house.planned()
    assert plan.state == "ready"
    workdays.offer_hours(actor=house.actor, workday_id=house.day, member_id=house.people[0].pk, answer="no")
    assert Plan.objects.get(pk=plan.pk).state == "out_of_date"


def test_a_new_question_takes_the_place_of_one_that_waits(house: House):
    first, second = house.ask(), house.ask()
    assert Plan.objects.get(pk=first).state == "out_of_date"
    assert Plan.objects.get(pk=second).number == 2
    assert sweep.run() == 1


def test_a_job_left_out_stays_out_until_it_is_put_back(house: House):
    first = house.planned()
    job = house.jobs[0].pk
    plan = plans.leave_out(actor=house.actor, plan_id=first.pk, job_id=job)
    plans.work_out(plan, effort=0.5)
    without = Plan.objects.get(pk=plan)
    assert job not in seats(without)
    assert [r["code"] for j, why in without.outcome["unplaced"] if j == job for r in why] == ["left_out"]
    again = plans.put_back_in(actor=house.actor, plan_id=plan, job_id=job)
    plans.work_out(again, effort=0.5)
    assert job in seats(Plan.objects.get(pk=again))


def test_somebody_not_here_gets_no_job_and_comes_back(house: House):
    first = house.planned()
    gone = house.people[0].pk
    plan = plans.not_here(actor=house.actor, plan_id=first.pk, member_id=gone)
    plans.work_out(plan, effort=0.5)
    assert not any(gone in team for team in seats(Plan.objects.get(pk=plan)).values())
    again = plans.not_here(actor=house.actor, plan_id=plan, member_id=gone, here=True)
    plans.work_out(again, effort=0.5)
    assert Plan.objects.get(pk=again).wishes["away"] == []


def test_a_job_moves_to_the_person_and_the_time_asked_for(house: House):
    first = house.planned()
    job, person = house.jobs[0].pk, house.people[2].pk
    plan = plans.move(actor=house.actor, plan_id=first.pk, job_id=job, people=[person], start="11:00")
    plans.work_out(plan, effort=0.5)
    moved = Assignment.objects.get(plan_id=plan, job_id=job)
    assert moved.member_id == person
    assert moved.pinned
    assert moved.starts == datetime(2027, 3, 6, 11, 0, tzinfo=UTC)


def code(call) -> tuple[str, str]:
    with pytest.raises(Refused) as refused:
        call()
    return refused.value.reason.code, refused.value.kind


def test_what_cannot_be_asked_for_is_refused_and_leaves_nothing(house: House):
    plan = house.planned()
    job, before = house.jobs[0].pk, Plan.objects.count()
    stranger = MemberFactory(club=house.site.club)
    member = actor_of(stranger)
    move = {"actor": house.actor, "plan_id": plan.pk, "job_id": job}
    one = house.people[0].pk
    assert code(lambda: plans.move(**move, people=[stranger.pk])) == ("does_not_come", "invalid")
    assert code(lambda: plans.move(**move, people=[one, one])) == ("person_twice", "invalid")
    assert code(lambda: plans.move(**move, people=[one], start="9:07")) == ("start_time", "invalid")
    assert code(lambda: plans.move(**move, people=[one], start="late")) == ("start_time", "invalid")
    assert code(lambda: plans.move(**move, people=[one], start="15:00")) == ("start_time", "invalid")
    assert code(lambda: plans.move(**move, people=[one], start="11:00+05:00")) == ("start_time", "invalid")
    assert code(lambda: plans.move(**move, people=[one], start="11:00:30")) == ("start_time", "invalid")
    forbidden = ("coordinators_only", "forbidden")
    assert code(lambda: plans.request_plan(actor=member, workday_id=house.day)) == forbidden
    assert code(lambda: sending.send_out(actor=member, plan_id=plan.pk)) == forbidden
    elsewhere = coordinator()
    assert code(lambda: plans.request_plan(actor=elsewhere, workday_id=house.day)) == (
        "not_found",
        "not_found",
    )
    assert Plan.objects.count() == before


def test_a_day_without_people_or_a_day_that_is_over_gets_no_plan(house: House):
    empty = workdays.create_workday(
        actor=house.actor, site_id=house.site.pk, on=date(2027, 3, 20), opens=time(9), closes=time(12)
    )
    assert code(lambda: plans.request_plan(actor=house.actor, workday_id=empty))[0] == "nobody_comes"
    workdays.hold(actor=house.actor, workday_id=house.day, today=DAY)
    assert code(house.ask) == ("day_over", "conflict")


def test_a_plan_sent_out_confirms_its_places_and_a_newer_one_takes_them_over(house: House):
    first = house.planned()
    sending.send_out(actor=house.actor, plan_id=first.pk)
    assert set(first.assignments.values_list("confirmed", flat=True)) == {True}
    second = house.planned()
    sending.send_out(actor=house.actor, plan_id=second.pk)
    assert set(first.assignments.values_list("confirmed", flat=True)) == {False}
    assert set(second.assignments.values_list("confirmed", flat=True)) == {True}
    assert Plan.objects.filter(sent_out=True).count() == 1
    told = Change.objects.filter(table="plan", row=first.pk, after__has_key="sent_out").order_by("id")
    assert list(told.values_list("before__sent_out", "after__sent_out")) == [(False, True), (True, False)]


def test_a_plan_that_went_out_of_date_is_not_sent_out(house: House):
    plan = house.planned()
    workdays.offer_hours(actor=house.actor, workday_id=house.day, member_id=house.people[0].pk, answer="no")
    refused = code(lambda: sending.send_out(actor=house.actor, plan_id=plan.pk))
    assert refused == ("plan_not_ready", "conflict")
    assert not Assignment.objects.filter(confirmed=True).exists()


def test_a_plan_that_waits_is_not_sent_out(house: House):
    plan = house.ask()
    refused = code(lambda: sending.send_out(actor=house.actor, plan_id=plan))
    assert refused == ("plan_not_ready", "conflict")


@pytest.mark.django_db(transaction=True)
def test_nobody_is_sent_to_two_clubs_at_once():
    here, there = House(), House()
    both = here.people[0]
    twin = there.people[0]
    edit(twin, twin.version, {"account_id": both.account_id}, there.actor)
    for house, member in ((here, both), (there, twin)):
        plan = house.planned()
        moved = plans.move(
            actor=house.actor, plan_id=plan.pk, job_id=house.jobs[0].pk, people=[member.pk], start="10:00"
        )
        plans.work_out(moved, effort=0.5)
    sending.send_out(
        actor=here.actor, plan_id=Plan.objects.filter(club_id=here.actor.club_id).latest("number").pk
    )
    late = Plan.objects.filter(club_id=there.actor.club_id).latest("number")
    refused = code(lambda: sending.send_out(actor=there.actor, plan_id=late.pk))
    assert refused == ("busy_in_another_club", "conflict")
    assert not Assignment.objects.filter(plan=late, confirmed=True).exists()
    assert not Plan.objects.get(pk=late.pk).sent_out


def test_a_job_is_not_moved_to_somebody_who_may_not_lead_it(house: House):
    plan = house.planned()
    novice = MemberFactory(club=house.site.club, name="Bram")
    workdays.offer_hours(actor=house.actor, workday_id=house.day, member_id=novice.pk, answer="yes")
    before = Plan.objects.count()
    move = {"actor": house.actor, "plan_id": plan.pk, "job_id": house.jobs[0].pk}
    assert code(lambda: plans.move(**move, people=[novice.pk])) == ("level_too_low", "invalid")
    assert Plan.objects.count() == before
