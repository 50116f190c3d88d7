"""Heavy bends: wanting one, its sign-off, its lead and helpers, and the places they are asked for."""

from __future__ import annotations

from typing import Any

from api.fields import Body, Choice, Day, Id, Number, Several, Text, Whole
from api.operations import Asked, Noun, edits, makes, reads, sets
from api.shapes import shown
from api.words import BEND_SAID, JOB_STATES
from collection.queries.records import bends as records
from collection.queries.slices import Slice
from collection.usecases import bends, places

SIZE = {"required": False, "allow_null": True, "min_value": 0.1, "max_value": 20_000}


class BendQuery(Body):
    """Which bends."""

    state = Choice(choices=JOB_STATES, required=False)
    tree = Id(required=False)


class NewBend(Body):
    """A heavy bend somebody wants; lengths in mm."""

    tree_id = Id()
    branch_id = Id(required=False, allow_null=True)
    diameter_mm = Number(min_value=0.1, max_value=400)
    length_mm = Number(**SIZE)
    drop_mm = Number(**SIZE)
    radius_mm = Number(**SIZE)
    load_arm_mm = Number(**SIZE, help_text="Lever: from its pivot to the branch.")
    hand_arm_mm = Number(**SIZE, help_text="Lever: from its pivot to the hand.")
    people_on_lever = Whole(min_value=1, max_value=2, required=False, allow_null=True)
    guy_deg = Number(
        min_value=10, max_value=90, required=False, allow_null=True, help_text="Between guy wire and branch."
    )
    method = Text(required=False, allow_blank=True, max_length=40)
    circumstances = Several(child=Choice(choices=BEND_SAID), required=False, max_length=10)
    opens = Day()
    closes = Day()


class BendFigures(Noun):
    noun = "bends"

    @reads(shown(records.BendFiguresRecord))
    def get(self, asked: Asked, bend_id: int) -> records.BendFiguresRecord:
        """A bend in figures: strain, forces, the wood that stands for the tree. They promise nothing."""
        return records.bend_figures_record(asked.actor, bend_id)


