"""What is missing before a day, each with the one thing that mends it; seen by coordinators."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from collection.models import Assignment, Care, Contact, Invitation, Job, Offer, Place, Plan, Tree, Workday
from collection.planning.helpers import find_helpers
from collection.queries.access import Actor, must_plan, workday_for
from collection.queries.bend_case import wanted
from collection.queries.day_problem import candidates, day_people
from collection.queries.labels import counted, task_name
from collection.queries.people import declared
from collection.queries.speech import listed

# Why a job of several people is not placed: no second pair of hands for it.
NO_SECOND = frozenset(
    {"too_few_hands", "no_two_free_together", "not_there_together", "no_one_to_hold", "no_one_free_for"}
)


@dataclass(frozen=True, slots=True)
class Lack:
    """One thing that is missing, or must be thought of.

    Attributes:
        kind: people, lead, first_aider, consent, sign_off, second, bring or invitation.
        mend: Name and id of the address where it is mended.
    """

    kind: str
    sentence: str
    mend: tuple[str, int]
    tree: tuple[int, str] | None = None
    call: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Missing:
    """Everything missing before a day, and the trees somebody brings already."""

    workday_id: int
    date: date
    lacks: tuple[Lack, ...]
    brought: tuple[tuple[int, str, str], ...]


def missing_before(actor: Actor, workday_id: int) -> Missing:
    """What is missing before a day: people, consent, sign-off, second pairs of hands, trees to bring.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_plan(actor)
    day = workday_for(actor, workday_id)
    jobs = _in_season(day)
    trees = {job.tree.pk: job.tree for job in jobs if job.tree is not None}
    # Of the trees that stand elsewhere only those count whose work the day has room for.
    wanted = {job.tree_id for job in candidates(day, day_people(day)).jobs}
    away = [t for pk, t in trees.items() if t.site_id != day.site_id and t.may_travel and pk in wanted]
    here = {pk for pk, tree in trees.items() if tree.site_id == day.site_id} | {tree.pk for tree in away}
    bringers = _names(away)
    lacks = [
        *_people(day),
        *_consent(day, {pk: tree.accession for pk, tree in trees.items() if pk in here}),
        *_sign_off([job for job in jobs if job.tree_id in here]),
        *_second(actor, day, [job for job in jobs if job.tree_id in here]),
        *_bring([tree for tree in away if tree.pk not in bringers]),
        *_invitations(day),
    ]
    brought = [(tree.pk, tree.accession, bringers[tree.pk]) for tree in away if tree.pk in bringers]
    return Missing(day.pk, day.date, tuple(lacks), tuple(sorted(brought, key=lambda b: b[1])))


def _in_season(day: Workday) -> list[Job]:
    """Open jobs on trees whose window holds the day."""
    rows = Job.objects.filter(club_id=day.club_id, state=Job.State.OPEN, tree__archived_at=None)
    rows = rows.filter(tree__isnull=False, opens__lte=day.date, closes__gte=day.date)
    return list(rows.select_related("tree", "bend").order_by("closes", "id"))


def _names(trees: Iterable[Tree]) -> dict[int, str]:
    rows = Tree.objects.filter(pk__in=[tree.pk for tree in trees], brought_by__isnull=False)
    return dict(rows.values_list("pk", "brought_by__name"))


def _people(day: Workday) -> list[Lack]:
    """Enough people, a lead who comes, a first aider who comes and has said that he is one."""
    yes = set(Offer.objects.filter(workday=day, answer="yes").values_list("member_id", flat=True))
    change, found = ("day-change", day.pk), []
    if len(yes) < day.least_people:
        more = day.least_people - len(yes)
        said = f"{counted(more, 'more person is', 'more people are')} needed, {day.least_people} at least."
        found.append(Lack("people", said, ("day", day.pk)))
    if day.lead is None:
        found.append(Lack("lead", "Nobody leads the day yet.", change))
    elif day.lead_id not in yes:
        found.append(Lack("lead", f"{day.lead.name} leads the day and has not said yes.", ("day", day.pk)))
    if day.first_aider is None:
        found.append(Lack("first_aider", "There is no first aider yet.", change))
    elif day.first_aider_id not in yes:
        said = f"{day.first_aider.name} is the first aider and has not said yes."
        found.append(Lack("first_aider", said, ("day", day.pk)))
    elif day.first_aider.pk not in declared([day.first_aider.pk], "first_aid", day.date):
        said = f"{day.first_aider.name} is named as first aider and has not declared it."
        found.append(Lack("first_aider", said, change))
    return found


def _consent(day: Workday, trees: dict[int, str]) -> list[Lack]:
    """Owners who want to be asked first and have not agreed for the day, with their telephone."""
    rows = Care.objects.filter(tree_id__in=trees, role="owner", ask_first=True).select_related("member")
    waiting = [c for c in rows.order_by("id") if c.consent_until is None or c.consent_until < day.date]
    contacts = Contact.objects.filter(member__in=[c.member_id for c in waiting]).exclude(telephone="")
    telephones = dict(contacts.values_list("member_id", "telephone"))
    return [
        Lack(
            "consent",
            f"{care.member.name} has not agreed to work on it this season.",
            ("tree", care.tree_id),
            (care.tree_id, trees[care.tree_id]),
            (care.member.name, telephones[care.member_id]) if care.member_id in telephones else None,
        )
        for care in waiting
    ]


