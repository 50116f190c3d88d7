"""Heavy bends: the list, and one bend with its people, why it takes so many, and what it waits for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta

from django.db.models import Q

from collection.craft.reasons import Reason
from collection.craft.reference import groups
from collection.models import Bend, Invitation, Job, Place
from collection.queries.access import Actor, job_for
from collection.queries.bend_against import against
from collection.queries.bend_case import POWER, circumstances_of, live_places, wanted
from collection.queries.bend_days import COMING
from collection.queries.bend_figures import in_figures
from collection.queries.bend_values import Asked, BendRow, BendSheet, Sanction, Team, Trigger, Wish
from collection.queries.day_problem import minutes_of
from collection.queries.errors import not_found
from collection.queries.helpers import helpers_of, may_see
from collection.queries.labels import dated, day, group_name, in_words, length
from collection.queries.numbers import job_number
from collection.queries.people import levels
from collection.queries.sentences import say
from collection.queries.speech import clock, listed
from collection.queries.trees import title_of

# Bends that are over stay on the list for a year.
OVER_DAYS = 365
LIFT_CODES = {"labour_bench_lift", "labour_lifting_aid"}
OVER_WORDS = {
    "done": "Done",
    "missed": "Missed",
    "withdrawn": "Taken off the list",
    "not_this_year": "Not this year",
}
CIRCUMSTANCE_WORDS = {
    "lever_under_load": "A lever, jack or clamp is under load while wire goes on",
    "trunk_bend": "It is the trunk",
    "pot_must_be_held": "The pot must be held",
    "powered_carving": "Powered tools are used",
    "steps": "Somebody stands on steps",
}
LIMIT_TRUST = "assumption"


def bend_list(actor: Actor, *, today: date) -> tuple[BendRow, ...]:
    """Heavy bends that are wanted, closing first, then those over in the past year; constant queries."""
    recent = today - timedelta(days=OVER_DAYS)
    rows = Job.objects.filter(club_id=actor.club_id, bend__isnull=False)
    rows = rows.filter(Q(state=Job.State.OPEN, tree__archived_at=None) | Q(ended_on__gte=recent))
    rows = rows.select_related("tree", "estimate", "bend__branch", "bend__lead", "bend__refused_by")
    jobs = list(rows.order_by("closes", "id"))
    places = _places_of(jobs, today)
    found = [_row(job, places[job.pk], actor) for job in jobs]
    return tuple(sorted(found, key=lambda row: row.over))


def _places_of(jobs: Sequence[Job], today: date) -> dict[int, list[Place]]:
    rows = Place.objects.filter(job__in=jobs, workday__date__gte=today, workday__state__in=COMING)
    found: dict[int, list[Place]] = defaultdict(list)
    for place in rows.select_related("workday", "winner").prefetch_related("invitations__member"):
        found[place.job_id or 0].append(place)
    return found


def _row(job: Job, places: Sequence[Place], actor: Actor) -> BendRow:
    bend, tree = job.bend, job.tree
    assert bend is not None
    assert tree is not None
    lead = [bend.lead.name] if bend.lead else [""]
    helpers = [place.winner.name for place in places if place.winner]
    return BendRow(
        bend.pk,
        tree.pk,
        tree.accession,
        title_of(tree),
        what_of(bend),
        job.opens,
        job.closes,
        (*lead, *helpers),
        job.crew,
        job_number(job),
        state_of(job, places, full=may_see(actor, bend.lead_id)),
        job.state != Job.State.OPEN,
    )


def what_of(bend: Bend) -> str:
    """The bend's place and size: "Branch B2, 28 mm"."""
    where = f"Branch {bend.branch.label}" if bend.branch else _unnamed(bend)
    return f"{where}, {bend.diameter_mm:.0f} mm"


def _unnamed(bend: Bend) -> str:
    return "Trunk" if "trunk_bend" in circumstances_of(bend) else "A branch"


