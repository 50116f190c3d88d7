"""Who owns and cares for a tree, and whether the owner agrees to the season's work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from api.fields import Body, Choice, Day, Id, YesNo
from api.operations import Asked, Noun, edits, makes, reads, sets
from api.shapes import shown
from api.words import CARE_ROLES
from collection.queries.records import trees as records
from collection.queries.slices import Slice
from collection.usecases import care


class Keeper(Body):
    """Who owns or cares for a tree."""

    member_id = Id()
    role = Choice(choices=CARE_ROLES)
    consent_until = Day(required=False, allow_null=True)
    ask_first = YesNo(required=False)


class TreeCare(Noun):
    noun = "care"

    @reads(shown(records.CareRecord), paged=True)
    def get(self, asked: Asked, tree_id: int) -> Slice[Any]:
        """Who owns and cares for a tree."""
        return records.tree_care(asked.actor, tree_id, asked.wanted)

    @makes(shown(records.CareRecord), body=Keeper, at="api-care")
    def post(self, asked: Asked, tree_id: int) -> records.CareRecord:
        """Say who owns or cares for a tree."""
        row = care.set_care(actor=asked.actor, tree_id=tree_id, **asked.body)
        return records.care_record(asked.actor, row)


class OneCare(Noun):
    noun = "care"

    @reads(shown(records.CareRecord))
    def get(self, asked: Asked, care_id: int) -> records.CareRecord:
        """One line of care."""
        return records.care_record(asked.actor, care_id)

    @edits(None)
    def delete(self, asked: Asked, care_id: int) -> None:
        """Somebody no longer owns or cares for a tree."""
        care.end_care(actor=asked.actor, care_id=care_id, version=asked.version)


class Consent(Body):
    """Until when the owner agrees to the season's work."""

    until = Day()


class CareConsent(Noun):
    noun = "care"

    @edits(shown(records.CareRecord), body=Consent)
    def put(self, asked: Asked, care_id: int) -> records.CareRecord:
        """The owner agrees to the season's work."""
        care.give_consent(
            actor=asked.actor, care_id=care_id, version=asked.version, today=asked.today, **asked.body
        )
        return records.care_record(asked.actor, care_id)

    @edits(shown(records.CareRecord))
    def delete(self, asked: Asked, care_id: int) -> records.CareRecord:
        """The owner no longer agrees."""
        care.withdraw_consent(actor=asked.actor, care_id=care_id, version=asked.version)
        return records.care_record(asked.actor, care_id)


class Ask(Body):
    """Whether the owner wants to be asked."""

    ask = YesNo()


class CareAsk(Noun):
    noun = "care"

    @edits(shown(records.CareRecord), body=Ask)
    def put(self, asked: Asked, care_id: int) -> records.CareRecord:
        """Whether the owner wants to be asked before each season."""
        care.ask_first(actor=asked.actor, care_id=care_id, version=asked.version, **asked.body)
        return records.care_record(asked.actor, care_id)


@dataclass(frozen=True, slots=True)
class Agreed:
    """For how many trees the consent was written down now."""

    trees: int


class MemberConsent(Noun):
    noun = "care"

    @sets(shown(Agreed), body=Consent)
    def post(self, asked: Asked, member_id: int) -> Agreed:
        """The owner agrees for all of his own trees; a consent that runs longer stays."""
        given = care.give_consent_for_all(
            actor=asked.actor, member_id=member_id, today=asked.today, **asked.body
        )
        return Agreed(given)
