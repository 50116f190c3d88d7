"""Jobs due on trees, and rounds over benches."""

from __future__ import annotations

from typing import Any

from api.fields import Body, Choice, Day, Id, Text, Whole, YesNo
from api.operations import Asked, Noun, edits, makes, reads
from api.shapes import shown
from api.words import JOB_STATES, TASKS
from collection.queries.records import jobs as records
from collection.queries.records.trees import TreeRecord, tree_record
from collection.queries.slices import Slice
from collection.usecases import jobs


class RoundQuery(Body):
    """Which rounds: a state, a task, some days."""

    state = Choice(choices=JOB_STATES, required=False)
    task = Choice(choices=TASKS, required=False)
    opens_by = Day(required=False, help_text="Only what opens on this day or before.")
    closes_from = Day(required=False, help_text="Only what closes on this day or later.")


class JobQuery(RoundQuery):
    """Which jobs: a state, a task, a tree, and a window that overlaps some days."""

    tree = Id(required=False)


class NewJob(Body):
    """A job somebody adds by hand; the programme never moves it."""

    tree_id = Id()
    task = Choice(choices=TASKS)
    opens = Day()
    closes = Day()
    priority = Whole(required=False, min_value=1, max_value=5)


class Jobs(Noun):
    noun = "jobs"

    @reads(shown(records.JobRecord), query=JobQuery, paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Jobs by the day on which their window closes."""
        return records.job_records(asked.actor, asked.wanted, records.JobsAsked(**asked.query))

    @makes(shown(records.JobRecord), body=NewJob, at="api-job")
    def post(self, asked: Asked) -> records.JobRecord:
        """Put a job on a tree by hand."""
        job = jobs.add_job(actor=asked.actor, **asked.body)
        return records.job_record(asked.actor, job)


class Job(Noun):
    noun = "jobs"

    @reads(shown(records.JobRecord))
    def get(self, asked: Asked, job_id: int) -> records.JobRecord:
        """One job."""
        return records.job_record(asked.actor, job_id)


class Reason(Body):
    """Why."""

    reason = Text(max_length=200)


class JobNotThisYear(Noun):
    noun = "jobs"

    @edits(shown(records.JobRecord), body=Reason)
    def put(self, asked: Asked, job_id: int) -> records.JobRecord:
        """Leave a job out for this season."""
        jobs.not_this_year(
            actor=asked.actor, job_id=job_id, version=asked.version, today=asked.today, **asked.body
        )
        return records.job_record(asked.actor, job_id)

    @edits(shown(records.JobRecord))
    def delete(self, asked: Asked, job_id: int) -> records.JobRecord:
        """The job is open again after all."""
        jobs.this_year_after_all(actor=asked.actor, job_id=job_id, version=asked.version)
        return records.job_record(asked.actor, job_id)


class Window(Body):
    """Whether to take the window the programme now gives, or keep the job's own."""

    take_new = YesNo()


class JobWindow(Noun):
    noun = "jobs"

    @edits(shown(records.JobRecord), body=Window)
    def put(self, asked: Asked, job_id: int) -> records.JobRecord:
        """Choose between a job's own window and the one the programme now gives."""
        jobs.choose_window(actor=asked.actor, job_id=job_id, version=asked.version, **asked.body)
        return records.job_record(asked.actor, job_id)


class Priority(Body):
    """From 1, can wait, to 5, very pressing."""

    priority = Whole(min_value=1, max_value=5)


class JobPriority(Noun):
    noun = "jobs"

    @edits(shown(records.JobRecord), body=Priority)
    def put(self, asked: Asked, job_id: int) -> records.JobRecord:
        """How pressing a job is."""
        jobs.set_priority(actor=asked.actor, job_id=job_id, version=asked.version, **asked.body)
        return records.job_record(asked.actor, job_id)


class DoneBefore(Body):
    """Work done before the club kept records, and how that is known."""

    task = Choice(choices=TASKS)
    on = Day()
    why = Text(max_length=200)


class TreeDoneBefore(Noun):
    noun = "trees"

    @makes(shown(TreeRecord), body=DoneBefore)
    def post(self, asked: Asked, tree_id: int) -> TreeRecord:
        """Write down when something was last done, from before the club kept records."""
        jobs.done_before(actor=asked.actor, tree_id=tree_id, today=asked.today, **asked.body)
        return tree_record(asked.actor, tree_id)


class Rounds(Noun):
    noun = "rounds"

    @reads(shown(records.RoundRecord), query=RoundQuery, paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Rounds by their day, each with its trees."""
        return records.round_records(asked.actor, asked.wanted, records.JobsAsked(**asked.query))


class Round(Noun):
    noun = "rounds"

    @reads(shown(records.RoundRecord))
    def get(self, asked: Asked, round_id: int) -> records.RoundRecord:
        """One round with its trees."""
        return records.round_record(asked.actor, round_id)