def state_of(job: Job, places: Sequence[Place], *, full: bool) -> str:
    """How a bend stands, in a sentence; who was only asked is for those who ask."""
    bend = job.bend
    assert bend is not None
    if job.state != Job.State.OPEN:
        on = f" on {dated(job.ended_on)}" if job.ended_on else ""
        return OVER_WORDS[job.state] + on + "."
    if bend.refused_by and bend.released_by_id is None:
        return f"{bend.refused_by.name} said no: {bend.refused_why}"
    if bend.signed_by_id is None:
        return "It waits for a sign-off."
    if bend.lead is None:
        return "Signed off. Nobody leads it yet."
    won = [place for place in places if place.winner]
    if len(won) >= job.crew - 1:
        names = [bend.lead.name, *(place.winner.name for place in won if place.winner)]
        return f"{listed(names)}{_time_of(won)}."
    missing = job.crew - 1 - len(won)
    wanted_words = "A second pair of hands is" if missing == 1 else f"{in_words(missing)} helpers are"
    asked = [i.member.name for place in places if not place.winner for i in place.invitations.all()
             if not i.answer]  # fmt: skip
    if asked and full:
        return f"{bend.lead.name} leads. {listed(sorted(asked))} {_have(asked)} been asked."
    return f"{bend.lead.name} leads. {wanted_words} wanted."


def _have(names: Sequence[str]) -> str:
    return "has" if len(names) == 1 else "have"


def _time_of(places: Sequence[Place]) -> str:
    return f", {when_of_place(places[0])}" if places else ""


def when_of_place(place: Place) -> str:
    """Day and hours of a place in words."""
    if place.starts is None or place.ends is None:
        return day(place.workday.date)
    hours = f"{clock(minutes_of(place.starts))} to {clock(minutes_of(place.ends))}"
    return f"{day(place.workday.date)}, {hours}"


def bend_sheet(actor: Actor, bend_id: int, *, today: date) -> BendSheet:
    """One bend with everything on its page.

    Raises:
        Refused: ``not_found`` for a missing bend and for one of another club alike.
    """
    found = wanted(actor, bend_id, today=today)
    bend, job, estimate = found.bend, found.job, found.job.estimate
    places = live_places(job.pk, today)
    full, over = may_see(actor, bend.lead_id), job.state != Job.State.OPEN
    return BendSheet(
        id=bend.pk,
        version=bend.version,
        job_id=job.pk,
        wish=_wish(bend, job),
        team=_team(bend, job, places, full=full, me=actor.member_id),
        sanction=_sanction(bend, actor, today),
        number=job_number(job),
        hands_min=estimate.elapsed_min * job.crew if estimate else None,
        held_words=length(estimate.held_min) if estimate and estimate.held_min else "",
        triggers=triggers_of(job),
        state=state_of(job, places, full=full),
        over=over,
        helpers=helpers_of(found) if full and not over else None,
        against=() if over else against(bend, job, today=today),
        figures=in_figures(bend, job.opens),
    )


def _wish(bend: Bend, job: Job) -> Wish:
    tree = job.tree
    assert tree is not None
    said = circumstances_of(bend)
    return Wish(
        tree_id=tree.pk,
        accession=tree.accession,
        tree_title=title_of(tree),
        where=tree.bench.name if tree.bench else tree.site.name,
        branch=bend.branch.label if bend.branch else "",
        diameter_mm=bend.diameter_mm,
        length_mm=bend.length_mm,
        drop_mm=bend.drop_mm,
        radius_mm=bend.radius_mm,
        method=bend.method,
        circumstances=tuple(CIRCUMSTANCE_WORDS[code] for code in sorted(said)),
        power_kit=POWER in said,
        opens=job.opens,
        closes=job.closes,
        limit=_limit(bend),
    )


def _team(bend: Bend, job: Job, places: Sequence[Place], *, full: bool, me: int | None) -> Team:
    questions = _questions(places, full=full, me=me)
    won = [place for place in places if place.winner]
    return Team(
        crew=job.crew,
        lead_id=bend.lead_id,
        lead=bend.lead.name if bend.lead else "",
        accepted=tuple(q for q in questions if q.answer == "accepted"),
        asked=tuple(q for q in questions if q.answer != "accepted") if full else (),
        mine=tuple(q for q in questions if me is not None and q.member_id == me),
        when=when_of_place(won[0]) if won else "",
        day_id=won[0].workday_id if won else None,
    )


def _sanction(bend: Bend, actor: Actor, today: date) -> Sanction:
    return Sanction(
        signed=_by_on(bend.signed_by.name, bend.signed_on) if bend.signed_by else "",
        refused=_refused(bend),
        released=bend.released_by.name if bend.released_by else "",
        may_judge=may_judge(actor, today),
        refuser_looks=bend.refused_by_id is not None and bend.refused_by_id == actor.member_id,
    )