def _sign_off(jobs: Iterable[Job]) -> list[Lack]:
    return [
        Lack("sign_off", "The heavy bend is not signed off yet.", ("bend", job.bend.pk), _tag(job))
        for job in jobs
        if job.bend is not None and job.bend.signed_by_id is None
    ]


def _second(actor: Actor, day: Workday, jobs: Sequence[Job]) -> list[Lack]:
    """Jobs of several people that have not enough: by the newest plan, or before one by who said yes."""
    plan = Plan.objects.filter(workday=day).order_by("-number").first()
    if plan is None:
        return _before_a_plan(actor, day, [job for job in jobs if job.crew > 1])
    unplaced = plan.outcome.get("unplaced", [])
    wanted_ones = [pk for pk, why in unplaced if any(reason["code"] in NO_SECOND for reason in why)]
    rows = Job.objects.filter(pk__in=wanted_ones, crew__gt=1, state=Job.State.OPEN).select_related("tree")
    return _gone(day, plan) + [
        _too_few(day, job, "not enough are free together") for job in rows.order_by("closes", "id")
    ]


def _before_a_plan(actor: Actor, day: Workday, jobs: Sequence[Job]) -> list[Lack]:
    """As the search for helpers sees a bend on this day; for other jobs, whether enough said yes."""
    yes = Offer.objects.filter(workday=day, answer="yes").count()
    found = []
    for job in jobs:
        if yes < job.crew:
            said = counted(yes, "person has", "people have") if yes else "nobody has"
            found.append(_too_few(day, job, f"{said} said yes"))
        elif job.bend_id and (why := _no_team(actor, day, job)):
            found.append(_too_few(day, job, why))
    return found


def _no_team(actor: Actor, day: Workday, job: Job) -> str:
    """Why no team for a bend is free on the day; empty where one is, or where the bend may not be done."""
    assert job.bend_id is not None
    case = wanted(actor, job.bend_id, today=day.date).case
    answer = find_helpers(replace(case, days=tuple(d for d in case.days if d.id == day.pk)))
    if answer.stops or answer.team:
        return ""
    if answer.lead is None:
        return "nobody who comes can lead it"
    return f"nobody is free with {case.hand(answer.lead.person).name} for all of it"


def _too_few(day: Workday, job: Job, why: str) -> Lack:
    return Lack(
        "second",
        f"{task_name(job.task)} needs {job.crew} people, and {why}.",
        ("bend", job.bend_id) if job.bend_id else ("day", day.pk),
        _tag(job),
    )


def _gone(day: Workday, plan: Plan | None) -> list[Lack]:
    """Jobs of several people that the newest plan gives to somebody who does not come any more."""
    yes = Offer.objects.filter(workday=day, answer="yes").values("member_id")
    rows = Assignment.objects.filter(plan=plan, job__crew__gt=1, job__state=Job.State.OPEN)
    rows = rows.exclude(member_id__in=yes).select_related("job__tree", "member").order_by("starts", "id")
    return [
        Lack(
            "second",
            f"{row.member.name} is planned for {task_name(row.job.task).lower()} and does not come.",
            ("bend", row.job.bend_id) if row.job.bend_id else ("day", day.pk),
            _tag(row.job),
        )
        for row in (rows if plan else ())
    ]


def _bring(trees: Iterable[Tree]) -> list[Lack]:
    return [
        Lack(
            "bring",
            "It stands elsewhere, and nobody brings it.",
            ("tree-edit", tree.pk),
            (tree.pk, tree.accession),
        )
        for tree in sorted(trees, key=lambda tree: tree.accession)
    ]


def _invitations(day: Workday) -> list[Lack]:
    """Places that nobody has taken, with whoever was asked and has not answered."""
    asked: dict[int, list[str]] = {}
    places: dict[int, Place] = {}
    rows = Invitation.objects.filter(place__workday=day, place__winner=None, answer="")
    for row in rows.select_related("member", "place__job__tree").order_by("order"):
        asked.setdefault(row.place_id, []).append(row.member.name)
        places[row.place_id] = row.place
    found = []
    for pk, place in places.items():
        job, names = place.job, asked[pk]
        about = f" to help with {task_name(job.task).lower()}" if job else " to help"
        verb = "was" if len(names) == 1 else "were"
        said = f"{listed(names)} {verb} asked{about} and {'has' if len(names) == 1 else 'have'} not answered."
        mend = ("bend", job.bend_id) if job and job.bend_id else ("day", day.pk)
        found.append(Lack("invitation", said, mend, _tag(job) if job else None))
    return found


def _tag(job: Job) -> tuple[int, str] | None:
    return (job.tree.pk, job.tree.accession) if job.tree else None
