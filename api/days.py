"""Workdays: made, changed, opened, moved, called off, held; who comes and who came."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from rest_framework import serializers

from api.fields import Body, Choice, Clock, Day, Id, Several, Text, Whole, YesNo, optional
from api.operations import Asked, Noun, edits, makes, own_key, reads, sets
from api.shapes import shown
from api.words import ANSWERS, DAY_STATES
from collection.queries.records import days as records
from collection.queries.slices import Slice
from collection.usecases import attendance, day_record, offers, workdays

UNKNOWN = {"required": False, "allow_null": True}


class DayQuery(Body):
    """In which state."""

    state = Choice(choices=DAY_STATES, required=False)


class Break(Body):
    """A break; wall times."""

    begins = Clock()
    ends = Clock()


class DayFields(Body):
    """A workday; wall times of the club's zone."""

    site_id = Id()
    opens = Clock()
    closes = Clock()
    breaks = Several(child=Break(), required=False, max_length=10)
    briefing_min = Whole(required=False, min_value=0, max_value=120)
    closing_min = Whole(required=False, min_value=0, max_value=120)
    lead_id = Id(**UNKNOWN)
    first_aider_id = Id(**UNKNOWN)
    least_people = Whole(required=False, min_value=1, max_value=500)
    most_people = Whole(**UNKNOWN, min_value=1, max_value=500)
    bring = Text(required=False, allow_blank=True, max_length=2_000)


class NewDay(DayFields):
    """A workday; a draft is seen by coordinators only."""

    date = Day()
    state = Choice(choices=("draft", "open"), required=False, default="draft")


DayChanges = optional(DayFields, "DayChanges")


def _breaks(body: dict[str, Any]) -> dict[str, Any]:
    """The body with its breaks as pairs of times."""
    if "breaks" not in body:
        return body
    return body | {"breaks": [(pause["begins"], pause["ends"]) for pause in body["breaks"]]}


