"""The record of work: who worked on which tree, how long, and where they stopped."""

from __future__ import annotations

from typing import Any

from django.utils import timezone

from api.fields import Body, Choice, Day, Id, Moment, Number, Several, Text, YesNo
from api.operations import Asked, Noun, makes, own_key, reads
from api.shapes import shown
from api.words import TASKS
from collection.queries.records import sittings as records
from collection.queries.slices import Slice
from collection.usecases import corrections, rounds, sittings

WIRES_OFF = "Wires that came off. Needed with the task WIRE_OFF where wire is on; [] when none did."
UNKNOWN = {"required": False, "allow_null": True}


class SittingQuery(Body):
    """Which sittings."""

    tree = Id(required=False)
    member = Id(required=False)
    workday = Id(required=False)
    since = Day(required=False)


class Done(Body):
    """A task done, and how much of it where somebody counted."""

    task = Choice(choices=TASKS)
    job_id = Id(**UNKNOWN)
    amount = Number(**UNKNOWN, min_value=0, max_value=100_000)
    unit = Text(required=False, allow_blank=True, max_length=20)
    finished = YesNo(required=False)


class Worked(Body):
    """A person and his own minutes, breaks left out."""

    member_id = Id()
    minutes = Number(min_value=0.1, max_value=960)
    role = Choice(choices=("lead", "hand", "learner"), required=False)


class Spell(Body):
    """A spell of work."""

    tasks = Several(child=Done(), min_length=1, max_length=20)
    people = Several(child=Worked(), min_length=1, max_length=40)
    started = Moment()
    ended = Moment()
    left_open = YesNo(required=False)
    note = Text(required=False, allow_blank=True, max_length=5_000)


class NewSitting(Spell):
    """A spell of work on one tree, or on several whose minutes are shared out by their estimates."""

    trees = Several(child=Id(), min_length=1, max_length=200)
    workday_id = Id(**UNKNOWN)
    wires_off = Several(child=Id(), required=False, max_length=200, help_text=WIRES_OFF)
    guys_off = Several(child=Id(), required=False, max_length=200)


class Correction(Spell):
    """What a sitting really was."""

    tree_id = Id()


class Walked(Body):
    """A round that was walked: who, when, and which trees were left out."""

    people = Several(child=Worked(), min_length=1, max_length=40)
    started = Moment()
    ended = Moment()
    left_out = Several(child=Id(), required=False, max_length=500)


def _told(asked: Asked) -> dict[str, Any]:
    """The body as use cases take it, with a key that is the asker's own."""
    told = dict(asked.body) | {
        "people": [sittings.Worked(**person) for person in asked.body["people"]],
        "request_key": own_key(asked),
        "now": timezone.now(),
    }
    if "tasks" in told:
        told["tasks"] = [sittings.TaskDone(**task) for task in told["tasks"]]
    return told


class Sittings(Noun):
    noun = "sittings"

    @reads(shown(records.SittingRecord), query=SittingQuery, paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Sittings, newest first; those that were put right name what took their place."""
        return records.sitting_records(asked.actor, asked.wanted, records.SittingsAsked(**asked.query))

    @makes(shown(records.Recorded), body=NewSitting)
    def post(self, asked: Asked) -> records.Recorded:
        """Record a spell of work; jobs that it finished end, and what follows from them is made."""
        return records.recorded(asked.actor, sittings.record(actor=asked.actor, **_told(asked)))


class Sitting(Noun):
    noun = "sittings"

    @reads(shown(records.SittingRecord))
    def get(self, asked: Asked, sitting_id: int) -> records.SittingRecord:
        """One sitting."""
        return records.sitting_record(asked.actor, sitting_id)


class SittingCorrection(Noun):
    noun = "sittings"

    @makes(shown(records.SittingRecord), body=Correction, at="api-sitting")
    def post(self, asked: Asked, sitting_id: int) -> records.SittingRecord:
        """Write a sitting that takes the place of another."""
        new = corrections.correct(actor=asked.actor, sitting_id=sitting_id, today=asked.today, **_told(asked))
        return records.sitting_record(asked.actor, new)


class RoundWalked(Noun):
    noun = "rounds"

    @makes(shown(records.Recorded), body=Walked)
    def post(self, asked: Asked, round_id: int) -> records.Recorded:
        """Write a round down as done: a sitting for each of its trees, minutes shared evenly."""
        made = rounds.tick(actor=asked.actor, round_id=round_id, **_told(asked))
        return records.recorded(asked.actor, made)
