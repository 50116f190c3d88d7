"""A heavy bend as the search for helpers sees it: the bend, the club's people, the days ahead.

Everything is read in a number of queries that does not grow with people, days or bends.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from django.db.models import Q, Sum

from collection.craft.reasons import Reason
from collection.models import (
    Bend,
    Declaration,
    Job,
    Member,
    Place,
    Sitting,
    SittingMember,
    Workday,
)
from collection.planning import helper_facts as core
from collection.planning.workday.problem import paced
from collection.queries.access import Actor
from collection.queries.bend_days import COMING, bend_days, days_ahead
from collection.queries.consent import missing_consent
from collection.queries.day_problem import segments_of
from collection.queries.errors import not_found
from collection.queries.people import levels
from collection.queries.programme import paces_of
from collection.queries.real_work import real_work

# Hours of the past year make somebody's share.
SHARE_DAYS = 365
POWER = "powered_carving"


@dataclass(frozen=True, slots=True)
class Wanted:
    """A bend with its rows and everything the search needs of it."""

    bend: Bend
    job: Job
    case: core.Case
    days: tuple[Workday, ...]


def bend_for(actor: Actor, bend_id: int) -> Bend:
    """A bend of the actor's club.

    Raises:
        Refused: ``not_found``.
    """
    rows = Bend.objects.filter(club_id=actor.club_id, pk=bend_id)
    bend = rows.select_related(
        "tree__club", "branch", "lead", "signed_by", "refused_by", "released_by"
    ).first()
    if bend is None:
        raise not_found()
    return bend


def job_of(bend: Bend) -> Job:
    """The job of a bend.

    Raises:
        Refused: ``not_found`` where somebody took it away.
    """
    rows = bend.jobs.select_related("tree__site", "tree__bench", "bend", "estimate")
    job = rows.order_by("-id").first()
    if job is None:
        raise not_found()
    return job


def live_places(job_id: int, today: date) -> list[Place]:
    """Places for a job on coming days, oldest first; those of days that are over or cancelled are gone."""
    rows = Place.objects.filter(job_id=job_id, workday__date__gte=today, workday__state__in=COMING)
    rows = rows.select_related("workday", "winner").prefetch_related("invitations__member")
    return list(rows.order_by("id"))


def wanted(actor: Actor, bend_id: int, *, today: date) -> Wanted:
    """The bend, its people and its days.

    Raises:
        Refused: ``not_found``.
    """
    bend = bend_for(actor, bend_id)
    job = job_of(bend)
    days = days_ahead(bend, job, today)
    members, hours = _members(bend, days, today), _hours(bend.club_id, today)
    case = core.Case(
        bend=_bend(bend, job, today),
        hands=_hands(bend, members, hours, today),
        days=bend_days(bend, job, days, members, today),
        average_h=_average(members, hours, today),
    )
    return Wanted(bend, job, case, tuple(days))


def circumstances_of(bend: Bend) -> frozenset[str]:
    """What is said of how the bend is done: a lever under load, a trunk, powered tools, steps."""
    return frozenset(bend.inputs.get("circumstances", []))


def _bend(bend: Bend, job: Job, today: date) -> core.Bend:
    parts, _ = segments_of(job)
    return core.Bend(
        id=bend.pk,
        crew=job.crew,
        segments=paced(parts, paces_of(bend.club_id).skills)[1]["expert"],
        power_kit=POWER in circumstances_of(bend),
        lead=bend.lead_id,
        stops=tuple(_bend_stops(bend, today)),
    )


def _bend_stops(bend: Bend, today: date) -> Iterable[Reason]:
    if bend.refused_by is not None and bend.released_by_id is None:
        yield Reason.of("bend_refused", name=bend.refused_by.name, why=bend.refused_why)
    yield from missing_consent([bend.tree_id], today).get(bend.tree_id, ())


def _members(bend: Bend, days: Sequence[Workday], today: date) -> list[Member]:
    """Members now, the lead who was set, and whoever said yes for a day and has left since."""
    rows = Member.objects.filter(club_id=bend.club_id)
    now = Q(active_from__lte=today) & (Q(active_to=None) | Q(active_to__gte=today))
    yes = Q(offers__workday__in=[day.pk for day in days], offers__answer="yes")
    return list(rows.filter(now | yes | Q(pk=bend.lead_id)).distinct().order_by("id"))


def _is_member(member: Member, on: date) -> bool:
    return member.active_from <= on and (member.active_to is None or member.active_to >= on)


def _hands(
    bend: Bend, members: Sequence[Member], hours: Mapping[int, float], today: date
) -> tuple[core.Hand, ...]:
    ids = [member.pk for member in members]
    known = levels(ids, today)
    said = _declared(ids, today)
    on_group, any_group = _bends_held(bend)
    before, last = _on_tree(bend)
    experts = [pk for pk in ids if known[pk].get("bending") == "expert"]
    beside = _worked_with({*experts, *([bend.lead_id] if bend.lead_id else [])})
    return tuple(
        core.Hand(
            id=member.pk,
            name=member.name,
            level=known[member.pk].get("bending", "novice"),
            active=_is_member(member, today),
            can_lift=said.get((member.pk, "can_lift")),
            trained_power=bool(said.get((member.pk, "power_tools"))),
            wants_bends=bool(said.get((member.pk, "wants_bends"))),
            bends_on_group=on_group[member.pk],
            bends_any=any_group[member.pk],
            tree_before=member.pk in before,
            tree_last=member.pk in last,
            worked_with=frozenset(beside[member.pk]),
            hours_given=hours.get(member.pk, 0.0),
        )
        for member in members
    )


def _declared(ids: Iterable[int], today: date) -> dict[tuple[int, str], bool]:
    """Each person's newest valid answer of each kind; nothing where nobody asked or it ran out."""
    rows = Declaration.objects.filter(member_id__in=list(ids), given_on__lte=today)
    rows = rows.filter(Q(until=None) | Q(until__gte=today)).order_by("given_on", "id")
    return {(m, kind): answer for m, kind, answer in rows.values_list("member_id", "kind", "answer")}


