"""Everything on one person's page: what he can do, when he comes, which trees he worked."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from collection.models import (
    Care,
    Habit,
    Member,
    MemberSkill,
    Offer,
    Plan,
    Sitting,
    SittingMember,
    Welcome,
    Workday,
)
from collection.queries.access import Actor, club_of, member_for, must_plan
from collection.queries.clock import local
from collection.queries.labels import WEEKDAYS, length, task_name
from collection.queries.opened import Line, Opened, hours, minutes
from collection.queries.people_list import answer_words, level_word, stays_words
from collection.queries.reach import Reach, Said, reach_of, said_by, seen_by
from collection.queries.real_work import real_work
from collection.queries.sentences import FAMILY_NAMES
from collection.queries.trees import title_of

LAST = 12
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Skill:
    """How well a person does a kind of work, since when and who said so."""

    family: str
    name: str
    level: str
    level_name: str
    since: date | None
    by: str


@dataclass(frozen=True, slots=True)
class Weekly:
    """Hours given most weeks."""

    id: int
    version: int
    words: str
    weekday: int
    minutes: int
    every_weeks: int
    starts: date
    ends: date | None


@dataclass(frozen=True, slots=True)
class Coming:
    """What a person answered for a coming day; ``planned`` when he comes and the plan is out."""

    day_id: int
    on: date
    site: str
    answer: str
    hours: str
    planned: bool


@dataclass(frozen=True, slots=True)
class Kept:
    """A tree a person owns or cares for."""

    tree_id: int
    accession: str
    title: str
    role: str
    ask_first: bool
    consent_until: date | None


@dataclass(frozen=True, slots=True)
class Worked:
    """A sitting of a person: which tree, what, his own minutes, and the note while the tree is open."""

    tree_id: int
    accession: str
    title: str
    on: date
    what: str
    minutes: str
    note: str


@dataclass(frozen=True, slots=True)
class Letter:
    """The letter of welcome somebody has not used yet; ``email`` only for whom may see it."""

    email: str
    last_day: date
    good: bool


@dataclass(frozen=True, slots=True)
class Person:
    """Everything on a person's page; what the asker may not know is None."""

    id: int
    version: int
    name: str
    role: str
    active_from: date
    active_to: date | None
    has_left: bool
    stays: str
    wants_mail: bool
    signs_in: bool
    is_me: bool
    skills: tuple[Skill, ...]
    says: tuple[Said, ...] | None
    reach: Reach | None
    letter: Letter | None
    weekly: tuple[Weekly, ...]
    coming: tuple[Coming, ...]
    kept: tuple[Kept, ...]
    worked: tuple[Worked, ...]
    this_year: Opened | None


def person(actor: Actor, member_id: int, *, today: date) -> Person:
    """One person as the asker may see him; constant number of queries.

    Raises:
        Refused: ``not_found``.
    """
    member = member_for(actor, member_id)
    zone = club_of(actor).zone
    seen = bool(seen_by(actor, [member.pk], today))
    return Person(
        id=member.pk,
        version=member.version,
        name=member.name,
        role=member.role,
        active_from=member.active_from,
        active_to=member.active_to,
        has_left=member.active_to is not None and member.active_to < today,
        stays=stays_words(member, today),
        wants_mail=member.wants_mail,
        signs_in=member.account_id is not None,
        is_me=member.pk == actor.member_id,
        skills=_skills(member, today),
        says=tuple(said_by([member.pk], today)[member.pk]) if seen else None,
        reach=reach_of(member.pk) if seen else None,
        letter=_letter(member, zone) if actor.plans else None,
        weekly=_weekly(member, today),
        coming=_coming(member, today),
        kept=_kept(member),
        worked=_worked(member, zone),
        this_year=hours_number(member, today.year, zone),
    )


