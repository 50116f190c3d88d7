"""Heavy bends, who could help, and who was asked."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from typing import Any, Literal

from django.db.models import Q, QuerySet

from collection.craft.bending_types import Range95
from collection.models import Bend, Invitation, Place
from collection.queries.access import Actor
from collection.queries.bend_case import bend_for, circumstances_of, job_of, wanted
from collection.queries.bend_figures import in_figures
from collection.queries.bends import state_of
from collection.queries.errors import Refused, not_found
from collection.queries.helpers import Candidate, helpers_of, may_see
from collection.queries.records.base import record, records
from collection.queries.slices import Slice, Wanted

Answer = Literal["", "accepted", "declined", "late", "withdrawn"]

# What is said of lever and guy, kept beside the circumstances.
MEANS = ("load_arm_mm", "hand_arm_mm", "people_on_lever", "guy_deg")


@dataclass(frozen=True, slots=True)
class BendRecord:
    """A heavy bend; lengths in mm. ``words`` says how it stands."""

    id: int
    version: int
    tree_id: int
    branch_id: int | None
    job_id: int
    job_state: Literal["open", "done", "missed", "withdrawn", "not_this_year"]
    opens: date
    closes: date
    diameter_mm: float
    length_mm: float | None
    drop_mm: float | None
    radius_mm: float | None
    method: str
    circumstances: tuple[str, ...]
    load_arm_mm: float | None
    hand_arm_mm: float | None
    people_on_lever: int | None
    guy_deg: float | None
    severity: float | None
    crew: int
    lead_id: int | None
    signed_by_id: int | None
    signed_on: date | None
    refused_by_id: int | None
    refused_why: str
    released_by_id: int | None
    words: str


@dataclass(frozen=True, slots=True)
class ForceRecord:
    """A force in newtons, and the range that holds 95 of 100 trees."""

    likely_n: float
    low_n: float
    high_n: float


@dataclass(frozen=True, slots=True)
class StageRecord:
    """One pull of a bend made in stages, when the first is on the first day of its window."""

    stage: int
    drop_mm: float
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class BendFiguresRecord:
    """A bend in figures; null where one cannot be worked out, and ``notes`` say why.

    They rank bends and promise nothing. ``band`` is of the strain; ``heavy`` and ``crew`` are by the rules of
    the craft alone, before what the club's own job says.
    """

    bend_id: int
    strain: float | None
    band: Literal["easy", "wire_and_wrap", "lever_and_expert", "cut_or_stage"] | None
    radius_mm: float | None
    angle_deg: float | None
    wood: str
    force: ForceRecord | None
    at_each_hand: ForceRecord | None
    guy: ForceRecord | None
    heavy: bool | None
    crew: int | None
    notes: tuple[str, ...]
    stages: tuple[StageRecord, ...]


@dataclass(frozen=True, slots=True)
class CandidateRecord:
    """Somebody nothing stops: points, the reasons in words, and when he is free with the lead."""

    member_id: int
    name: str
    points: float
    reasons: tuple[str, ...]
    conditions: tuple[str, ...]
    when: str


@dataclass(frozen=True, slots=True)
class LeftOutRecord:
    """Somebody who cannot take part, and every reason in words."""

    member_id: int
    name: str
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HelpersRecord:
    """Who leads, who helps and who cannot; ``stops`` says why the bend is not to be done at all."""

    stops: tuple[str, ...]
    lead: CandidateRecord | None
    lead_why: tuple[str, ...]
    leads: tuple[CandidateRecord, ...]
    helpers: tuple[CandidateRecord, ...]
    team_ids: tuple[int, ...]
    when: str
    left_out: tuple[LeftOutRecord, ...]
    no_answer: int
    days_held: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlaceRecord:
    """An opening for a person on a workday."""

    id: int
    version: int
    workday_id: int
    job_id: int | None
    number: int
    starts: time | None
    ends: time | None
    winner_id: int | None


@dataclass(frozen=True, slots=True)
class InvitationRecord:
    """A place offered to a member, and his answer; "" for none yet."""

    id: int
    place_id: int
    bend_id: int | None
    member_id: int
    answer: Answer


def bend_records(
    actor: Actor, piece: Wanted, *, state: str = "", tree: int | None = None
) -> Slice[BendRecord]:
    """Bends by id."""
    rows = _bends(actor)
    if state:
        rows = rows.filter(jobs__state=state)
    if tree is not None:
        rows = rows.filter(tree_id=tree)
    return records(BendRecord, rows, ("id",), piece, lambda bend: _bend(actor, bend))


def bend_record(actor: Actor, bend_id: int) -> BendRecord:
    """One bend.

    Raises:
        Refused: ``not_found``.
    """
    bend = _bends(actor).get(pk=bend_for(actor, bend_id).pk)
    return record(BendRecord, bend, **_bend(actor, bend))


def bend_figures_record(actor: Actor, bend_id: int) -> BendFiguresRecord:
    """One bend in figures.

    Raises:
        Refused: ``not_found``.
    """
    bend = bend_for(actor, bend_id)
    found = in_figures(bend, job_of(bend).opens)
    worked = found.worked
    if worked is None:
        return BendFiguresRecord(
            bend_id, None, None, None, None, "", None, None, None, None, None, found.notes, ()
        )
    return BendFiguresRecord(
        bend_id=bend_id,
        strain=worked.strain,
        band=worked.band,  # type: ignore[arg-type]
        radius_mm=worked.radius_mm,
        angle_deg=worked.angle_deg,
        wood=worked.wood.name if worked.wood else "",
        force=_force(worked.force_n),
        at_each_hand=_force(worked.hand_n),
        guy=_force(worked.guy_n),
        heavy=worked.heavy,
        crew=worked.crew.people,
        notes=found.notes,
        stages=tuple(StageRecord(s.number, s.drop.value, s.first, s.last) for s in found.stages),
    )


def _force(of: Range95 | None) -> ForceRecord | None:
    return ForceRecord(of.likely, of.low, of.high) if of else None


def bend_of_job(actor: Actor, job_id: int) -> BendRecord:
    """The bend a job is about.

    Raises:
        Refused: ``not_found``.
    """
    bend = _bends(actor).filter(jobs__pk=job_id).first()
    if bend is None:
        raise not_found()
    return record(BendRecord, bend, **_bend(actor, bend))


def _bends(actor: Actor) -> QuerySet[Bend]:
    rows = Bend.objects.filter(club_id=actor.club_id).select_related("lead", "refused_by")
    return rows.prefetch_related(
        "jobs__places__winner", "jobs__places__workday", "jobs__places__invitations__member"
    )


def _bend(actor: Actor, bend: Bend) -> dict[str, Any]:
    job = next(iter(bend.jobs.all()))
    job.bend = bend
    places = [place for place in job.places.all() if place.workday.state not in ("held", "cancelled")]
    return {
        "job_id": job.pk,
        "job_state": job.state,
        "opens": job.opens,
        "closes": job.closes,
        "crew": job.crew,
        "circumstances": tuple(sorted(circumstances_of(bend))),
        **{name: bend.inputs.get(name) for name in MEANS},
        "words": state_of(job, places, full=may_see(actor, bend.lead_id)),
    }


def helpers_record(actor: Actor, bend_id: int, *, today: date) -> HelpersRecord:
    """Who could lead and help: for coordinators and for the one who leads.

    Raises:
        Refused: ``not_found`` or ``bend_askers_only``.
    """
    bend = bend_for(actor, bend_id)
    if not may_see(actor, bend.lead_id):
        raise Refused("bend_askers_only", kind="forbidden")
    found = helpers_of(wanted(actor, bend.pk, today=today))
    return HelpersRecord(
        stops=found.stops,
        lead=_candidate(found.lead) if found.lead else None,
        lead_why=found.lead_why,
        leads=tuple(_candidate(one) for one in found.leads),
        helpers=tuple(_candidate(one) for one in found.helpers),
        team_ids=found.team_ids,
        when=found.when,
        left_out=tuple(LeftOutRecord(one.member_id, one.name, one.why) for one in found.left_out),
        no_answer=found.no_answer,
        days_held=found.days_held,
    )


def _candidate(one: Candidate) -> CandidateRecord:
    return CandidateRecord(one.member_id, one.name, one.number.value, one.reasons, one.terms, one.when)


def place_records(actor: Actor, bend_id: int, wanted: Wanted) -> Slice[PlaceRecord]:
    """Places at a bend."""
    rows = Place.objects.filter(club_id=actor.club_id, job_id=job_of(bend_for(actor, bend_id)).pk)
    return records(PlaceRecord, rows, ("id",), wanted)


def place_record(actor: Actor, place_id: int) -> PlaceRecord:
    """One place.

    Raises:
        Refused: ``not_found``.
    """
    row = Place.objects.filter(club_id=actor.club_id, pk=place_id).first()
    if row is None:
        raise not_found()
    return record(PlaceRecord, row)


def bend_invitations(actor: Actor, bend_id: int, wanted: Wanted) -> Slice[InvitationRecord]:
    """Who was asked to help: everybody for those who ask, else who has a place, and oneself."""
    bend = bend_for(actor, bend_id)
    rows = _invitations(actor).filter(place__job_id=job_of(bend).pk)
    if not may_see(actor, bend.lead_id):
        rows = rows.filter(Q(answer="accepted") | Q(member_id=actor.member_id or 0))
    return records(InvitationRecord, rows, ("id",), wanted, _about)


def my_invitations(actor: Actor, wanted: Wanted) -> Slice[InvitationRecord]:
    """What whoever asks was asked himself, newest first."""
    rows = _invitations(actor).filter(member_id=actor.member_id or 0)
    return records(InvitationRecord, rows, ("-id",), wanted, _about)


def invitation_record(actor: Actor, invitation_id: int) -> InvitationRecord:
    """One invitation: one's own, or any for those who ask at the bend.

    Raises:
        Refused: ``not_found``.
    """
    row = _invitations(actor).filter(pk=invitation_id).first()
    lead = row.place.job.bend.lead_id if row and row.place.job and row.place.job.bend else None
    if row is None or not (row.member_id == actor.member_id or may_see(actor, lead)):
        raise not_found()
    return record(InvitationRecord, row, **_about(row))


def _invitations(actor: Actor) -> QuerySet[Invitation]:
    return Invitation.objects.filter(club_id=actor.club_id).select_related("place__job__bend")


def _about(row: Invitation) -> dict[str, Any]:
    return {"bend_id": row.place.job.bend_id if row.place.job else None}
