"""Answers for a workday: who comes and when, who has not answered, and what whoever asks has said."""

from __future__ import annotations

from dataclasses import dataclass

from collection.models import Contact, Offer, Workday
from collection.queries.access import Actor
from collection.queries.day_problem import minutes_of
from collection.queries.people import active, levels, usual_level


@dataclass(frozen=True, slots=True)
class Comer:
    """Somebody who said yes."""

    id: int
    name: str
    level: str
    arrives_min: int
    leaves_min: int
    here: bool
    is_lead: bool
    first_aider: bool


@dataclass(frozen=True, slots=True)
class Silent:
    """Somebody who has not answered, and where to telephone; coordinators see this."""

    id: int
    name: str
    telephone: str


@dataclass(frozen=True, slots=True)
class Answer:
    """What somebody said for a day."""

    answer: str
    arrives_min: int
    leaves_min: int
    written_by: str


def answer_versions(actor: Actor, workday_id: int) -> dict[int, int]:
    """The version of each member's answer for a day, so that a form can say which ones it had read."""
    rows = Offer.objects.filter(club_id=actor.club_id, workday_id=workday_id)
    return dict(rows.values_list("member_id", "version"))


def answer_of(actor: Actor, day: Workday) -> Answer | None:
    """What whoever asks has said for the day; None for nothing yet."""
    if actor.member_id is None:
        return None
    offer = Offer.objects.filter(workday=day, member_id=actor.member_id).select_related("by").first()
    if offer is None:
        return None
    return Answer(
        offer.answer,
        minutes_of(offer.arrives or day.opens),
        minutes_of(offer.leaves or day.closes),
        offer.by.name if offer.by and offer.by_id != actor.member_id else "",
    )


def names_of(day: Workday, answer: str) -> tuple[str, ...]:
    """Everybody with that answer, by name."""
    rows = Offer.objects.filter(workday=day, answer=answer).order_by("member__name")
    return tuple(rows.values_list("member__name", flat=True))


def silent_on(day: Workday) -> tuple[Silent, ...]:
    """Members of that day who have not answered, with a telephone number where one is known."""
    answered = set(Offer.objects.filter(workday=day).values_list("member_id", flat=True))
    members = [member for member in active(day.club_id, day.date) if member.pk not in answered]
    rows = Contact.objects.filter(member__in=members).exclude(telephone="")
    telephones = dict(rows.values_list("member_id", "telephone"))
    return tuple(Silent(member.pk, member.name, telephones.get(member.pk, "")) for member in members)


def comers_of(day: Workday, away: frozenset[int]) -> tuple[Comer, ...]:
    """Everybody who said yes, by name; ``away`` are those who are not here after all."""
    offers = Offer.objects.filter(workday=day, answer="yes").select_related("member")
    rows = list(offers.order_by("member__name", "member_id"))
    known = levels([offer.member_id for offer in rows], day.date)
    return tuple(
        Comer(
            offer.member_id,
            offer.member.name,
            usual_level(known[offer.member_id]),
            minutes_of(offer.arrives or day.opens),
            minutes_of(offer.leaves or day.closes),
            offer.member_id not in away,
            day.lead_id == offer.member_id,
            day.first_aider_id == offer.member_id,
        )
        for offer in rows
    )
