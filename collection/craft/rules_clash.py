"""X1 to X14 and the health gate: what must not be combined.

How the table is read, all of it common practice, no source, unless the row names one:

* A gap counts in both directions: work done before, and work planned after.
* "Same growing season" is January to December, in the south July to June.
* X1 gives way to nothing below an expert's sign-off; with it the hold becomes a warning.
* X2 and X3 do not see UP_POT. X3 lets figs pass, and elm and trident with an expert's sign-off.
* X4 lets elm pass when repot and wire are one visit.
* X6 holds on the same branch, or when either side names none; a split made in the same visit as
  the bend is one job.
* X7 holds when the sign "weak growth" was noted on or after the last decandling.
* X9 takes the event SHOW as the journey.
* X10 runs over the row's days, flipped in the south and moved with the spring.
* X11 is a club's setting.
* X12 and X14 hold only when the forecast is known. X14 warns on a bend or wiring planned into the
  frost, and on any other work (but moving to shelter) on a tree bent or wired in the last 30 days.
* X13 and the gate hold until a person takes the mark "weak" off the tree, after one full flush
  that has hardened. Looking (wire, stocktake) is allowed by the gate: it does the tree no harm.
* A tree from the wild is never decandled (recovery table, "no"); the gate says so.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta

from collection.craft.monthday import MonthDay
from collection.craft.rule_types import Case, ClashRule, Done, Hold
from collection.craft.tasks import CARE_OF_WEAK, CUTTING, EVENTS, LOOKING, SHOW, TOP_WORK, WIRING

VIGOROUS = frozenset({"G08", "G09"})
FIG = "G14"
ELM = "G09"
TRIDENT = "G08"
PINES = frozenset({"G01", "G02"})
AZALEA = "G11"


def clash_holds(case: Case) -> list[Hold]:
    """Every hold of X1 to X14 on this job, in the order of the table."""
    found: list[Hold] = []
    for key, check in CHECKS.items():
        rule = case.settings.clash.get(key)
        if rule is not None:
            found += check(case, rule)
    return found


def gate_holds(case: Case) -> list[Hold]:
    """What the health gate stops: a weak tree gets water, light and pest care only.

    Sources: Cheshire Bonsai Society, How To Care For Pine Bonsai (no decandling of a weak tree); UK
    handbook of bonsai basics, pages 53-54 (hardened shoots show recovery).
    """
    if case.facts.weak and case.task not in CARE_OF_WEAK | LOOKING | EVENTS:
        return [case.hold("gate", "hard", None, "tree_is_weak")]
    if case.facts.collected and (case.task, "collected") in case.settings.never:
        return [case.hold("gate", "hard", None, "never_on_collected")]
    return []


def _against(case: Case, a: frozenset[str], b: frozenset[str]) -> list[Done]:
    """Work of the other side of a pair; empty when this job is on neither side."""
    sides: frozenset[str] = frozenset()
    if case.task in a:
        sides |= b
    if case.task in b:
        sides |= a
    return [done for done in case.others if done.task in sides and not _is_itself(case, done)]


def _is_itself(case: Case, done: Done) -> bool:
    job = case.job
    return (done.task, done.on, done.occurrence, done.subject) == (
        job.task,
        job.on,
        job.occurrence,
        job.subject,
    )


def _nearest(case: Case, others: list[Done], gap_days: int) -> Done | None:
    """The latest piece of work nearer than the gap: the one that holds longest."""
    near = [done for done in others if abs((case.on - done.on).days) < gap_days]
    return near[-1] if near else None


def _clash(case: Case, rule: ClashRule, others: list[Done], level: str, gap_days: int) -> list[Hold]:
    near = _nearest(case, others, gap_days)
    if near is None:
        return []
    until = near.on + timedelta(days=gap_days)
    return [case.hold(rule.key, level, until, "too_near", other=near.task, other_on=near.on)]


def _pair(a: set[str], b: set[str]) -> Callable[[Case, ClashRule], list[Hold]]:
    def check(case: Case, rule: ClashRule) -> list[Hold]:
        others = _against(case, frozenset(a), frozenset(b))
        return _clash(case, rule, others, rule.level, rule.gap_days(conifer=case.conifer))

    return check


def _roots_and_bend(case: Case, rule: ClashRule) -> list[Hold]:
    level = "warn" if case.settings.expert_signed else rule.level
    others = _against(case, frozenset({"REPOT"}), frozenset({"HEAVY_BEND"}))
    return _clash(case, rule, others, level, rule.gap_days(conifer=case.conifer))


def _same_season(case: Case, rule: ClashRule, other_task: str) -> list[Hold]:
    year = case.settings.growing_year(case.on)
    others = _against(case, frozenset({"REPOT"}), frozenset({other_task}))
    same = [done for done in others if case.settings.growing_year(done.on) == year]
    if not same:
        return []
    until = case.settings.growing_year_ends(case.on)
    return [case.hold(rule.key, rule.level, until, "same_season", other=same[-1].task, other_on=same[-1].on)]


def _roots_and_candles(case: Case, rule: ClashRule) -> list[Hold]:
    return _same_season(case, rule, "DECANDLE")


def _roots_and_leaves(case: Case, rule: ClashRule) -> list[Hold]:
    group = case.facts.group
    if group == FIG or (group in VIGOROUS and case.settings.expert_signed):
        return []
    return _same_season(case, rule, "DEFOL_FULL")


def _roots_and_wire(case: Case, rule: ClashRule) -> list[Hold]:
    others = _against(case, frozenset({"REPOT"}), frozenset({"WIRE_STRUCT"}))
    if case.facts.group == ELM:
        others = [done for done in others if not same_visit(done, case.job)]
    return _clash(case, rule, others, rule.level, rule.gap_days(conifer=case.conifer))


def same_visit(one: Done, other: Done) -> bool:
    """Whether two pieces of work belong to one visit: the same name, or days one after another."""
    return bool(one.visit and one.visit == other.visit) or abs((one.on - other.on).days) <= 1


def _bend_and_deadwood(case: Case, rule: ClashRule) -> list[Hold]:
    job = case.job
    others = [
        done
        for done in _against(case, frozenset({"HEAVY_BEND"}), frozenset({"DEADWOOD"}))
        if (not done.subject or not job.subject or done.subject == job.subject) and not same_visit(done, job)
    ]
    return _clash(case, rule, others, rule.level, rule.gap_days(conifer=case.conifer))


def _weak_answer(case: Case, rule: ClashRule) -> list[Hold]:
    if case.task != "DECANDLE" or case.job.occurrence > 1:
        return []
    year = case.settings.growing_year(case.on)
    seen = case.facts.signs.get("weak_response")
    past = [
        done
        for done in case.facts.history
        if done.task == "DECANDLE" and case.settings.growing_year(done.on) < year
    ]
    last = max((done.on for done in past), default=None)
    if last is None or seen is None or seen < last:
        return []
    until = last + timedelta(days=rule.gap_days(conifer=case.conifer))
    if case.on >= until:
        return []
    return [case.hold(rule.key, rule.level, until, "answered_weakly", done=last, seen=seen)]


def _leaves_twice(case: Case, rule: ClashRule) -> list[Hold]:
    gap = rule.gap_days(conifer=case.conifer)
    if case.facts.group == TRIDENT and case.settings.long_season and rule.limit is not None:
        gap = int(rule.limit)
    side = frozenset({"DEFOL_FULL"})
    return _clash(case, rule, _against(case, side, side), rule.level, gap)


def _journey(case: Case, rule: ClashRule) -> list[Hold]:
    majors = {done.task for done in case.others if case.settings.stress(done.task) == 3}
    if case.settings.stress(case.task) == 3:
        majors.add(case.task)
    others = _against(case, frozenset(majors), frozenset({SHOW}))
    return _clash(case, rule, others, rule.level, rule.gap_days(conifer=case.conifer))


def _soft_growth(case: Case, rule: ClashRule) -> list[Hold]:
    days = re.findall(r"\d\d-\d\d", rule.gap)
    if case.task != "WIRE_DETAIL" or case.facts.group not in PINES or len(days) != 2:
        return []
    first, last = (MonthDay.parse(text) for text in days)
    if case.settings.southern:
        first, last = first.flipped(), last.flipped()
    shift = case.settings.wake_shift_days
    today = MonthDay.of(case.on)
    left = last.plus(shift).days_after(today)
    if today.days_after(first.plus(shift)) < 0 or left < 0:
        return []
    until = case.on + timedelta(days=left + 1)
    return [case.hold(rule.key, rule.level, until, "spring_growth_soft")]


def _azalea_rests(case: Case, rule: ClashRule) -> list[Hold]:
    if case.facts.group != AZALEA or not case.settings.azalea_rests_after_repot:
        return []
    others = _against(case, frozenset({"REPOT"}), TOP_WORK)
    return _clash(case, rule, others, rule.level, rule.gap_days(conifer=case.conifer))


def _lime_weather(case: Case, rule: ClashRule) -> list[Hold]:
    if case.task != "LIME" or case.weather is None or rule.limit is None:
        return []
    weather = case.weather
    found = []
    if weather.rain_within_h is not None and weather.rain_within_h < rule.limit:
        found.append(case.hold(rule.key, rule.level, None, "rain_too_soon", hours=rule.limit))
    if weather.dusk_within_h is not None and weather.dusk_within_h < rule.limit:
        found.append(case.hold(rule.key, rule.level, None, "dusk_too_soon", hours=rule.limit))
    if weather.roots_covered is False:
        found.append(case.hold(rule.key, rule.level, None, "roots_uncovered"))
    return found


def _weak_not_cut(case: Case, rule: ClashRule) -> list[Hold]:
    if case.facts.weak and case.task in CUTTING:
        return [case.hold(rule.key, rule.level, None, "weak_not_cut")]
    return []


def _frost(case: Case, rule: ClashRule) -> list[Hold]:
    weather = case.weather
    if weather is None or weather.min_temp_c is None or rule.limit is None or case.task == "PROTECT":
        return []
    if weather.min_temp_c >= rule.limit:
        return []
    bent = WIRING | {"HEAVY_BEND"}
    days = rule.gap_days(conifer=case.conifer)
    recent: list[date] = [
        done.on for done in case.others if done.task in bent and 0 <= (case.on - done.on).days <= days
    ]
    if case.task in bent:
        recent.append(case.on)
    if not recent:
        return []
    return [
        case.hold(
            rule.key, rule.level, None, "hard_frost_after_bend", lowest=weather.min_temp_c, done=max(recent)
        )
    ]


CHECKS: dict[str, Callable[[Case, ClashRule], list[Hold]]] = {
    "X1": _roots_and_bend,
    "X2": _roots_and_candles,
    "X3": _roots_and_leaves,
    "X4": _roots_and_wire,
    "X5": _pair({"HEAVY_BEND"}, {"DECANDLE", "DEFOL_FULL"}),
    "X6": _bend_and_deadwood,
    "X7": _weak_answer,
    "X8": _leaves_twice,
    "X9": _journey,
    "X10": _soft_growth,
    "X11": _azalea_rests,
    "X12": _lime_weather,
    "X13": _weak_not_cut,
    "X14": _frost,
}
