"""People of the club: what they can do, how they are reached, the hours they usually give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from api.fields import Body, Choice, Day, Id, Several, Text, Whole, YesNo, optional
from api.operations import Asked, Noun, edits, makes, reads, sets
from api.shapes import shown
from api.words import LEVELS, ROLES
from collection.queries.records import people as records
from collection.queries.slices import Slice
from collection.usecases import abilities, habits, leaving, members

UNKNOWN = {"required": False, "allow_null": True}
SAID = {"required": False, "allow_blank": True}


class MemberQuery(Body):
    """Those of today, or those who have left."""

    left = YesNo(required=False)


class NewMember(Body):
    """A person who joins."""

    name = Text(max_length=80)
    role = Choice(choices=ROLES, required=False)
    email = Text(**SAID, max_length=254)
    telephone = Text(**SAID, max_length=40)


class MemberChanges(Body):
    """What a person is called, and from when to when he is a member."""

    name = Text(required=False, max_length=80)
    active_from = Day(required=False)
    active_to = Day(**UNKNOWN, help_text="His last day; leaving at once is done on the page.")


class Members(Noun):
    noun = "members"

    @reads(shown(records.MemberRecord), query=MemberQuery, paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Members by name."""
        return records.member_records(asked.actor, asked.wanted, today=asked.today, **asked.query)

    @makes(shown(records.MemberRecord), body=NewMember, at="api-member")
    def post(self, asked: Asked) -> records.MemberRecord:
        """Add a person to the club."""
        member = members.add_member(actor=asked.actor, today=asked.today, **asked.body)
        return records.member_record(asked.actor, member)


class Member(Noun):
    noun = "members"

    @reads(shown(records.MemberRecord))
    def get(self, asked: Asked, member_id: int) -> records.MemberRecord:
        """One member."""
        return records.member_record(asked.actor, member_id)

    @edits(shown(records.MemberRecord), body=MemberChanges)
    def patch(self, asked: Asked, member_id: int) -> records.MemberRecord:
        """Change a person's name and time in the club."""
        members.change_member(
            actor=asked.actor, member_id=member_id, version=asked.version, today=asked.today, **asked.body
        )
        return records.member_record(asked.actor, member_id)


class Role(Body):
    """A part in the club."""

    role = Choice(choices=ROLES)


class MemberRole(Noun):
    noun = "members"

    @edits(shown(records.MemberRecord), body=Role)
    def put(self, asked: Asked, member_id: int) -> records.MemberRecord:
        """Give a member another part in the club."""
        members.change_role(
            actor=asked.actor, member_id=member_id, version=asked.version, today=asked.today, **asked.body
        )
        return records.member_record(asked.actor, member_id)


class MemberLastDay(Noun):
    noun = "members"

    @edits(shown(records.MemberRecord))
    def delete(self, asked: Asked, member_id: int) -> records.MemberRecord:
        """Take somebody who left, or is to leave, back in."""
        members.come_back(actor=asked.actor, member_id=member_id, version=asked.version, today=asked.today)
        return records.member_record(asked.actor, member_id)


class Contact(Body):
    """How a person is reached."""

    email = Text(allow_blank=True, max_length=254)
    telephone = Text(allow_blank=True, max_length=40)


class MemberContact(Noun):
    noun = "members"

    @reads(shown(records.ContactRecord))
    def get(self, asked: Asked, member_id: int) -> records.ContactRecord:
        """How a person is reached: for himself and coordinators."""
        return records.contact_record(asked.actor, member_id)

    @edits(shown(records.ContactRecord), body=Contact)
    def put(self, asked: Asked, member_id: int) -> records.ContactRecord:
        """Write down how a person is reached."""
        members.change_contact(actor=asked.actor, member_id=member_id, version=asked.version, **asked.body)
        return records.contact_record(asked.actor, member_id)

    @sets(None)
    def delete(self, asked: Asked, member_id: int) -> None:
        """Take e-mail and telephone off the books."""
        members.erase_contact(actor=asked.actor, member_id=member_id)


class Mail(Body):
    """Whether somebody wants mail."""

    wants = YesNo()


class MemberMail(Noun):
    noun = "members"

    @edits(shown(records.MemberRecord), body=Mail)
    def put(self, asked: Asked, member_id: int) -> records.MemberRecord:
        """Whether a person wants mail from the club; If-Match takes the member's ETag."""
        members.want_mail(actor=asked.actor, member_id=member_id, version=asked.version, **asked.body)
        return records.member_record(asked.actor, member_id)


class MemberSkills(Noun):
    noun = "members"

    @reads(shown(records.SkillRecord), paged=True)
    def get(self, asked: Asked, member_id: int) -> Slice[Any]:
        """How well a member does each kind of work, newest first."""
        return records.skill_records(asked.actor, member_id, asked.wanted)


class Level(Body):
    """A level from a day on; from today where no day is given."""

    level = Choice(choices=LEVELS)
    since = Day(required=False)


