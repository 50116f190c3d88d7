"""Plans of a day: asked for, read when they are ready, changed, sent out."""

from __future__ import annotations

from typing import Any

from api.fields import Body, Clock, Id, Several, YesNo
from api.operations import Asked, Noun, makes, reads
from api.shapes import shown
from collection.queries.records import days as records
from collection.queries.slices import Slice
from collection.usecases import plans, sending


class WorkdayPlans(Noun):
    noun = "plans"

    @reads(shown(records.PlanLine), paged=True)
    def get(self, asked: Asked, workday_id: int) -> Slice[Any]:
        """Plans of a day, newest first; those not sent out are for coordinators."""
        return records.plan_lines(asked.actor, workday_id, asked.wanted)

    @makes(shown(records.PlanRecord), at="api-plan")
    def post(self, asked: Asked, workday_id: int) -> records.PlanRecord:
        """Ask for a new plan; it is worked out in the background, so read it until it is ready."""
        plan = plans.request_plan(actor=asked.actor, workday_id=workday_id)
        return records.plan_record(asked.actor, plan)


class Plan(Noun):
    noun = "plans"

    @reads(shown(records.PlanRecord))
    def get(self, asked: Asked, plan_id: int) -> records.PlanRecord:
        """One plan: its state, who does what, and what did not fit and why."""
        return records.plan_record(asked.actor, plan_id)


class PlanSend(Noun):
    noun = "plans"

    @makes(shown(records.PlanRecord), status=200)
    def post(self, asked: Asked, plan_id: int) -> records.PlanRecord:
        """Send the plan out."""
        sending.send_out(actor=asked.actor, plan_id=plan_id)
        return records.plan_record(asked.actor, plan_id)


class OneJob(Body):
    """A job of the plan's day."""

    job_id = Id()


class PlanLeaveOut(Noun):
    noun = "plans"

    @makes(shown(records.PlanRecord), body=OneJob, at="api-plan")
    def post(self, asked: Asked, plan_id: int) -> records.PlanRecord:
        """Leave a job out of the day; a new plan follows."""
        plan = plans.leave_out(actor=asked.actor, plan_id=plan_id, **asked.body)
        return records.plan_record(asked.actor, plan)


class PlanPutBack(Noun):
    noun = "plans"

    @makes(shown(records.PlanRecord), body=OneJob, at="api-plan")
    def post(self, asked: Asked, plan_id: int) -> records.PlanRecord:
        """Take a job that was left out back in; a new plan follows."""
        plan = plans.put_back_in(actor=asked.actor, plan_id=plan_id, **asked.body)
        return records.plan_record(asked.actor, plan)


class OnePerson(Body):
    """Somebody who is not here after all, or is again."""

    member_id = Id()
    here = YesNo(required=False, default=False)


class PlanNotHere(Noun):
    noun = "plans"

    @makes(shown(records.PlanRecord), body=OnePerson, at="api-plan")
    def post(self, asked: Asked, plan_id: int) -> records.PlanRecord:
        """Somebody is not here after all, or is again; a new plan follows."""
        plan = plans.not_here(actor=asked.actor, plan_id=plan_id, **asked.body)
        return records.plan_record(asked.actor, plan)


class Moved(Body):
    """Other people on a job, lead first, perhaps at another time in steps of five minutes."""

    job_id = Id()
    people = Several(child=Id(), max_length=4)
    start = Clock(required=False)


class PlanMove(Noun):
    noun = "plans"

    @makes(shown(records.PlanRecord), body=Moved, at="api-plan")
    def post(self, asked: Asked, plan_id: int) -> records.PlanRecord:
        """Put other people on a job, or another time; a new plan follows."""
        start = asked.body.get("start")
        plan = plans.move(
            actor=asked.actor,
            plan_id=plan_id,
            job_id=asked.body["job_id"],
            people=asked.body["people"],
            start=f"{start:%H:%M}" if start else "",
        )
        return records.plan_record(asked.actor, plan)