def person_to_change(actor: Actor, member_id: int) -> Member:
    """The member, for a page on which a coordinator changes him.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_plan(actor)
    return member_for(actor, member_id)


def person_hours(actor: Actor, member_id: int, year: int) -> tuple[str, Opened | None]:
    """A member's name and the hours he worked in a year.

    Raises:
        Refused: ``not_found``.
    """
    member = member_for(actor, member_id)
    return member.name, hours_number(member, year, club_of(actor).zone)


def hours_number(member: Member, year: int, zone: str) -> Opened | None:
    """Hours on record in a year, opened month by month; None where there are none."""
    first = datetime(year, 1, 1, tzinfo=ZoneInfo(zone))
    rows = _own(member).filter(sitting__started__gte=first, sitting__started__lt=first.replace(year=year + 1))
    months: dict[int, list[float]] = {}
    for started, spent in rows.order_by("sitting__started").values_list("sitting__started", "minutes"):
        months.setdefault(local(started, zone).month, []).append(spent)
    if not months:
        return None
    lines = tuple(
        Line(
            _("%(month)s, %(count)d sittings") % {"month": MONTHS[month - 1], "count": len(spent)}
            if len(spent) > 1
            else _("%(month)s, one sitting") % {"month": MONTHS[month - 1]},
            minutes(sum(spent)),
            sum(spent),
            _("measured"),
        )
        for month, spent in months.items()
    )
    total = sum(line.value for line in lines)
    text = hours(total / 60)
    return Opened(
        text,
        total,
        "sum",
        lines,
        f"{minutes(total)} = {text}",
        address=("person-hours", f"{member.pk}~{year}"),
    )


def _own(member: Member) -> QuerySet[SittingMember]:
    return SittingMember.objects.filter(member=member, sitting__corrected_by=None, sitting__remembered=False)


def _skills(member: Member, today: date) -> tuple[Skill, ...]:
    newest: dict[str, MemberSkill] = {}
    rows = MemberSkill.objects.filter(member=member, since__lte=today).select_related("by")
    for row in rows.order_by("since", "id"):
        newest[row.family] = row
    found = []
    for family, name in FAMILY_NAMES.items():
        known = newest.get(family)
        level = known.level if known else "novice"
        by = known.by.name if known and known.by else ""
        found.append(Skill(family, name(), level, level_word(level), known.since if known else None, by))
    return tuple(found)


def weekly_words(habit: Habit) -> str:
    """Weekly hours in words: "Wednesday, 2 h 30, every 2 weeks"."""
    every = _(", every %(weeks)d weeks") % {"weeks": habit.every_weeks} if habit.every_weeks > 1 else ""
    return f"{WEEKDAYS[habit.weekday]}, {length(habit.minutes)}{every}"


def _weekly(member: Member, today: date) -> tuple[Weekly, ...]:
    rows = Habit.objects.filter(member=member).filter(Q(ends=None) | Q(ends__gte=today))
    return tuple(
        Weekly(
            row.pk,
            row.version,
            weekly_words(row),
            row.weekday,
            row.minutes,
            row.every_weeks,
            row.starts,
            row.ends,
        )
        for row in rows.order_by("weekday", "starts", "id")
    )


def _coming(member: Member, today: date) -> tuple[Coming, ...]:
    rows = Offer.objects.filter(member=member, workday__date__gte=today)
    rows = rows.exclude(workday__state__in=[Workday.State.CANCELLED, Workday.State.HELD])
    rows = rows.annotate(out=Exists(Plan.objects.filter(workday=OuterRef("workday"), sent_out=True)))
    found = []
    for row in rows.select_related("workday__site").order_by("workday__date", "id"):
        day = row.workday
        comes, goes = row.arrives or day.opens, row.leaves or day.closes
        spell = f"{comes.hour}:{comes:%M} to {goes.hour}:{goes:%M}" if row.answer != "no" else ""
        found.append(
            Coming(
                day.pk,
                day.date,
                day.site.name,
                answer_words(row.answer),
                spell,
                row.out and row.answer == "yes",
            )
        )
    return tuple(found)


def _kept(member: Member) -> tuple[Kept, ...]:
    rows = Care.objects.filter(member=member, tree__archived_at=None).select_related("tree")
    return tuple(
        Kept(row.tree_id, row.tree.accession, title_of(row.tree), row.role, row.ask_first, row.consent_until)
        for row in rows.order_by("tree__accession", "role")
    )


def _worked(member: Member, zone: str) -> tuple[Worked, ...]:
    own = _own(member).select_related("sitting__tree").prefetch_related("sitting__tasks")
    rows = list(own.order_by("-sitting__ended", "-sitting_id")[:LAST])
    trees = {row.sitting.tree_id for row in rows}
    newest: dict[int, int] = {}
    later = real_work(Sitting.objects.filter(tree_id__in=trees, corrected_by=None, remembered=False))
    for pk, tree in later.order_by("ended", "id").values_list("pk", "tree_id"):
        newest[tree] = pk
    return tuple(_line(row, zone, newest) for row in rows)


def _line(row: SittingMember, zone: str, newest: dict[int, int]) -> Worked:
    sitting, tree = row.sitting, row.sitting.tree
    tasks = [task_name(task.task) for task in sitting.tasks.all()]
    still_open = sitting.left_open and newest.get(tree.pk) == sitting.pk
    return Worked(
        tree.pk,
        tree.accession,
        title_of(tree),
        local(sitting.started, zone).date(),
        ", ".join([tasks[0], *[task.lower() for task in tasks[1:]]]) if tasks else _("Work"),
        length(row.minutes),
        sitting.note if still_open else "",
    )


def _letter(member: Member, zone: str) -> Letter | None:
    row = Welcome.objects.filter(member=member, used_at=None, taken_back_at=None).first()
    if row is None or member.account_id is not None:
        return None
    return Letter(row.email, local(row.good_until, zone).date(), row.good_until > timezone.now())