def _refused(bend: Bend) -> tuple[str, str] | None:
    return (bend.refused_by.name, bend.refused_why) if bend.refused_by else None


def _by_on(name: str, on: date | None) -> str:
    return f"{name}, {dated(on)}" if on else name


def may_judge(actor: Actor, today: date) -> bool:
    """May refuse or release a heavy bend: coordinators, club admins and experts in bends."""
    if actor.plans or actor.member_id is None:
        return actor.plans
    return levels([actor.member_id], today)[actor.member_id].get("bending") == "expert"


def _limit(bend: Bend) -> str:
    """The group's limit for one person, with how far to trust it."""
    row = groups()[bend.tree.group]
    name = group_name(bend.tree.group).lower()
    return f"One person bends up to {row.bend_limit_mm:.0f} mm on {name} ({LIMIT_TRUST})."


def triggers_of(job: Job) -> tuple[Trigger, ...]:
    """Everything that asks for people at a bend, those that asked for the most first."""
    estimate = job.estimate
    reasons = [Reason.from_json(r) for r in estimate.crew_reasons] if estimate else []
    lifts = [Reason.from_json(r) for r in estimate.notes if r["code"] in LIFT_CODES] if estimate else []
    reasons.append(Reason.of("crew_heavy", people=2))
    asked = [(reason, int(str(reason.values.get("people", 2)))) for reason in reasons]
    most = max(people for _, people in asked)
    if job.bend and job.bend.crew > most:
        most = job.bend.crew
        asked.append((Reason.of("crew_said", people=most), most))
    rows = [Trigger(say(reason), people, people == most) for reason, people in asked]
    rows += [Trigger(say(reason), 3 if reason.code == "labour_lifting_aid" else 2, False) for reason in lifts]
    return tuple(sorted(rows, key=lambda row: not row.most))


def _questions(places: Sequence[Place], *, full: bool, me: int | None) -> list[Asked]:
    asked = [(place, question) for place in places for question in place.invitations.all()]
    return [
        Asked(
            question.pk,
            question.member_id,
            question.member.name,
            question.answer,
            place.pk,
            when_of_place(place),
            place.winner_id not in (None, question.member_id),
        )
        for place, question in sorted(asked, key=lambda pair: (pair[0].pk, pair[1].order))
        if question.answer != "withdrawn"
        and (full or question.answer == "accepted" or question.member_id == me)
    ]


def heavy_bend_next(actor: Actor, *, today: date) -> int | None:
    """The bend whose window closes first, of those still to be done."""
    rows = Job.objects.filter(
        club_id=actor.club_id, bend__isnull=False, state=Job.State.OPEN, tree__archived_at=None
    )
    return rows.filter(closes__gte=today).order_by("closes", "id").values_list("bend_id", flat=True).first()


def bends_on_tree(actor: Actor, tree_id: int) -> tuple[int, ...]:
    """The bends still to be done on a tree, closing first."""
    rows = Job.objects.filter(
        club_id=actor.club_id, tree_id=tree_id, bend__isnull=False, state=Job.State.OPEN
    )
    return tuple(pk for pk in rows.order_by("closes", "id").values_list("bend_id", flat=True) if pk)


def bend_of_job(actor: Actor, job_id: int) -> int:
    """The bend of a job.

    Raises:
        Refused: ``not_found``.
    """
    found = job_for(actor, job_id).bend_id
    if found is None:
        raise not_found()
    return found


def bend_of_place(actor: Actor, place_id: int) -> int | None:
    """The bend a place is for; None for a place on a day that is for no bend.

    Raises:
        Refused: ``not_found``.
    """
    place = Place.objects.filter(club_id=actor.club_id, pk=place_id).select_related("job").first()
    if place is None:
        raise not_found()
    return place.job.bend_id if place.job else None


def bend_of_invitation(actor: Actor, invitation_id: int) -> int | None:
    """The bend a question is about.

    Raises:
        Refused: ``not_found``.
    """
    rows = Invitation.objects.filter(club_id=actor.club_id, pk=invitation_id)
    invitation = rows.select_related("place__job").first()
    if invitation is None:
        raise not_found()
    return invitation.place.job.bend_id if invitation.place.job else None
