"""Heavy bends a member is asked to help with, or has said yes to, on days that are still ahead."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time

from django.db.models import Q

from collection.models import Invitation, Job, Workday
from collection.queries.access import Actor


@dataclass(frozen=True, slots=True)
class Request:
    """A place at a bend: ``yes`` once the member took it, else it waits for an answer."""

    bend_id: int
    accession: str
    on: date
    starts: time | None
    ends: time | None
    yes: bool


def requests_of(actor: Actor, *, today: date) -> tuple[Request, ...]:
    """What is asked of whoever looks, soonest first; places that somebody else took are left out."""
    rows = Invitation.objects.filter(club_id=actor.club_id, member_id=actor.member_id or 0)
    rows = rows.filter(Q(answer="", place__winner=None) | Q(answer="accepted"))
    rows = rows.filter(place__workday__date__gte=today, place__job__state=Job.State.OPEN)
    rows = rows.filter(place__job__bend__isnull=False)
    rows = rows.exclude(place__workday__state__in=[Workday.State.CANCELLED, Workday.State.HELD])
    rows = rows.select_related("place__workday", "place__job__tree").order_by("place__workday__date", "id")
    return tuple(
        Request(
            row.place.job.bend_id,
            row.place.job.tree.accession,
            row.place.workday.date,
            row.place.starts,
            row.place.ends,
            row.answer == "accepted",
        )
        for row in rows
        if row.place.job and row.place.job.bend_id and row.place.job.tree
    )
