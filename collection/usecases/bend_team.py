"""Who stands together at a heavy bend, and the place and time to ask somebody for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from typing import Any

from django.db.models import Max

from collection.models import Job, Member, Place, Workday
from collection.planning.helper_facts import Case, Hand, Slot
from collection.planning.helper_rules import free_at, helper_stops, slot_for
from collection.queries.access import Actor
from collection.queries.bend_case import Wanted, live_places, wanted
from collection.queries.day_problem import minutes_of
from collection.queries.errors import Refused
from collection.usecases.edit import created, edit
from collection.usecases.locks import lock


@dataclass(frozen=True, slots=True)
class Team:
    """The bend with its lead and the helpers who have said yes."""

    found: Wanted
    lead: Hand
    accepted: tuple[Hand, ...]

    @property
    def case(self) -> Case:
        """Everything known of the bend."""
        return self.found.case

    def with_(self, hand: Hand) -> list[Hand]:
        """The person, the lead and the others who said yes."""
        return [hand, self.lead, *(other for other in self.accepted if other.id != hand.id)]


def team_of(actor: Actor, bend_id: int, today: date) -> Team:
    """The bend with its lead and who said yes.

    Raises:
        Refused: ``not_found``, ``bend_over`` or ``bend_needs_lead``.
    """
    found = wanted(actor, bend_id, today=today)
    if found.job.state != Job.State.OPEN:
        raise Refused("bend_over", kind="conflict")
    if found.bend.lead_id is None:
        raise Refused("bend_needs_lead", kind="conflict")
    won = {place.winner_id for place in live_places(found.job.pk, today)} - {None}
    accepted = tuple(hand for hand in found.case.hands if hand.id in won)
    return Team(found, found.case.hand(found.bend.lead_id), accepted)


def able(team: Team, member: Member) -> Hand:
    """The person as the bend sees him, refused where a hard stop stands in the way."""
    if team.case.bend.stops:
        raise Refused("helper_cannot", kind="conflict", name=member.name, stop=team.case.bend.stops[0].code)
    if team.found.bend.signed_by_id is None:
        raise Refused("needs_sign_off", kind="conflict")
    hand = next((hand for hand in team.case.hands if hand.id == member.pk), None)
    if hand is None or hand.id == team.lead.id:
        raise Refused("helper_cannot", kind="conflict", name=member.name, stop="")
    if stops := helper_stops(hand, team.lead, team.case):
        raise Refused("helper_cannot", kind="conflict", name=member.name, stop=stops[0].code)
    if hand.untried and any(other.untried for other in team.accepted if other.id != hand.id):
        raise Refused("helper_cannot", kind="conflict", name=member.name, stop="helper_untried")
    return hand


def place_for(actor: Actor, team: Team, hand: Hand, today: date) -> Place:
    """The place to ask for: one that is open at a time that suits, else one moved or made for it."""
    places = live_places(team.found.job.pk, today)
    seats = team.case.bend.crew - 1
    if sum(place.winner_id is not None for place in places) >= seats:
        raise Refused("crew_is_complete", kind="conflict")
    free = [place for place in places if place.winner_id is None]
    for place in free:
        if slot_of(team, hand, place) is not None:
            return place
    slot = slot_for(team.case, team.with_(hand))
    if slot is None:
        raise Refused("no_common_time", kind="conflict", name=hand.name)
    if slot.day_id is None:
        raise Refused("bend_needs_day", kind="conflict")
    if free:
        return _move(actor, free[0], slot, slot.day_id)
    return _make(actor, team.found.job, slot, slot.day_id)


def slot_of(team: Team, hand: Hand, place: Place) -> Slot | None:
    """The place's own time, if the person, the lead and who has accepted are all free then."""
    if place.starts is None:
        return None
    for day in team.case.days:
        if day.id == place.workday_id:
            return free_at(team.case.bend, day, team.with_(hand), minutes_of(place.starts))
    return None


def _move(actor: Actor, place: Place, slot: Slot, day_id: int) -> Place:
    """Another time for a place nobody has accepted; not while somebody thinks about the old one."""
    if place.invitations.filter(answer="").exists():
        raise Refused("asked_for_another_time", kind="conflict")
    changes: dict[str, Any] = {"starts": _time(slot.starts_min), "ends": _time(slot.ends_min)}
    if place.workday_id != day_id:
        changes |= {"workday_id": day_id, "number": _next_number(day_id)}
    edit(place, place.version, changes, actor)
    return Place.objects.get(pk=place.pk)


def _make(actor: Actor, job: Job, slot: Slot, day_id: int) -> Place:
    place = Place.objects.create(
        club_id=actor.club_id,
        workday_id=day_id,
        job=job,
        number=_next_number(day_id),
        starts=_time(slot.starts_min),
        ends=_time(slot.ends_min),
    )
    created(place, actor, "workday", "job", "starts", "ends")
    return place


def _next_number(day_id: int) -> int:
    """The next number of a place on a day; the day's row is locked first."""
    lock(Workday.objects.filter(pk=day_id))
    last = Place.objects.filter(workday_id=day_id).aggregate(last=Max("number"))["last"]
    return (last or 0) + 1


def _time(minutes: int) -> time:
    return time(minutes // 60, minutes % 60)