class Workdays(Noun):
    noun = "workdays"

    @reads(shown(records.WorkdayRecord), query=DayQuery, paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Workdays by date; drafts for coordinators only."""
        return records.workday_records(asked.actor, asked.wanted, **asked.query)

    @makes(shown(records.WorkdayRecord), body=NewDay, at="api-workday")
    def post(self, asked: Asked) -> records.WorkdayRecord:
        """Put a workday on the club's list."""
        said = _breaks(dict(asked.body))
        day = workdays.create_workday(actor=asked.actor, on=said.pop("date"), **said)
        return records.workday_record(asked.actor, day)


class Workday(Noun):
    noun = "workdays"

    @reads(shown(records.WorkdayRecord))
    def get(self, asked: Asked, workday_id: int) -> records.WorkdayRecord:
        """One workday."""
        return records.workday_record(asked.actor, workday_id)

    @edits(shown(records.WorkdayRecord), body=DayChanges)
    def patch(self, asked: Asked, workday_id: int) -> records.WorkdayRecord:
        """Change what a day is like; everybody with an answer is told of other times or another place."""
        workdays.change_workday(
            actor=asked.actor, workday_id=workday_id, version=asked.version, changes=_breaks(asked.body)
        )
        return records.workday_record(asked.actor, workday_id)


class WorkdayOpen(Noun):
    noun = "workdays"

    @edits(shown(records.WorkdayRecord))
    def put(self, asked: Asked, workday_id: int) -> records.WorkdayRecord:
        """Turn a draft into a day that takes answers."""
        workdays.open_for_offers(actor=asked.actor, workday_id=workday_id, version=asked.version)
        return records.workday_record(asked.actor, workday_id)


class OtherDate(Body):
    """Another date; answers for the old one are taken away unless they are kept."""

    date = Day()
    keep_answers = YesNo(required=False, default=False)


class WorkdayDate(Noun):
    noun = "workdays"

    @edits(shown(records.WorkdayRecord), body=OtherDate)
    def put(self, asked: Asked, workday_id: int) -> records.WorkdayRecord:
        """Hold the day on another date."""
        workdays.move_workday(
            actor=asked.actor,
            workday_id=workday_id,
            on=asked.body["date"],
            keep_answers=asked.body["keep_answers"],
            today=asked.today,
            version=asked.version,
        )
        return records.workday_record(asked.actor, workday_id)


class Why(Body):
    """Why."""

    why = Text(max_length=200)


class WorkdayCancelled(Noun):
    noun = "workdays"

    @edits(shown(records.WorkdayRecord), body=Why)
    def put(self, asked: Asked, workday_id: int) -> records.WorkdayRecord:
        """Call the day off; everybody with an answer or a place is told why."""
        workdays.cancel_workday(actor=asked.actor, workday_id=workday_id, version=asked.version, **asked.body)
        return records.workday_record(asked.actor, workday_id)


class WorkdayOffers(Noun):
    noun = "workdays"

    @reads(shown(records.OfferRecord), paged=True)
    def get(self, asked: Asked, workday_id: int) -> Slice[Any]:
        """Answers for a day."""
        return records.offer_records(asked.actor, workday_id, asked.wanted)


class Offer(Body):
    """An answer, with hours inside the day's; all day where none are given."""

    answer = Choice(choices=ANSWERS)
    arrives = Clock(**UNKNOWN)
    leaves = Clock(**UNKNOWN)


class WorkdayOffer(Noun):
    noun = "workdays"

    @reads(shown(records.OfferRecord))
    def get(self, asked: Asked, workday_id: int, member_id: int) -> records.OfferRecord:
        """A member's answer for a day; its ETag is "0" where he has not answered."""
        return records.offer_record(asked.actor, workday_id, member_id)

    @edits(shown(records.OfferRecord), body=Offer)
    def put(self, asked: Asked, workday_id: int, member_id: int) -> records.OfferRecord:
        """Answer for a day: a member for himself, a coordinator for anybody."""
        offers.offer_hours(
            actor=asked.actor,
            workday_id=workday_id,
            member_id=member_id,
            version=asked.version,
            **asked.body,
        )
        return records.offer_record(asked.actor, workday_id, member_id)


class Hours(Body):
    """From when to when somebody was there."""

    member_id = Id()
    arrived = Clock(**UNKNOWN)
    left = Clock(**UNKNOWN)


class Came(Body):
    """Who came; everybody else who had said yes did not."""

    member_ids = Several(child=Id(), max_length=500)
    hours = Several(child=Hours(), required=False, max_length=500)
    held = YesNo(required=False, default=False, help_text="Also say that the day took place, which ends it.")

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        for place, one in enumerate(attrs.get("hours", [])):
            if one["member_id"] not in attrs["member_ids"]:
                said = _("Name this person in member_ids too.")
                raise serializers.ValidationError({"hours": {str(place): {"member_id": [said]}}})
        return attrs


class WorkdayAttendance(Noun):
    noun = "workdays"

    @reads(shown(records.AttendanceRecord), paged=True)
    def get(self, asked: Asked, workday_id: int) -> Slice[Any]:
        """Who came to a day: for coordinators."""
        return records.attendance_records(asked.actor, workday_id, asked.wanted)

    @sets(shown(records.WorkdayRecord), body=Came)
    def put(self, asked: Asked, workday_id: int) -> records.WorkdayRecord:
        """Say who came."""
        said = asked.body
        hours = {one["member_id"]: (one.get("arrived"), one.get("left")) for one in said.get("hours", [])}
        attendance.mark_came(
            actor=asked.actor,
            workday_id=workday_id,
            member_ids=said["member_ids"],
            today=asked.today,
            hours=hours,
            held=said["held"],
        )
        return records.workday_record(asked.actor, workday_id)


class PlannedJob(Body):
    """A job of the plan that was sent out."""

    job_id = Id()
    sitting = Whole(min_value=1, max_value=20, required=False, default=1)


class AsPlanned(Body):
    """Jobs that were done as planned."""

    jobs = Several(child=PlannedJob(), min_length=1, max_length=200)


@dataclass(frozen=True, slots=True)
class AsPlannedDone:
    """How many jobs were recorded now."""

    jobs: int


class WorkdayRecorded(Noun):
    noun = "workdays"

    @makes(shown(AsPlannedDone), body=AsPlanned)
    def post(self, asked: Asked, workday_id: int) -> AsPlannedDone:
        """Record planned jobs as done by those who came, at planned minutes; all of them or none."""
        done = day_record.record_as_planned(
            actor=asked.actor,
            workday_id=workday_id,
            chosen=[(job["job_id"], job["sitting"]) for job in asked.body["jobs"]],
            request_key=own_key(asked),
            today=asked.today,
        )
        return AsPlannedDone(done)