class MemberSkill(Noun):
    noun = "members"

    @sets(shown(records.MemberRecord), body=Level)
    def put(self, asked: Asked, member_id: int, family: str) -> records.MemberRecord:
        """Say how well a member does a kind of work."""
        abilities.set_skill(
            actor=asked.actor,
            member_id=member_id,
            family=family,
            level=asked.body["level"],
            since=asked.body.get("since", asked.today),
        )
        return records.member_record(asked.actor, member_id)


class MemberDeclarations(Noun):
    noun = "members"

    @reads(shown(records.DeclarationRecord), paged=True)
    def get(self, asked: Asked, member_id: int) -> Slice[Any]:
        """What a member declared, newest first: for himself and coordinators."""
        return records.declaration_records(asked.actor, member_id, asked.wanted)


class Answer(Body):
    """A plain yes or no, valid until a day where one is given."""

    answer = YesNo()
    until = Day(**UNKNOWN)


class MemberDeclaration(Noun):
    noun = "members"

    @reads(shown(records.DeclarationRecord))
    def get(self, asked: Asked, member_id: int, kind: str) -> records.DeclarationRecord:
        """The newest answer of a member to one question."""
        return records.declaration_record(asked.actor, member_id, kind)

    @sets(shown(records.DeclarationRecord), body=Answer)
    def put(self, asked: Asked, member_id: int, kind: str) -> records.DeclarationRecord:
        """Declare something: a member for himself, a coordinator for anybody."""
        abilities.declare(actor=asked.actor, member_id=member_id, kind=kind, on=asked.today, **asked.body)
        return records.declaration_record(asked.actor, member_id, kind)

    @sets(None)
    def delete(self, asked: Asked, member_id: int, kind: str) -> None:
        """Take every answer to one question away: he has not said."""
        abilities.forget_declaration(actor=asked.actor, member_id=member_id, kind=kind)


class HabitFields(Body):
    """Hours of one weekday; 0 is Monday."""

    weekday = Whole(min_value=0, max_value=6)
    minutes = Whole(min_value=1, max_value=900)
    starts = Day()
    every_weeks = Whole(required=False, min_value=1, max_value=8)


HabitChanges = optional(HabitFields, "HabitChanges")


class MemberHabits(Noun):
    noun = "habits"

    @reads(shown(records.HabitRecord), paged=True)
    def get(self, asked: Asked, member_id: int) -> Slice[Any]:
        """Hours a member usually gives: for himself and coordinators."""
        return records.habit_records(asked.actor, member_id, asked.wanted)

    @makes(shown(records.HabitRecord), body=HabitFields, at="api-habit")
    def post(self, asked: Asked, member_id: int) -> records.HabitRecord:
        """Write down hours a member usually gives."""
        habit = habits.add_habit(actor=asked.actor, member_id=member_id, **asked.body)
        return records.habit_record(asked.actor, habit)


class Habit(Noun):
    noun = "habits"

    @reads(shown(records.HabitRecord))
    def get(self, asked: Asked, habit_id: int) -> records.HabitRecord:
        """Hours of one weekday."""
        return records.habit_record(asked.actor, habit_id)

    @edits(shown(records.HabitRecord), body=HabitChanges)
    def patch(self, asked: Asked, habit_id: int) -> records.HabitRecord:
        """Change weekly hours."""
        habits.change_habit(actor=asked.actor, habit_id=habit_id, version=asked.version, **asked.body)
        return records.habit_record(asked.actor, habit_id)


class LastDay(Body):
    """The last day of weekly hours."""

    last_day = Day()


class HabitEnd(Noun):
    noun = "habits"

    @edits(None, body=LastDay)
    def put(self, asked: Asked, habit_id: int) -> None:
        """Let weekly hours end with a day."""
        habits.end_habit(actor=asked.actor, habit_id=habit_id, version=asked.version, **asked.body)


class NewKeeper(Body):
    """Who has a tree from now on; nobody, where it is left out."""

    tree_id = Id()
    to_id = Id(**UNKNOWN)


class Leave(Body):
    """Who has the trees of somebody who leaves: those he owns, and those he cares for."""

    owned = Several(child=NewKeeper(), required=False, max_length=500)
    cared = Several(child=NewKeeper(), required=False, max_length=500)


@dataclass(frozen=True, slots=True)
class Left:
    """Somebody left; the sign-in stays where it opens another club."""

    sign_in_stays: bool


class MemberLeft(Noun):
    noun = "members"

    @edits(shown(Left), body=Leave)
    def put(self, asked: Asked, member_id: int) -> Left:
        """A member leaves today: trees, places and hours are settled, what was only his is forgotten.

        A tree he owns alone must be named in ``owned``; without ``to_id`` it leaves the club.
        """
        stays = leaving.leave(
            actor=asked.actor,
            member_id=member_id,
            version=asked.version,
            today=asked.today,
            owned=_keepers(asked, "owned"),
            cared=_keepers(asked, "cared"),
        )
        return Left(stays)


def _keepers(asked: Asked, name: str) -> dict[int, int | None]:
    return {one["tree_id"]: one.get("to_id") for one in asked.body.get(name, [])}