def _bends_held(bend: Bend) -> tuple[Counter[int], Counter[int]]:
    """Bends on record of each person: on the tree's species group, and on any."""
    rows = SittingMember.objects.filter(
        club_id=bend.club_id, sitting__tasks__task="HEAVY_BEND", sitting__corrected_by=None
    )
    on_group: Counter[int] = Counter()
    any_group: Counter[int] = Counter()
    for member, group in rows.values_list("member_id", "sitting__tree__group"):
        any_group[member] += 1
        on_group[member] += group == bend.tree.group
    return on_group, any_group


def _on_tree(bend: Bend) -> tuple[set[int], set[int]]:
    """Who has worked on the tree, and who did last; remembered work is last only where nothing else is."""
    rows = real_work(Sitting.objects.filter(tree_id=bend.tree_id, corrected_by=None))
    people: dict[int, set[int]] = {}
    for sitting, member in rows.order_by("-remembered", "ended", "id").values_list("pk", "people__member_id"):
        people.setdefault(sitting, set())
        if member is not None:
            people[sitting].add(member)
    spells = [who for who in people.values() if who]
    return set().union(*spells), (spells[-1] if spells else set())


def _hours(club_id: int, today: date) -> dict[int, float]:
    """Hours of each person in the past year; remembered work has none."""
    since = datetime.combine(today - timedelta(days=SHARE_DAYS), time(0), UTC)
    rows = SittingMember.objects.filter(
        club_id=club_id, sitting__started__gte=since, sitting__corrected_by=None, sitting__remembered=False
    )
    return {m: minutes / 60 for m, minutes in rows.values_list("member_id").annotate(spent=Sum("minutes"))}


def _average(members: Sequence[Member], hours: Mapping[int, float], today: date) -> float:
    now = [member.pk for member in members if _is_member(member, today)]
    return sum(hours.get(pk, 0.0) for pk in now) / len(now) if now else 0.0


def _worked_with(leads: set[int]) -> dict[int, set[int]]:
    """Person -> those of the leads with whom he shared a sitting."""
    found: dict[int, set[int]] = defaultdict(set)
    rows = SittingMember.objects.filter(sitting__people__member_id__in=leads, sitting__corrected_by=None)
    for member, lead in rows.values_list("member_id", "sitting__people__member_id").distinct():
        if member != lead and lead in leads:
            found[member].add(lead)
    return found
