"""Places at a heavy bend: asking somebody, and the answer. The first to accept has the place, never two.

Whether a place is still free is asked of the row itself in one conditional update, so that two answers
at the same moment give one winner on either kind of database.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from datetime import date
from typing import Any

from django.db import transaction
from django.db.models import F, Max
from django.utils import timezone

from collection.models import Bend, Invitation, Member, Place, Plan, Workday
from collection.queries.access import Actor, member_for, workday_for
from collection.queries.day_problem import minutes_of
from collection.queries.errors import Refused, not_found
from collection.queries.helpers import may_see
from collection.queries.speech import clock
from collection.usecases.bend_team import able, place_for, slot_of, team_of
from collection.usecases.edit import created, edit, note
from collection.usecases.locks import lock, lock_day
from collection.usecases.notices import NoticeKind, place_subject, take_back, tell
from collection.usecases.plans import request_plan

OPEN, ACCEPTED, DECLINED, LATE, WITHDRAWN = "", "accepted", "declined", "late", "withdrawn"


def ask(*, actor: Actor, bend_id: int, member_id: int, today: date) -> int:
    """Ask a member to help at a bend, at the earliest time at which all are free; returns the invitation.

    Coordinators and the named lead ask. Several may be asked for one place.

    Raises:
        Refused: ``bend_askers_only``, ``not_found``, ``bend_over``, ``needs_sign_off``, ``bend_needs_lead``,
            ``helper_cannot``, ``asked_already``, ``crew_is_complete``, ``bend_needs_day`` or
            ``asked_for_another_time``.
    """
    team = team_of(actor, bend_id, today)
    _must_ask(actor, team.found.bend)
    member = member_for(actor, member_id)
    hand = able(team, member)
    with transaction.atomic():
        # Two who ask at once wait for each other, so that no seat has two places.
        lock(Bend.objects.filter(pk=bend_id))
        place = place_for(actor, team, hand, today)
        if place.invitations.filter(member=member, answer__in=[OPEN, ACCEPTED]).exists():
            raise Refused("asked_already", kind="conflict", name=member.name)
        invitation = _invite(actor, place, member)
        _tell(NoticeKind.PLACE_ASKED, place, [member.pk], invitation=invitation.pk)
    return invitation.pk


def _must_ask(actor: Actor, bend: Bend) -> None:
    if not may_see(actor, bend.lead_id):
        raise Refused("bend_askers_only", kind="forbidden")


def _invite(actor: Actor, place: Place, member: Member) -> Invitation:
    """A new question, or the old one asked again."""
    old = place.invitations.filter(member=member).first()
    if old is not None:
        Invitation.objects.filter(pk=old.pk).update(answer=OPEN, answered_at=None)
        note(old, actor, before={"answer": old.answer}, after={"answer": OPEN})
        return old
    last = place.invitations.aggregate(last=Max("order"))["last"]
    invitation = Invitation.objects.create(
        club_id=actor.club_id, place=place, member=member, order=(last or 0) + 1
    )
    created(invitation, actor, "place", "member")
    return invitation


def accept(*, actor: Actor, invitation_id: int, today: date) -> None:
    """Say yes. The place is this member's if nobody was quicker; the pair is then kept in the day's plan.

    Raises:
        Refused: ``not_found``, ``coordinators_only``, ``question_withdrawn``, ``place_taken`` (its answer is
            kept as late), ``helper_cannot``, ``place_time_gone``, ``day_over`` or ``bend_over``.
    """
    invitation = _invitation_for(actor, invitation_id)
    place = invitation.place
    if invitation.answer == ACCEPTED:
        return
    if invitation.answer == WITHDRAWN:
        raise Refused("question_withdrawn", kind="conflict")
    if place.winner_id is None:
        _still_able(actor, invitation, today)
    if _take(actor, invitation):
        return
    if Place.objects.filter(pk=place.pk, winner=None).exists():
        raise Refused("place_time_gone", kind="conflict")  # moved to another time meanwhile
    _answer(actor, invitation, LATE)
    raise Refused("place_taken", kind="conflict")


def _still_able(actor: Actor, invitation: Invitation, today: date) -> None:
    """What was so when the question was asked may have changed since."""
    job = invitation.place.job
    if job is None or job.bend_id is None:
        raise Refused("bend_over", kind="conflict")
    team = team_of(actor, job.bend_id, today)
    hand = able(team, invitation.member)
    if slot_of(team, hand, invitation.place) is None:
        raise Refused("place_time_gone", kind="conflict")


def _take(actor: Actor, invitation: Invitation) -> bool:
    """Take the place if it is free: one conditional UPDATE decides, whoever else answers now."""
    place = invitation.place
    with transaction.atomic():
        lock_day(place.workday_id)
        # A member who accepts two places at one moment waits for himself.
        lock(Member.objects.filter(pk=invitation.member_id))
        if _elsewhere(invitation):
            raise Refused("place_time_gone", kind="conflict")
        free = Place.objects.filter(pk=place.pk, winner=None, version=place.version)
        if not free.update(winner_id=invitation.member_id, version=F("version") + 1):
            return False
        note(place, actor, before={"winner": None}, after={"winner": invitation.member_id})
        _answer(actor, invitation, ACCEPTED)
        place.refresh_from_db()
        _tell(
            NoticeKind.PLACE_GIVEN,
            place,
            [invitation.member_id, *_who_leads(place)],
            who=invitation.member.name,
        )
        keep_in_plan(actor=actor, place=place)
    return True


def _elsewhere(invitation: Invitation) -> bool:
    """The member has another place that day at a time that meets this one."""
    place = invitation.place
    others = Place.objects.filter(workday_id=place.workday_id, winner_id=invitation.member_id)
    return others.exclude(pk=place.pk).filter(starts__lt=place.ends, ends__gt=place.starts).exists()


def decline(*, actor: Actor, invitation_id: int) -> None:
    """Say no; a coordinator may write it down for somebody.

    Raises:
        Refused: ``not_found``, ``coordinators_only`` or ``place_given_already`` when it was accepted.
    """
    invitation = _invitation_for(actor, invitation_id)
    if invitation.answer == ACCEPTED:
        raise Refused("place_given_already", kind="conflict")
    if invitation.answer in (OPEN, LATE):
        _answer(actor, invitation, DECLINED)


def give_back(*, actor: Actor, place_id: int) -> None:
    """Give an accepted place back; those who lead hear of it, and the day's plan lets the pair go.

    Raises:
        Refused: ``not_found``, ``coordinators_only`` or ``place_not_taken``.
    """
    place = Place.objects.filter(club_id=actor.club_id, pk=place_id).select_related("job__bend").first()
    if place is None:
        raise not_found()
    if place.winner_id is None:
        raise Refused("place_not_taken", kind="conflict")
    _must_be(actor, place.winner_id, place)
    with transaction.atomic():
        lock(Workday.objects.filter(pk=place.workday_id))
        _free(actor, place)


def free_places_of(*, actor: Actor, member_id: int) -> int:
    """Give back every place a member has on a coming day, as when he leaves; returns how many."""
    places = Place.objects.filter(club_id=actor.club_id, winner_id=member_id).select_related("job__bend")
    coming = places.filter(workday__state__in=[Workday.State.DRAFT, Workday.State.OPEN, Workday.State.SENT])
    with transaction.atomic():
        lock(Workday.objects.filter(pk__in=coming.values("workday_id")))
        Invitation.objects.filter(club_id=actor.club_id, member_id=member_id, answer=OPEN).update(
            answer=WITHDRAWN, answered_at=timezone.now()
        )
        count = 0
        for place in coming:
            _free(actor, place)
            count += 1
    return count


def _free(actor: Actor, place: Place) -> None:
    winner, name = place.winner, place.winner.name if place.winner else ""
    edit(place, place.version, {"winner_id": None}, actor)
    for invitation in place.invitations.filter(member=winner, answer=ACCEPTED):
        _answer(actor, invitation, DECLINED)
    take_back(club_id=place.club_id, subject=place_subject(place.pk), kinds=[NoticeKind.PLACE_GIVEN])
    _tell(NoticeKind.PLACE_BACK, place, _who_leads(place), who=name)
    keep_in_plan(actor=actor, place=place)


def withdraw(*, actor: Actor, invitation_id: int) -> None:
    """Take a question back that nobody has answered.

    Raises:
        Refused: ``not_found``, ``bend_askers_only`` or ``place_given_already``.
    """
    invitation = _any_invitation(actor, invitation_id)
    job = invitation.place.job
    if not may_see(actor, job.bend.lead_id if job and job.bend else None):
        raise Refused("bend_askers_only", kind="forbidden")
    if invitation.answer == ACCEPTED:
        raise Refused("place_given_already", kind="conflict")
    with transaction.atomic():
        _answer(actor, invitation, WITHDRAWN)
        if not invitation.place.invitations.filter(answer=OPEN).exists():
            subject = place_subject(invitation.place_id)
            take_back(club_id=actor.club_id, subject=subject, kinds=[NoticeKind.PLACE_ASKED])


def _answer(actor: Actor, invitation: Invitation, answer: str) -> None:
    before = invitation.answer
    Invitation.objects.filter(pk=invitation.pk).update(answer=answer, answered_at=timezone.now())
    note(invitation, actor, before={"answer": before}, after={"answer": answer})
    invitation.answer = answer


def _any_invitation(actor: Actor, invitation_id: int) -> Invitation:
    rows = Invitation.objects.filter(club_id=actor.club_id, pk=invitation_id)
    invitation = rows.select_related("member", "place__job__bend", "place__workday").first()
    if invitation is None:
        raise not_found()
    return invitation


def _invitation_for(actor: Actor, invitation_id: int) -> Invitation:
    """An invitation the actor may answer: his own, or as a coordinator anybody's."""
    invitation = _any_invitation(actor, invitation_id)
    _must_be(actor, invitation.member_id, invitation.place)
    return invitation


