"""The days on which a heavy bend could be done: who is there from when to when, what stands in the way."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, time, timedelta

from collection.craft.reasons import Reason
from collection.craft.rule_types import RuleSettings, TreeFacts
from collection.models import Assignment, Bend, Care, Habit, Job, Member, Offer, Place, Plan, Workday
from collection.planning.helper_facts import Day
from collection.planning.workday.problem import GRID_MIN, Break
from collection.queries.away import away_on_days
from collection.queries.clock import local
from collection.queries.day_problem import held_reasons, is_here, minutes_of
from collection.queries.facts import facts_of
from collection.queries.programme import rules_of
from collection.queries.season import habit_days

# Where no workday lies in the window, so far ahead people's usual days are looked at (assumption).
USUAL_DAYS = 60
COMING = (Workday.State.OPEN, Workday.State.SENT)


def days_ahead(bend: Bend, job: Job, today: date) -> list[Workday]:
    """Workdays inside the bend's window from today on, soonest first."""
    rows = Workday.objects.filter(club_id=bend.club_id, state__in=COMING)
    rows = rows.filter(date__gte=max(today, job.opens), date__lte=job.closes)
    return list(rows.select_related("site").order_by("date", "id"))


def bend_days(
    bend: Bend, job: Job, days: Sequence[Workday], members: Sequence[Member], today: date
) -> tuple[Day, ...]:
    """The days ahead with their hours; without a workday, those on which people usually give hours."""
    facts, rules = facts_of([bend.tree])[bend.tree_id], rules_of(bend.tree.club)
    if not days:
        return _usual_days(bend, job, members, facts, rules, today)
    hours, held = _hours_on(days, members), _held_on(days, job)
    consents = list(Care.objects.filter(tree_id=bend.tree_id, role="owner", ask_first=True))
    away = away_on_days([bend.tree_id], [day.date for day in days])
    found = []
    for day in days:
        holds = [*_holds(job, day.date, facts, rules)]
        holds += [
            Reason.of("consent_runs_out", until=c.consent_until) for c in consents if _ends(c, day.date)
        ]
        if bend.tree_id in away[day.date]:
            holds.append(away[day.date][bend.tree_id].reason)
        elif not is_here(job.tree, day):
            holds.append(Reason.of("tree_not_here"))
        breaks = tuple(Break(_down(_clock(a)), _down(_clock(b))) for a, b in day.breaks)
        found.append(Day(day.pk, day.date, hours[day.pk], breaks, held[day.pk], tuple(holds)))
    return tuple(found)


def _ends(care: Care, on: date) -> bool:
    """A yes that is good now and no longer on that day."""
    return care.consent_until is not None and care.consent_until < on


def _holds(job: Job, on: date, facts: TreeFacts, rules: RuleSettings) -> list[Reason]:
    """Why the tree is not bent that day; the sign-off is told apart."""
    return [r for r in held_reasons(job, on, facts, rules) if r.code != "needs_sign_off"]


def _hours_on(days: Sequence[Workday], members: Sequence[Member]) -> dict[int, dict[int, tuple[int, int]]]:
    """Day -> person -> from and to, briefing and closing taken out; those marked away are not there."""
    away: dict[int, set[int]] = defaultdict(set)
    for day, wishes in (
        Plan.objects.filter(workday__in=days).order_by("number").values_list("workday_id", "wishes")
    ):
        away[day] = set(wishes.get("away", []))
    known = {member.pk: member for member in members}
    by_day = {day.pk: day for day in days}
    found: dict[int, dict[int, tuple[int, int]]] = {day.pk: {} for day in days}
    for offer in Offer.objects.filter(workday__in=days, answer="yes").order_by("id"):
        on, member = by_day[offer.workday_id], known.get(offer.member_id)
        if member is None or offer.member_id in away[on.pk] or not _was_member(member, on.date):
            continue
        first = max(minutes_of(on.opens) + on.briefing_min, minutes_of(offer.arrives or on.opens))
        last = min(minutes_of(on.closes) - on.closing_min, minutes_of(offer.leaves or on.closes))
        found[on.pk][offer.member_id] = (-_down(-first), max(-_down(-first), _down(last)))
    return found


def _was_member(member: Member, on: date) -> bool:
    """Still a member on the day; one who left before today is told as having left."""
    return member.active_to is None or member.active_to >= on


def _held_on(days: Sequence[Workday], job: Job) -> dict[int, dict[int, tuple[tuple[int, int], ...]]]:
    """Day -> person -> held steps of plans sent out and of places accepted, for other jobs."""
    spans: dict[int, dict[int, set[tuple[int, int]]]] = {day.pk: defaultdict(set) for day in days}
    zones = {day.pk: day.zone for day in days}
    rows = Assignment.objects.filter(plan__workday__in=days, confirmed=True, held_from__isnull=False)
    for day, member, start, end in rows.exclude(job_id=job.pk).values_list(
        "plan__workday_id", "member_id", "held_from", "held_to"
    ):
        assert start is not None
        assert end is not None
        span = minutes_of(local(start, zones[day]).time()), minutes_of(local(end, zones[day]).time())
        spans[day][member].add(span)
    places = Place.objects.filter(workday__in=days, winner__isnull=False, starts__isnull=False)
    for place in places.exclude(job_id=job.pk):
        assert place.starts is not None
        assert place.ends is not None
        assert place.winner_id is not None
        spans[place.workday_id][place.winner_id].add((minutes_of(place.starts), minutes_of(place.ends)))
    return {day: {m: tuple(sorted(s)) for m, s in people.items()} for day, people in spans.items()}


def _usual_days(
    bend: Bend,
    job: Job,
    members: Sequence[Member],
    facts: TreeFacts,
    rules: RuleSettings,
    today: date,
) -> tuple[Day, ...]:
    """Days on which two or more people usually give hours; used where no workday lies in the window."""
    known = {member.pk: member for member in members}
    first = max(today, job.opens)
    until = min(job.closes, first + timedelta(days=USUAL_DAYS))
    hours: dict[date, dict[int, tuple[int, int]]] = defaultdict(dict)
    for habit in Habit.objects.filter(club_id=bend.club_id, member_id__in=known).order_by("id"):
        for on in habit_days(habit, first, until):
            if _was_member(known[habit.member_id], on):
                hours[on][habit.member_id] = (0, _down(habit.minutes))
    return tuple(
        Day(None, on, people, holds=tuple(_holds(job, on, facts, rules)), dated=False)
        for on, people in sorted(hours.items())
        if len(people) > 1
    )


def _clock(text: str) -> int:
    return minutes_of(time.fromisoformat(text))


def _down(minutes: int) -> int:
    return minutes // GRID_MIN * GRID_MIN
