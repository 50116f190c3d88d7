"""Workdays: the list, and a day with its answers and its plan as people read it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, time

from collection.models import Attendance, Offer, Plan, Workday
from collection.queries.access import Actor, plan_for, workday_for
from collection.queries.answers import Answer, Comer, Silent, answer_of, comers_of, names_of, silent_on
from collection.queries.day_plan import PLAN_WORDS, DayPlan, plan_view
from collection.queries.day_problem import candidates, day_people, minutes_of
from collection.queries.errors import Refused, not_found
from collection.queries.sun import DaySun, sun_of
from collection.queries.trees import Hands, last_hands

OVER = (Workday.State.HELD, Workday.State.CANCELLED)


@dataclass(frozen=True, slots=True)
class DayRow:
    """A workday in a list; ``mine`` is the answer of whoever asks, "" for none yet."""

    id: int
    date: date
    opens: time
    closes: time
    site: str
    people: int
    least: int
    most: int | None
    state: str
    plan: str
    why: str
    mine: str


def day_list(actor: Actor) -> list[DayRow]:
    """Every workday, oldest first, with how many come and how its plan stands; drafts for coordinators."""
    days = Workday.objects.filter(club_id=actor.club_id).select_related("site").order_by("date", "id")
    if not actor.plans:
        days = days.exclude(state=Workday.State.DRAFT)
    people: dict[int, int] = defaultdict(int)
    mine: dict[int, str] = {}
    answers = Offer.objects.filter(club_id=actor.club_id).values_list("workday_id", "member_id", "answer")
    for day, member, answer in answers:
        people[day] += answer == "yes"
        if member == actor.member_id:
            mine[day] = answer
    plans: dict[int, Plan] = {}
    seen = Plan.objects.filter(club_id=actor.club_id)
    for plan in (seen if actor.plans else seen.filter(sent_out=True)).order_by("number"):
        plans[plan.workday_id] = plan
    for workday, plan in plans.items():
        people[workday] -= len(plan.wishes.get("away", []))
    return [
        DayRow(
            id=day.pk,
            date=day.date,
            opens=day.opens,
            closes=day.closes,
            site=day.site.name,
            people=people[day.pk],
            least=day.least_people,
            most=day.most_people,
            state=day.state,
            plan=_plan_word(plans.get(day.pk)),
            why=day.cancelled_why,
            mine=mine.get(day.pk, ""),
        )
        for day in days
    ]


def _plan_word(plan: Plan | None) -> str:
    if plan is None:
        return "none yet"
    return "sent out" if plan.sent_out else PLAN_WORDS[plan.state]


def next_workday(actor: Actor, today: date) -> int | None:
    """The next workday that is neither held nor cancelled, drafts for coordinators only."""
    days = Workday.objects.filter(club_id=actor.club_id, date__gte=today).exclude(state__in=OVER)
    if not actor.plans:
        days = days.exclude(state=Workday.State.DRAFT)
    return days.order_by("date", "id").values_list("pk", flat=True).first()


def workday_on(actor: Actor, on: date) -> int:
    """The workday on a date; one that was cancelled only where there is no other.

    Raises:
        Refused: ``no_workday``.
    """
    days = Workday.objects.filter(club_id=actor.club_id, date=on).order_by("id")
    found = dict(days.values_list("pk", "state"))
    if not found:
        raise Refused("no_workday", kind="not_found", on=on)
    return min(found, key=lambda pk: (found[pk] == Workday.State.CANCELLED, pk))


@dataclass(frozen=True, slots=True)
class SentPlan:
    """The plan members see, when a newer one is being made."""

    id: int
    number: int


@dataclass(frozen=True, slots=True)
class Day:
    """A workday with everything on its page.

    ``plan`` is the newest plan for coordinators and the one sent out for everybody else; ``sent`` is the
    one sent out, where that is another one. ``silent`` are those who have not answered, for coordinators.
    ``came`` is how many came to a day that was held, 0 where nobody said.
    """

    id: int
    version: int
    date: date
    opens_min: int
    closes_min: int
    briefing_min: int
    closing_min: int
    breaks: tuple[tuple[int, int], ...]
    site_id: int
    site: str
    address: str
    state: str
    why: str
    bring: str
    lead_id: int | None
    lead: str
    first_aider_id: int | None
    first_aider: str
    least: int
    most: int | None
    zone: str
    comers: tuple[Comer, ...]
    perhaps: tuple[str, ...]
    declined: tuple[str, ...]
    silent: tuple[Silent, ...]
    mine: Answer | None
    plan: DayPlan | None
    sent: SentPlan | None
    last: tuple[tuple[str, int, Hands | None], ...]
    sun: DaySun
    came: int = 0

    @property
    def over(self) -> bool:
        """Nothing about the day can be changed any more."""
        return self.state in OVER


def day_of(actor: Actor, workday_id: int, *, plan_id: int | None = None) -> Day:
    """A workday with the plan that whoever asks may see, or with the one asked for.

    Raises:
        Refused: ``not_found``, for a member also when the plan was not sent out.
    """
    day = workday_for(actor, workday_id)
    plans = list(Plan.objects.filter(workday=day).order_by("-number"))
    sent = next((plan for plan in plans if plan.sent_out), None)
    plan = _plan_shown(actor, plans, sent, plan_id)
    away = frozenset(plan.wishes.get("away", [])) if plan else frozenset()
    shown = plan_view(plan, day) if plan else None
    trees = {seat.tree_id: seat.accession for seat in shown.seats} if shown else {}
    hands = last_hands(trees)
    held = day.state == Workday.State.HELD
    return Day(
        id=day.pk,
        came=Attendance.objects.filter(workday=day, came=True).count() if held else 0,
        version=day.version,
        date=day.date,
        opens_min=minutes_of(day.opens),
        closes_min=minutes_of(day.closes),
        briefing_min=day.briefing_min,
        closing_min=day.closing_min,
        breaks=tuple(
            (minutes_of(time.fromisoformat(a)), minutes_of(time.fromisoformat(b))) for a, b in day.breaks
        ),
        site_id=day.site_id,
        site=day.site.name,
        address=day.site.address,
        state=day.state,
        why=day.cancelled_why,
        bring=day.bring,
        lead_id=day.lead_id,
        lead=day.lead.name if day.lead else "",
        first_aider_id=day.first_aider_id,
        first_aider=day.first_aider.name if day.first_aider else "",
        least=day.least_people,
        most=day.most_people,
        zone=day.zone,
        comers=comers_of(day, away),
        perhaps=names_of(day, "perhaps"),
        declined=names_of(day, "no"),
        silent=silent_on(day) if actor.plans else (),
        mine=answer_of(actor, day),
        plan=shown,
        sent=SentPlan(sent.pk, sent.number) if sent and sent is not plan else None,
        sun=sun_of(day.club, day.date, minutes_of(day.opens), minutes_of(day.closes)),
        last=tuple((trees[tree], tree, hands.get(tree)) for tree in sorted(trees, key=lambda t: trees[t])),
    )


def _plan_shown(actor: Actor, plans: list[Plan], sent: Plan | None, wanted: int | None) -> Plan | None:
    seen = plans if actor.plans else [sent] if sent else []
    if wanted is None:
        return seen[0] if seen else None
    found = next((plan for plan in seen if plan.pk == wanted), None)
    if found is None:
        raise not_found()
    return found


def plan_state(actor: Actor, plan_id: int) -> dict[str, object]:
    """How a plan stands, for the page that waits for it.

    Raises:
        Refused: ``not_found``.
    """
    plan = plan_for(actor, plan_id)
    return {"state": plan.state, "number": plan.number, "words": PLAN_WORDS[plan.state]}


def jobs_for_later(actor: Actor, workday_id: int) -> int:
    """How many more jobs are in season on the day and can wait for another one."""
    day = workday_for(actor, workday_id)
    return candidates(day, day_people(day)).left_for_later