def _must_be(actor: Actor, member_id: int, place: Place) -> None:
    if actor.member_id != member_id and not actor.plans:
        raise Refused("coordinators_only", kind="forbidden")
    if place.workday.state in (Workday.State.HELD, Workday.State.CANCELLED):
        raise Refused("day_over", kind="conflict", on=place.workday.date)


def _who_leads(place: Place) -> list[int]:
    """Who is told about a place: the lead of the bend, and the club's coordinators where there is none."""
    bend = place.job.bend if place.job else None
    if bend is not None and bend.lead_id is not None:
        return [bend.lead_id]
    planners = Member.objects.filter(club_id=place.club_id, role__in=["coordinator", "admin"], active_to=None)
    return list(planners.values_list("pk", flat=True))


def _tell(kind: NoticeKind, place: Place, member_ids: Sequence[int], **more: Any) -> None:
    day = Workday.objects.select_related("site").get(pk=place.workday_id)
    job = place.job
    bend = job.bend if job else None
    tell(
        kind=kind,
        club_id=place.club_id,
        member_ids=member_ids,
        subject=place_subject(place.pk),
        period=f"{day.date} v{place.version}",
        due_at=timezone.now(),
        values={
            "bend": bend.pk if bend else None,
            "tree": job.tree.accession if job and job.tree else "",
            "what": f"{bend.diameter_mm:.0f} mm" if bend else "",
            "date": day.date.isoformat(),
            "starts": clock(minutes_of(place.starts)) if place.starts else "",
            "ends": clock(minutes_of(place.ends)) if place.ends else "",
            "site": day.site.name,
            "lead": bend.lead.name if bend and bend.lead else "",
            **more,
        },
    )


