"""Acting by a link in a mail: one act, of one person, on one row, and the same again changes nothing."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime

from collection.models import Invitation, Look, Member, Offer
from collection.queries.access import Actor
from collection.queries.clock import local
from collection.queries.errors import Refused
from collection.queries.link_pages import actor_by, asked_by
from collection.queries.links import Ticket
from collection.usecases import members, offers, places, trees


def answer(*, ticket: Ticket, choice: str, now: datetime, shown: str = "") -> None:
    """Do what a button of a link's page says, through the use case that a signed-in person would use.

    Args:
        shown: Digest of the page that was answered; a mail program's one tap comes without a page.

    Raises:
        Refused: ``link_gone`` when the ticket shows nothing, ``link_too_late`` when its page has no such
            button any more, ``link_changed`` when it shows something else now, or whatever the use case
            refuses.
    """
    asked, actor = asked_by(ticket, now), actor_by(ticket)
    if asked is None or actor is None:
        raise Refused("link_gone", kind="not_found")
    if choice not in {known.value for known in asked.choices}:
        raise Refused("link_too_late", kind="conflict")
    if any(known.given and known.value == choice for known in asked.choices):
        return
    if shown and shown != asked.digest:
        raise Refused("link_changed", kind="conflict")
    ACTS[ticket.purpose](actor, ticket, choice, local(now, _zone(ticket)).date())


def stop(*, ticket: Ticket, now: datetime) -> bool:
    """Stop a person's mails, as a mail program asks with one tap; False for what is no such ticket."""
    if ticket.purpose != "stop" or asked_by(ticket, now) is None:
        return False
    answer(ticket=ticket, choice="stop", now=now)
    return True


def _zone(ticket: Ticket) -> str:
    return Member.objects.select_related("club").get(pk=ticket.member_id).club.zone


def _day(actor: Actor, ticket: Ticket, choice: str, today: date) -> None:
    """The hours that were said before are kept where they still lie inside the day."""
    before = Offer.objects.filter(member_id=ticket.member_id, workday_id=ticket.row)
    offer = before.select_related("workday").first()
    arrives, leaves = (offer.arrives, offer.leaves) if offer else (None, None)
    if offer and arrives and leaves and not offer.workday.opens <= arrives < leaves <= offer.workday.closes:
        arrives = leaves = None
    offers.offer_hours(
        actor=actor,
        workday_id=ticket.row,
        member_id=ticket.member_id,
        answer=choice,
        arrives=arrives,
        leaves=leaves,
    )


def _place(actor: Actor, ticket: Ticket, choice: str, today: date) -> None:
    if choice == "yes":
        places.accept(actor=actor, invitation_id=ticket.row, today=today)
        return
    question = Invitation.objects.select_related("place").get(pk=ticket.row)
    if question.place.winner_id == ticket.member_id:
        places.give_back(actor=actor, place_id=question.place_id)
    else:
        places.decline(actor=actor, invitation_id=ticket.row)


def _look(actor: Actor, ticket: Ticket, choice: str, today: date) -> None:
    newest = Look.objects.filter(**{f"{ticket.purpose}_id": ticket.row}).order_by("-on", "-id").first()
    if newest and (newest.on, newest.by_id, newest.seen) == (today, ticket.member_id, choice):
        return
    if ticket.purpose == "guy":
        trees.look_at_guy(actor=actor, guy_id=ticket.row, on=today, seen=choice)
    else:
        trees.look(actor=actor, wire_id=ticket.row, on=today, seen=choice)


def _stop(actor: Actor, ticket: Ticket, choice: str, today: date) -> None:
    member = Member.objects.get(pk=ticket.member_id)
    members.want_mail(actor=actor, member_id=member.pk, version=member.version, wants=choice == "go_on")


ACTS: dict[str, Callable[[Actor, Ticket, str, date], None]] = {
    "day": _day,
    "place": _place,
    "wire": _look,
    "guy": _look,
    "stop": _stop,
}
