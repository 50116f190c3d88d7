"""The stress budget and the rest after hard work. Every figure is an assumption.

Jobs of stress 2 and 3 count, in a rolling spell of 330 days. The passes of one decandling are one
event. Structural pruning, wiring, a heavy bend and deadwood of one visit (or of days one after
another) are one styling: one event with the highest stress among them, with no rest between its
parts. Repotting, decandling and defoliation never belong to a styling.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from collection.craft.rule_types import (
    Budget,
    Case,
    Done,
    Hold,
    Rest,
    RuleSettings,
    StressEvent,
    StressTally,
    TreeFacts,
)
from collection.craft.rules_clash import ELM, FIG, same_visit
from collection.craft.tasks import DEFOLIATION, STYLING

HARD_WORK = 2  # stress from which a job counts


def one_event(one: Done, other: Done, settings: RuleSettings) -> bool:
    """Whether two pieces of work count as one: parts of a styling, or passes of one decandling."""
    if one.task in STYLING and other.task in STYLING:
        return same_visit(one, other)
    if one.task == other.task == "DECANDLE":
        return settings.growing_year(one.on) == settings.growing_year(other.on)
    return False


def _bundles(work: Iterable[Done], settings: RuleSettings) -> list[list[Done]]:
    """Work that counts as one, day by day, so that a styling may run over several days in a row."""
    bundles: list[list[Done]] = []
    heavy = [done for done in work if done.task in STYLING or settings.stress(done.task) >= HARD_WORK]
    for done in sorted(heavy, key=lambda done: (done.on, done.task, done.occurrence, done.subject)):
        mine = next(
            (known for known in bundles if any(one_event(part, done, settings) for part in known)), None
        )
        if mine is None:
            bundles.append([done])
        else:
            mine.append(done)
    return bundles


def stress_events(work: Iterable[Done], settings: RuleSettings) -> tuple[StressEvent, ...]:
    """The events of stress 2 and 3 in some work, earliest first.

    A styling of stress-1 parts only (detail wiring by itself) is no event.
    """
    bundles = _bundles(work, settings)
    events = (
        StressEvent(
            tasks=tuple(sorted({done.task for done in bundle})),
            first=bundle[0].on,
            last=bundle[-1].on,
            stress=max(settings.stress(done.task) for done in bundle),
        )
        for bundle in bundles
    )
    return tuple(event for event in events if event.stress >= HARD_WORK)


def budget_of(facts: TreeFacts, settings: RuleSettings) -> Budget:
    """The stress budget of a tree; a weak tree has its own, of nothing."""
    kind = "weak" if facts.weak else settings.group(facts.group).budget_kind
    return settings.budgets[kind]


def stress_tally(
    facts: TreeFacts, on: date, settings: RuleSettings, *, extra: tuple[Done, ...] = ()
) -> StressTally:
    """Stress points of the spell of days that ends on a day.

    Args:
        facts: The tree.
        on: Last day of the spell, inclusive.
        settings: The club's rules.
        extra: Work to count beside the history, such as a plan.

    Returns:
        Points and stress-3 events of the 330 days up to and with ``on``, against the limits.
    """
    budget = budget_of(facts, settings)
    since = on - timedelta(days=budget.window_days)
    work = [done for done in (*facts.history, *extra) if _reaches(done, on, budget)]
    events = tuple(event for event in stress_events(work, settings) if since < event.last)
    return StressTally(
        points=sum(event.stress for event in events),
        limit=budget.points,
        majors=sum(event.stress == 3 for event in events),
        majors_limit=budget.majors,
        events=events,
    )


def _reaches(done: Done, on: date, budget: Budget) -> bool:
    """Whether work may belong to an event of the spell: a visit is taken to last under another spell."""
    return on - timedelta(days=2 * budget.window_days) < done.on <= on


def budget_holds(case: Case) -> list[Hold]:
    """A hold when this job takes the tree over its stress budget, now or at a later planned job."""
    if case.settings.stress(case.task) < HARD_WORK:
        return []
    if not _is_over(case, case.on):
        return []
    tally = stress_tally(case.facts, case.on, case.settings, extra=(*case.planned, case.job))
    until = _free_from(case)
    return [
        case.hold(
            "budget",
            "hard",
            until,
            "stress_budget",
            points=tally.points,
            limit=tally.limit,
            majors=tally.majors,
            majors_limit=tally.majors_limit,
        )
    ]


def _moved(job: Done, on: date) -> Done:
    return Done(job.task, on, job.subject, job.occurrence, job.visit)


def _is_over(case: Case, on: date) -> bool:
    """Whether the job on that day breaks a limit, on the day or on a planned day within the spell."""
    spell = timedelta(days=budget_of(case.facts, case.settings).window_days)
    extra = (*case.planned, _moved(case.job, on))
    days = {on, *(done.on for done in case.planned if on < done.on < on + spell)}
    return any(
        stress_tally(case.facts, day, case.settings, extra=extra).is_over and not _was_over(case, day, on)
        for day in days
    )


def _was_over(case: Case, day: date, on: date) -> bool:
    """Whether a later planned day is over already without this job; that is not this job's fault."""
    return day > on and stress_tally(case.facts, day, case.settings, extra=case.planned).is_over