def keep_in_plan(*, actor: Actor, place: Place) -> None:
    """Wish the lead and those who said yes into the day's plan at the place's time; a new plan follows."""
    day = workday_for(actor, place.workday_id)
    if place.job_id is None or day.state in (Workday.State.HELD, Workday.State.CANCELLED):
        return
    last = Plan.objects.filter(workday=day).order_by("-number").first()
    wishes: dict[str, Any] = dict(last.wishes) if last else {}
    wishes["pins"] = [pin for pin in wishes.get("pins", []) if pin["job"] != place.job_id]
    places = Place.objects.filter(job_id=place.job_id, workday=day, winner__isnull=False).order_by("id")
    people = [winner for winner in places.values_list("winner_id", flat=True) if winner is not None]
    lead = place.job.bend.lead_id if place.job and place.job.bend else None
    if people and lead is not None and place.starts is not None:
        start = f"{place.starts:%H:%M}"
        wishes["pins"].append({"job": place.job_id, "people": [lead, *people], "start": start})
        wishes["left_out"] = [job for job in wishes.get("left_out", []) if job != place.job_id]
    # The club itself asks: whoever accepted need not be somebody who plans.
    club = Actor(actor.club_id, actor.member_id, "admin", actor.name, actor.door)
    with suppress(Refused):
        request_plan(actor=club, workday_id=day.pk, wishes=wishes)
