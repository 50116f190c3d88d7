"""Who may see how a person is reached, and what he says of himself.

Coordinators and club admins see everybody's, a person his own, and the named lead of a coming day those of
the people who come to that day. Nobody else does.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from collection.models import Change, Contact, Declaration, Message, Offer, Workday
from collection.queries.access import Actor

# Why a message is parked whose address the mail server does not have; then come a colon and its number.
COMES_BACK = "address_comes_back"


@dataclass(frozen=True, slots=True)
class Reach:
    """How a person is reached; ``version`` 0 where nothing is written down yet."""

    email: str
    telephone: str
    version: int
    comes_back: bool


@dataclass(frozen=True, slots=True)
class Said:
    """What a person says to one question: yes, no, or nothing yet (``answer`` None)."""

    kind: str
    answer: bool | None
    on: date | None


def seen_by(actor: Actor, member_ids: Iterable[int], today: date) -> frozenset[int]:
    """Of these members, those whose contact and declarations the asker may see; one query at most."""
    asked = frozenset(member_ids)
    if actor.plans:
        return asked
    own = asked & {actor.member_id}
    if actor.member_id is None or own == asked:
        return frozenset(pk for pk in own if pk is not None)
    led = Offer.objects.filter(
        member_id__in=asked,
        answer="yes",
        workday__club_id=actor.club_id,
        workday__lead_id=actor.member_id,
        workday__date__gte=today,
    ).exclude(workday__state=Workday.State.CANCELLED)
    return frozenset(led.values_list("member_id", flat=True)) | frozenset(own - {None})


def reach_of(member_id: int) -> Reach:
    """How a member is reached; ask ``seen_by`` first."""
    contact = Contact.objects.filter(member_id=member_id).first()
    contact = contact or Contact(version=0)
    return Reach(contact.email, contact.telephone, contact.version, comes_back(member_id))


def comes_back(member_id: int) -> bool:
    """Whether letters to a member come back: his address was refused, and not changed since."""
    back = Message.objects.filter(member_id=member_id, parked_reason__startswith=f"{COMES_BACK}:")
    last = back.order_by("-id").values_list("written_at", flat=True).first()
    if last is None:
        return False
    changes = Change.objects.filter(table="contact", after__has_key="email", at__gt=last)
    return not changes.filter(row__in=Contact.objects.filter(member_id=member_id).values("pk")).exists()


def said_by(member_ids: Iterable[int], on: date) -> dict[int, list[Said]]:
    """Each member's newest answer to every question, as valid on a day; ask ``seen_by`` first."""
    found: dict[int, dict[str, Said]] = {pk: {} for pk in member_ids}
    rows = Declaration.objects.filter(member_id__in=list(found), given_on__lte=on).order_by("given_on", "id")
    for row in rows:
        over = row.until is not None and row.until < on
        said = Said(row.kind, None if over else row.answer, None if over else row.given_on)
        found[row.member_id][row.kind] = said
    return {
        pk: [said.get(kind, Said(kind, None, None)) for kind in Declaration.Kind.values]
        for pk, said in found.items()
    }