class Bends(Noun):
    noun = "bends"

    @reads(shown(records.BendRecord), query=BendQuery, paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Heavy bends, and how each stands."""
        return records.bend_records(asked.actor, asked.wanted, **asked.query)

    @makes(shown(records.BendRecord), body=NewBend, at="api-bend")
    def post(self, asked: Asked) -> records.BendRecord:
        """Put a heavy bend on a tree's list; it waits for a sign-off."""
        return records.bend_of_job(asked.actor, bends.want_bend(actor=asked.actor, **asked.body))


class Bend(Noun):
    noun = "bends"

    @reads(shown(records.BendRecord))
    def get(self, asked: Asked, bend_id: int) -> records.BendRecord:
        """One heavy bend."""
        return records.bend_record(asked.actor, bend_id)


class BendSigned(Noun):
    noun = "bends"

    @edits(shown(records.BendRecord))
    def put(self, asked: Asked, bend_id: int) -> records.BendRecord:
        """Sign a heavy bend off; one that was refused is released by another than the refuser."""
        bends.sign_off(actor=asked.actor, bend_id=bend_id, version=asked.version, today=asked.today)
        return records.bend_record(asked.actor, bend_id)


class WhyNot(Body):
    """Why not."""

    why = Text(max_length=200)


class BendRefused(Noun):
    noun = "bends"

    @edits(shown(records.BendRecord), body=WhyNot)
    def put(self, asked: Asked, bend_id: int) -> records.BendRecord:
        """Say no to a heavy bend; it waits until another qualified person releases it."""
        bends.refuse(
            actor=asked.actor, bend_id=bend_id, version=asked.version, today=asked.today, **asked.body
        )
        return records.bend_record(asked.actor, bend_id)

    @edits(shown(records.BendRecord))
    def delete(self, asked: Asked, bend_id: int) -> records.BendRecord:
        """Release a bend that somebody else refused."""
        bends.release(actor=asked.actor, bend_id=bend_id, version=asked.version, today=asked.today)
        return records.bend_record(asked.actor, bend_id)


class Lead(Body):
    """Who leads; null for nobody yet."""

    member_id = Id(allow_null=True)


class BendLead(Noun):
    noun = "bends"

    @edits(shown(records.BendRecord), body=Lead)
    def put(self, asked: Asked, bend_id: int) -> records.BendRecord:
        """Say who leads a heavy bend."""
        bends.set_lead(
            actor=asked.actor, bend_id=bend_id, version=asked.version, today=asked.today, **asked.body
        )
        return records.bend_record(asked.actor, bend_id)


class BendHelpers(Noun):
    noun = "bends"

    @reads(shown(records.HelpersRecord))
    def get(self, asked: Asked, bend_id: int) -> records.HelpersRecord:
        """Who could lead and help, best first, and who cannot and why: for those who ask."""
        return records.helpers_record(asked.actor, bend_id, today=asked.today)


class BendPlaces(Noun):
    noun = "places"

    @reads(shown(records.PlaceRecord), paged=True)
    def get(self, asked: Asked, bend_id: int) -> Slice[Any]:
        """Places at a bend."""
        return records.place_records(asked.actor, bend_id, asked.wanted)


class Helper(Body):
    """Whom to ask."""

    member_id = Id()


class BendInvitations(Noun):
    noun = "invitations"

    @reads(shown(records.InvitationRecord), paged=True)
    def get(self, asked: Asked, bend_id: int) -> Slice[Any]:
        """Who was asked to help at a bend."""
        return records.bend_invitations(asked.actor, bend_id, asked.wanted)

    @makes(shown(records.InvitationRecord), body=Helper, at="api-invitation")
    def post(self, asked: Asked, bend_id: int) -> records.InvitationRecord:
        """Ask a member to help, at the earliest time at which all are free."""
        invitation = places.ask(actor=asked.actor, bend_id=bend_id, today=asked.today, **asked.body)
        return records.invitation_record(asked.actor, invitation)


class Invitations(Noun):
    noun = "invitations"

    @reads(shown(records.InvitationRecord), paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """What whoever asks was asked himself, newest first."""
        return records.my_invitations(asked.actor, asked.wanted)


class Invitation(Noun):
    noun = "invitations"

    @reads(shown(records.InvitationRecord))
    def get(self, asked: Asked, invitation_id: int) -> records.InvitationRecord:
        """One invitation: one's own, or any for those who ask."""
        return records.invitation_record(asked.actor, invitation_id)


class InvitationAccepted(Noun):
    noun = "invitations"

    # No transaction is held around it: who comes too late is refused, and that answer is kept all the same.
    @sets(shown(records.InvitationRecord), key="")
    def put(self, asked: Asked, invitation_id: int) -> records.InvitationRecord:
        """Say yes: the place goes to the first who does."""
        places.accept(actor=asked.actor, invitation_id=invitation_id, today=asked.today)
        return records.invitation_record(asked.actor, invitation_id)


class InvitationDeclined(Noun):
    noun = "invitations"

    @sets(shown(records.InvitationRecord))
    def put(self, asked: Asked, invitation_id: int) -> records.InvitationRecord:
        """Say no."""
        places.decline(actor=asked.actor, invitation_id=invitation_id)
        return records.invitation_record(asked.actor, invitation_id)


class InvitationWithdrawn(Noun):
    noun = "invitations"

    @sets(shown(records.InvitationRecord))
    def put(self, asked: Asked, invitation_id: int) -> records.InvitationRecord:
        """Take a question back that nobody has answered."""
        places.withdraw(actor=asked.actor, invitation_id=invitation_id)
        return records.invitation_record(asked.actor, invitation_id)


class PlaceGivenBack(Noun):
    noun = "places"

    @sets(shown(records.PlaceRecord))
    def put(self, asked: Asked, place_id: int) -> records.PlaceRecord:
        """Give an accepted place back; those who lead hear of it."""
        places.give_back(actor=asked.actor, place_id=place_id)
        return records.place_record(asked.actor, place_id)