def _free_from(case: Case) -> date | None:
    days = budget_of(case.facts, case.settings).window_days
    recent = [done for done in case.others if done.on > case.on - timedelta(days=days)]
    ends = {event.last + timedelta(days=days) for event in stress_events(recent, case.settings)}
    return next((day for day in sorted(ends) if day > case.on and not _is_over(case, day)), None)


def rest_days_after(done: Done, facts: TreeFacts, settings: RuleSettings) -> int:
    """Days of rest after a job, 0 where the table has none for it."""
    job = "DEFOL" if done.task in DEFOLIATION else done.task
    own = settings.group(facts.group).rest_column
    if facts.collected and (job, "collected") in settings.rest:
        return settings.rest[(job, "collected")]
    return settings.rest.get((job, own), 0)


def rest_until(facts: TreeFacts, on: date, settings: RuleSettings) -> Rest | None:
    """Until when the tree rests: no stress-2 or stress-3 work before that day.

    Args:
        facts: The tree.
        on: The day asked about; work after it is left out.
        settings: The club's rules.

    Returns:
        The longest rest that is still running on ``on``, or None.
    """
    return _longest([done for done in facts.history if done.on <= on], facts, on, settings)


def _longest(work: Iterable[Done], facts: TreeFacts, on: date, settings: RuleSettings) -> Rest | None:
    found = None
    for done in work:
        days = rest_days_after(done, facts, settings)
        until = done.on + timedelta(days=days)
        if until > on and (found is None or until > found.until):
            found = Rest(until, done.task, done.on, days)
    return found


def rest_holds(case: Case) -> list[Hold]:
    """A hold while the tree rests from earlier work, or when its rest would run into a planned job."""
    if case.settings.stress(case.task) < HARD_WORK:
        return []
    bundles = _bundles((*case.others, case.job), case.settings)
    mine = next(bundle for bundle in bundles if case.job in bundle)  # stress 2 or 3, so it is in one
    work = [done for done in case.others if done not in mine and not _goes_with(case, done)]
    before = [done for done in work if done.on <= case.on]
    rest = _longest(before, case.facts, case.on, case.settings)
    if rest is not None:
        return [
            case.hold(
                "rest", "hard", rest.until, "tree_rests", after=rest.task, since=rest.since, days=rest.days
            )
        ]
    return _rest_before_planned(case, [done for done in work if done.on > case.on])


def _rest_before_planned(case: Case, later: list[Done]) -> list[Hold]:
    days = rest_days_after(case.job, case.facts, case.settings)
    for done in later:
        if case.settings.stress(done.task) >= HARD_WORK and (done.on - case.on).days < days:
            own = rest_days_after(done, case.facts, case.settings)
            until = done.on + timedelta(days=own)
            return [
                case.hold(
                    "rest", "hard", until, "rest_meets_plan", other=done.task, other_on=done.on, days=days
                )
            ]
    return []


def _goes_with(case: Case, done: Done) -> bool:
    """Work that needs no rest beside this job: the two pairs the rules allow.

    A fig may be repotted and defoliated in one season; an elm stands repot and wire in one visit.
    """
    pair = {done.task, case.task}
    if case.facts.group == FIG and "REPOT" in pair and pair & DEFOLIATION:
        return True
    return case.facts.group == ELM and pair == {"REPOT", "WIRE_STRUCT"} and same_visit(done, case.job)
