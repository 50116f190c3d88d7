"""Workdays that people are to be told of: the one in two days, and those without an answer yet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from typing import Any

from collection.models import Assignment, Job, Offer, Place, Workday
from collection.queries.clock import local
from collection.queries.labels import task_name
from collection.queries.mail_times import answers_until, ends_at, midnight, starts_at
from collection.queries.notice_facts import Asking, Fact
from collection.queries.notice_kinds import NoticeKind, workday_subject

# Days before a booked workday on which it is told again, and before an open one on which one is asked
# (assumptions).
AHEAD_DAYS = 2
ASK_DAYS = 28


def ahead(asked: Asking) -> Iterator[Fact]:
    """The day is near: everybody who said yes, has a place, or a job on the plan that was sent out."""
    last = asked.today + timedelta(days=AHEAD_DAYS)
    days = [
        day
        for day in _days(asked, [Workday.State.OPEN, Workday.State.SENT], last)
        if starts_at(day) > asked.now
    ]
    answers = _answers(days)
    seats, won = _seats(days), _won(days)
    for day in days:
        offers = answers[day.pk]
        booked = {member for member, offer in offers.items() if offer.answer == "yes"}
        booked |= {m for m in {*seats[day.pk], *won[day.pk]} if m not in offers}
        for member in sorted(booked & asked.people.keys()):
            offer, jobs = offers.get(member), seats[day.pk].get(member, [])
            yield Fact(
                NoticeKind.DAY_AHEAD,
                member,
                workday_subject(day.pk),
                day.date.isoformat(),
                midnight(day.date - timedelta(days=AHEAD_DAYS), day.zone),
                starts_at(day),
                day_values(day, asked.now)
                | {
                    "arrives": f"{(offer and offer.arrives) or day.opens:%H:%M}",
                    "leaves": f"{(offer and offer.leaves) or day.closes:%H:%M}",
                    "jobs": jobs,
                    "planned": day.state == Workday.State.SENT,
                },
            )


def unanswered(asked: Asking) -> Iterator[Fact]:
    """Days open for offers, to everybody who has given no answer."""
    last = asked.today + timedelta(days=ASK_DAYS)
    days = [day for day in _days(asked, [Workday.State.OPEN], last) if answers_until(day) > asked.now]
    answers = _answers(days)
    for day in days:
        offers = answers[day.pk]
        coming = sum(1 for offer in offers.values() if offer.answer == "yes")
        for member in asked.people.values():
            gone = member.active_to is not None and member.active_to < day.date
            if member.pk in offers or gone:
                continue
            yield Fact(
                NoticeKind.DAY_OPEN,
                member.pk,
                workday_subject(day.pk),
                day.date.isoformat(),
                midnight(day.date - timedelta(days=ASK_DAYS), day.zone),
                answers_until(day),
                day_values(day, asked.now) | {"coming": coming, "least_people": day.least_people},
            )


def day_values(day: Workday, now: datetime) -> dict[str, Any]:
    """What every sentence about a workday needs; ``until`` is empty when an answer comes too late."""
    until = answers_until(day)
    return {
        "workday": day.pk,
        "version": day.version,
        "date": day.date.isoformat(),
        "opens": f"{day.opens:%H:%M}",
        "closes": f"{day.closes:%H:%M}",
        "site": day.site.name,
        "bring": " ".join(day.bring.split()),
        "until": until.isoformat() if until > now else "",
        "ends_at": ends_at(day).isoformat(),
        "zone": day.zone,
    }


def _days(asked: Asking, states: list[str], last: date) -> list[Workday]:
    rows = Workday.objects.filter(club=asked.club, state__in=states, date__gte=asked.today, date__lte=last)
    return list(rows.select_related("site").order_by("date", "id"))


def _answers(days: Iterable[Workday]) -> dict[int, dict[int, Offer]]:
    """The answers to each day by member."""
    found: dict[int, dict[int, Offer]] = defaultdict(dict)
    for offer in Offer.objects.filter(workday__in=list(days)).order_by("id"):
        found[offer.workday_id][offer.member_id] = offer
    return found


def _won(days: Iterable[Workday]) -> dict[int, set[int]]:
    """Who has a place on each day."""
    found: dict[int, set[int]] = defaultdict(set)
    rows = Place.objects.filter(workday__in=list(days), winner__isnull=False)
    for day, member in rows.values_list("workday_id", "winner_id"):
        found[day].add(member or 0)
    return found


def _seats(days: Iterable[Workday]) -> dict[int, dict[int, list[dict[str, Any]]]]:
    """Who does what on the plans that were sent out: day, member, jobs in order of the clock."""
    rows = Assignment.objects.filter(plan__workday__in=list(days), plan__sent_out=True, confirmed=True)
    # What will not be done any more, as on a tree that left, is not named.
    rows = rows.exclude(job__state__in=[Job.State.WITHDRAWN, Job.State.NOT_THIS_YEAR])
    rows = rows.select_related("member", "job__tree", "plan__workday").order_by("starts", "id")
    teams: dict[tuple[int, int, int], list[Assignment]] = {}
    for row in rows:
        teams.setdefault((row.plan_id, row.job_id, row.sitting), []).append(row)
    found: dict[int, dict[int, list[dict[str, Any]]]] = defaultdict(dict)
    for team in teams.values():
        team.sort(key=lambda seat: (seat.role != Assignment.Role.LEAD, seat.pk))
        for seat in team:
            day = seat.plan.workday
            found[day.pk].setdefault(seat.member_id, []).append(_job(seat, team, day.zone))
    return found


def _job(seat: Assignment, team: list[Assignment], zone: str) -> dict[str, Any]:
    """One job of a person: which, when, with whom; the person's own name is left empty."""
    job, held = seat.job, [(a, b) for kind, a, b in seat.steps if kind == "held"]
    return {
        "task": task_name(job.task),
        "code": job.task,
        "tree": job.tree.accession if job.tree else "",
        "from": f"{local(seat.starts, zone):%H:%M}",
        "to": f"{local(seat.ends, zone):%H:%M}",
        "people": [["" if p.pk == seat.pk else p.member.name, p.role] for p in team] if len(team) > 1 else [],
        "held_min": sum(b - a for a, b in held),
    }
