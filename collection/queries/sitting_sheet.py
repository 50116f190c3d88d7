"""A recorded sitting as a form shows it again, and who is near at hand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from collection.models import Offer, Sitting, Workday
from collection.queries.access import Actor, club_of, sitting_for
from collection.queries.clock import local
from collection.queries.errors import Refused
from collection.queries.trees import title_of


@dataclass(frozen=True, slots=True)
class TaskLine:
    """A task of a sitting."""

    task: str
    amount: float | None
    finished: bool


@dataclass(frozen=True, slots=True)
class SittingSheet:
    """A recorded sitting; times are the club's own, minutes are of each person, ``shared`` out or not."""

    id: int
    tree_id: int
    accession: str
    title: str
    started: datetime
    ended: datetime
    people: tuple[tuple[int, str, float], ...]
    tasks: tuple[TaskLine, ...]
    left_open: bool
    note: str
    shared: bool


def sitting_sheet(actor: Actor, sitting_id: int) -> SittingSheet:
    """A sitting that may be put right, for those who may do so.

    Raises:
        Refused: ``not_found``, ``not_your_sitting`` or ``corrected_already``.
    """
    sitting = sitting_for(actor, sitting_id)
    people = list(sitting.people.select_related("member").order_by("id"))
    own = actor.member_id is not None and actor.member_id in (
        sitting.recorded_by_id,
        *(person.member_id for person in people),
    )
    if not (actor.plans or own):
        raise Refused("not_your_sitting", kind="forbidden")
    if Sitting.objects.filter(corrects=sitting).exists():
        raise Refused("corrected_already", kind="conflict")
    zone, tree = club_of(actor).zone, sitting.tree
    return SittingSheet(
        id=sitting.pk,
        tree_id=tree.pk,
        accession=tree.accession,
        title=title_of(tree),
        started=local(sitting.started, zone),
        ended=local(sitting.ended, zone),
        people=tuple((p.member_id, p.member.name, p.minutes) for p in people),
        tasks=tuple(TaskLine(line.task, line.amount, line.finished) for line in sitting.tasks.order_by("id")),
        left_open=sitting.left_open,
        note=sitting.note,
        shared=sitting.shared,
    )


def near_people(actor: Actor, on: date, more: Iterable[int] = ()) -> frozenset[int]:
    """Who is likely to have worked: those who said yes to a workday of that day, and some more."""
    said = Offer.objects.filter(club_id=actor.club_id, answer="yes", workday__date=on)
    said = said.exclude(workday__state=Workday.State.CANCELLED)
    own = [actor.member_id] if actor.member_id is not None else []
    return frozenset([*said.values_list("member_id", flat=True), *more, *own])
