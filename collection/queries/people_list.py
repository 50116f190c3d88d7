"""The people of a club as a list: what each can do, and whether he comes next time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from django.db.models import Q
from django.utils.translation import gettext as _

from collection.models import Member, Offer, Workday
from collection.queries.access import Actor
from collection.queries.labels import dated, short_day
from collection.queries.people import levels
from collection.queries.reach import Said, said_by, seen_by
from collection.queries.sentences import FAMILY_NAMES
from collection.queries.speech import listed

PAGE = 50
SHOWN_LEVELS = ("expert", "practised", "learning")


@dataclass(frozen=True, slots=True)
class PersonRow:
    """A person in the list.

    Attributes:
        can: What he can do, in words.
        says: What he says of himself, "" where the asker may not know.
        stays: "" for a plain member, else when he joins, leaves or left.
        next_time: What he answered for the next day, "" when there is no next day.
    """

    id: int
    name: str
    role: str
    can: str
    says: str
    stays: str
    next_time: str


@dataclass(frozen=True, slots=True)
class PeopleList:
    """A page of people."""

    rows: tuple[PersonRow, ...]
    total: int
    start: int
    left: int
    next_day: str
    coming: int


def people_list(
    actor: Actor, *, today: date, query: str = "", start: int = 0, with_left: bool = False
) -> PeopleList:
    """People by name, fifty at a time; who has left only when asked for. Constant number of queries."""
    everybody = Member.objects.filter(club_id=actor.club_id)
    gone = Q(active_to__lt=today)
    left = everybody.filter(gone).count()
    rows = everybody if with_left else everybody.exclude(gone)
    for word in query.split():
        rows = rows.filter(name__icontains=word)
    total = rows.count()
    page = list(rows.order_by("name", "id")[start : start + PAGE])
    ids = [member.pk for member in page]
    skills, seen = levels(ids, today), seen_by(actor, ids, today)
    said = said_by(seen, today)
    day = next_day(actor, today)
    answers = dict(Offer.objects.filter(workday=day).values_list("member_id", "answer")) if day else {}
    return PeopleList(
        tuple(
            PersonRow(
                member.pk,
                member.name,
                member.role,
                can_words(skills[member.pk]),
                says_words(said.get(member.pk, [])),
                stays_words(member, today),
                answer_words(answers.get(member.pk, "")) if day else "",
            )
            for member in page
        ),
        total,
        start,
        left,
        short_day(day.date) if day else "",
        sum(answer == "yes" for answer in answers.values()),
    )


def next_day(actor: Actor, today: date) -> Workday | None:
    """The next day people are asked for."""
    days = Workday.objects.filter(club_id=actor.club_id, date__gte=today)
    return days.filter(state__in=[Workday.State.OPEN, Workday.State.SENT]).order_by("date", "id").first()


def can_words(known: Mapping[str, str]) -> str:
    """Levels by kind of work in words: "Expert: wiring and heavy bends. Learning: trimming."."""
    said = []
    for level in SHOWN_LEVELS:
        families = [FAMILY_NAMES[f]() for f in FAMILY_NAMES if known.get(f) == level]
        if len(families) == len(FAMILY_NAMES):
            families = [_("all kinds of work")]
        if families:
            said.append(f"{level_word(level)}: {listed(families)}.")
    return " ".join(said) or _("Novice.")


def level_word(level: str) -> str:
    """A level as the first word of a sentence."""
    words = {"novice": _("Novice"), "learning": _("Learning"), "practised": _("Practised")}
    return words.get(level) or _("Expert")


def says_words(said: list[Said]) -> str:
    """What a person said yes to, in words."""
    yes = [kind_words(answer.kind) for answer in said if answer.answer]
    return _("Says: %(what)s.") % {"what": listed(yes)} if yes else ""


def kind_words(kind: str) -> str:
    """A question of a declaration in words."""
    return {
        "can_lift": _("can lift and hold"),
        "power_tools": _("trained for powered tools"),
        "sprays": _("trained for sprays"),
        "first_aid": _("first aider"),
        "wants_bends": _("would like to learn bends"),
    }[kind]


def stays_words(member: Member, today: date) -> str:
    """When somebody joins, leaves or left; "" for a plain member."""
    if member.active_to is not None and member.active_to < today:
        return _("Has left. Last day: %(day)s.") % {"day": dated(member.active_to)}
    if member.active_from > today:
        return _("Joins on %(day)s.") % {"day": dated(member.active_from)}
    if member.active_to is not None:
        return _("Member until %(day)s.") % {"day": dated(member.active_to)}
    return ""


def answer_words(answer: str) -> str:
    """An answer for a day in words."""
    words = {"yes": _("comes"), "perhaps": _("perhaps"), "no": _("does not come")}
    return words.get(answer) or _("no answer yet")
