"""A person's own day: what counts as done, and how a heavy tree comes to the bench."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from collection.models import Job
from collection.queries.access import Actor
from collection.queries.my_day import MyJob, my_day
from collection.usecases import members, plans, sending, sittings, workdays
from collection.usecases.estimates import refresh_jobs
from collection.usecases.sittings import TaskDone, Worked
from tests.factories import JobFactory, SiteFactory, TreeFactory, coordinator

pytestmark = pytest.mark.django_db
DAY = date(2027, 3, 6)
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)


class Morning:
    """A workday with one job of the coordinator's own, sent out."""

    def __init__(self, **tree) -> None:
        site = SiteFactory()
        self.actor: Actor = coordinator(site.club)
        members.set_skill(
            actor=self.actor, member_id=self.actor.member_id, family="trimming", level="practised", since=DAY
        )
        self.job: Job = JobFactory(tree=TreeFactory(site=site, **tree), task="TRIM", stress=1)
        refresh_jobs([self.job.pk])
        self.day = workdays.create_workday(
            actor=self.actor, site_id=site.pk, on=DAY, opens=time(9, 30), closes=time(16, 30)
        )
        workdays.offer_hours(
            actor=self.actor, workday_id=self.day, member_id=self.actor.member_id, answer="yes"
        )
        plan = plans.request_plan(actor=self.actor, workday_id=self.day)
        plans.work_out(plan)
        sending.send_out(actor=self.actor, plan_id=plan)

    def record(self, began: datetime) -> None:
        sittings.record(
            actor=self.actor, trees=[self.job.tree_id], tasks=[TaskDone("TRIM", job_id=self.job.pk)],
            people=[Worked(self.actor.member_id, 45)], started=began, ended=began + timedelta(minutes=45),
            request_key=f"r{began}", left_open=True, note="Half of it.", workday_id=self.day,
        )  # fmt: skip

    @property
    def mine(self) -> MyJob:
        (found,) = my_day(self.actor, self.day).jobs
        return found


@pytest.fixture(autouse=True)
def clock(time_machine):
    time_machine.move_to(NOW, tick=False)
    return time_machine


def test_work_before_the_day_leaves_the_day_s_job_to_be_done(clock):
    morning = Morning()
    morning.record(NOW - timedelta(hours=1))
    assert not morning.mine.done
    clock.move_to(datetime(2027, 3, 6, 11, tzinfo=UTC))
    morning.record(datetime(2027, 3, 6, 10, tzinfo=UTC))
    assert morning.mine.done


@pytest.mark.parametrize(
    ("kg", "said"),
    [
        (12, ""),
        (22, "It weighs 22 kg: two people carry it to the bench and back."),
    ],
)
def test_a_heavy_tree_says_that_nobody_carries_it_alone(kg, said):
    assert Morning(mass_kg=kg, mass_weighed=True).mine.seat.lift == said
