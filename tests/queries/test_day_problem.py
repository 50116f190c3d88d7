"""The day as the planner sees it: what holds a job, and hard work on one tree weighed together."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from collection.models import Care, Job, Plan
from collection.queries.access import Actor
from collection.queries.day_problem import day_problem
from collection.usecases import bends, plans, sittings, workdays
from collection.usecases.estimates import refresh_jobs
from collection.usecases.sittings import TaskDone, Worked
from tests.factories import JobFactory, MemberFactory, SiteFactory, TreeFactory, coordinator

pytestmark = pytest.mark.django_db
DAY = date(2027, 3, 6)


@pytest.fixture
def site():
    return SiteFactory()


@pytest.fixture
def actor(site) -> Actor:
    return coordinator(site.club)


@pytest.fixture
def day(site, actor: Actor) -> int:
    found = workdays.create_workday(
        actor=actor, site_id=site.pk, on=DAY, opens=time(9, 30), closes=time(13, 30)
    )
    member = MemberFactory(club=site.club)
    workdays.offer_hours(actor=actor, workday_id=found, member_id=member.pk, answer="yes")
    return found


def specs(actor: Actor, day: int) -> dict[int, object]:
    plan = Plan.objects.select_related("workday").get(pk=plans.request_plan(actor=actor, workday_id=day))
    return {spec.id: spec for spec in day_problem(plan).jobs}


def held(actor: Actor, day: int, job: Job) -> set[str]:
    return {reason.code for reason in specs(actor, day)[job.pk].holds}


def job_on(tree, task: str, stress: int = 1, **fields) -> Job:
    job = JobFactory(tree=tree, task=task, stress=stress, **fields)
    refresh_jobs([job.pk])
    return job


def test_an_owner_who_is_to_be_asked_first_holds_the_job_until_he_agrees(actor, day, site):
    job = job_on(TreeFactory(site=site), "TRIM")
    care = Care.objects.create(
        club=site.club, tree=job.tree, member=MemberFactory(club=site.club), role="owner", ask_first=True
    )
    assert held(actor, day, job) == {"needs_consent"}
    Care.objects.filter(pk=care.pk).update(consent_until=DAY)
    assert held(actor, day, job) == set()


def test_a_bend_is_held_until_it_is_signed_off(actor, day, site):
    tree = TreeFactory(site=site)
    pk = bends.want_bend(actor=actor, tree_id=tree.pk, diameter_mm=28, opens=DAY, closes=DAY)
    job = Job.objects.get(pk=pk)
    assert held(actor, day, job) == {"needs_sign_off"}
    bends.sign_off(actor=actor, bend_id=job.bend_id, version=1, today=DAY)
    assert held(actor, day, job) == set()
    spec = specs(actor, day)[pk]
    assert (spec.crew, spec.lead_level, spec.least_skill) == (2, "expert", "expert")
    assert any(part.kind == "held" for part in spec.segments["expert"])


def test_a_tree_that_is_left_alone_says_until_when(actor, day, site):
    job = job_on(TreeFactory(site=site, leave_alone_until=date(2027, 4, 1)), "TRIM")
    assert held(actor, day, job) == {"leave_alone"}


def test_root_work_and_a_bend_on_one_tree_are_not_both_offered_the_more_pressing_stands(actor, day, site):
    tree = TreeFactory(site=site, group="G03")
    repot = job_on(tree, "REPOT", stress=3, priority=5)
    bend = job_on(tree, "HEAVY_BEND", stress=3, crew=2)
    assert held(actor, day, repot) == set()
    assert held(actor, day, bend) != set()
    Job.objects.filter(pk=bend.pk).update(priority=5)
    Job.objects.filter(pk=repot.pk).update(priority=1)
    assert held(actor, day, bend) == set()
    assert held(actor, day, repot) != set()


def test_a_tree_rests_after_root_work(actor, day, site):
    tree = TreeFactory(site=site, group="G03")
    job = job_on(tree, "PRUNE_STRUCT", stress=2)
    assert held(actor, day, job) == set()
    began = datetime(2027, 2, 20, 10, tzinfo=UTC)
    sittings.record(
        actor=actor, trees=[tree.pk], tasks=[TaskDone("REPOT")], people=[Worked(actor.member_id, 60)],
        started=began, ended=began + timedelta(hours=1), request_key="r",
    )  # fmt: skip
    assert "tree_rests" in held(actor, day, job)


def test_a_tree_elsewhere_is_not_here_unless_it_may_travel_and_somebody_brings_it(actor, day, site):
    home = SiteFactory(club=site.club, kind="home")
    tree = TreeFactory(site=home)
    job = job_on(tree, "TRIM")
    assert not specs(actor, day)[job.pk].tree_is_here
    type(tree).objects.filter(pk=tree.pk).update(may_travel=True)
    assert not specs(actor, day)[job.pk].tree_is_here
    type(tree).objects.filter(pk=tree.pk).update(brought_by=MemberFactory(club=site.club))
    assert specs(actor, day)[job.pk].tree_is_here


def test_a_window_that_does_not_hold_the_day_brings_no_job(actor, day, site):
    tree = TreeFactory(site=site)
    inside = job_on(tree, "TRIM")
    outside = job_on(tree, "PINCH", opens=date(2027, 3, 7))
    assert inside.pk in specs(actor, day)
    assert outside.pk not in specs(actor, day)


def test_no_later_day_inside_the_window_gives_four_points_more(actor, day, site):
    job = job_on(TreeFactory(site=site), "TRIM")
    assert specs(actor, day)[job.pk].priority == 7
    workdays.create_workday(
        actor=actor, site_id=site.pk, on=date(2027, 3, 20), opens=time(9), closes=time(12)
    )
    assert specs(actor, day)[job.pk].priority == 3
