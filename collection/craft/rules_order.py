"""P1 to P17: what comes before what.

How the table is read, all of it common practice, no source, unless the row names one:

* The gap is counted from the last "first" job at or before the day, done or planned.
* Too early breaks the rule at its level. Too late (beyond the longest gap) only warns, because
  holding longer cannot mend it; P10 stays hard, since a dry wrap can be put on again. Too late is
  looked at only for the first "then" job after the "first" one.
* A "first" job planned for later holds the "then" job until that plan. A "first" job that was
  never recorded and is not planned does not hold anything: it would hold for ever.
* P1: the three feeds are counted over the 120 days before. A tree with no feed on record at all
  is not held. P2: the same, and the feed must be off within the last 14 days.
* P3: a second pass without a first pass this season is held: it is never done on its own.
* P4: a tree whose decandling is on record, but not within the longest gap, is held.
* P5: only autumn plucking, September to February (March to August in the south).
* P7: after detail wire the tree rests; cutting warns until the next feed or 1 March (1 September).
* P9: a structural wiring older than a year no longer counts.
* P13 and P14 read tree signs of this growing season. Flowers noted open, not over, hold the tree;
  with no note of flowers nothing is held. Leaves must have been noted as hardened since the last
  defoliation; this one does hold without a note, as one look lifts it.
* P16: only the first look after the wire went on. P17: only the same bend, or when none is named.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, timedelta

from collection.craft.rule_types import Case, Done, Hold, OrderRule
from collection.craft.tasks import CUTTING, DEFOLIATION, WIRING, WRAP

SEASON_DAYS = 365  # a "first" job older than this belongs to another season
FEEDS_BEFORE_DECANDLING = 3


def order_holds(case: Case) -> list[Hold]:
    """Every hold of P1 to P17 on this job, in the order of the table."""
    found: list[Hold] = []
    for key, check in CHECKS.items():
        rule = case.settings.order.get(key)
        if rule is not None and case.facts.group in rule.groups:
            found += check(case, rule)
    return found


def _last(case: Case, tasks: Iterable[str], *, subject: str = "", within: int = SEASON_DAYS) -> Done | None:
    wanted = frozenset(tasks)
    earliest = case.on - timedelta(days=within)
    fits = [
        done
        for done in case.others
        if done.task in wanted and earliest <= done.on <= case.on and _same(done.subject, subject)
    ]
    return fits[-1] if fits else None


def _planned_later(case: Case, tasks: Iterable[str], *, subject: str = "") -> Done | None:
    wanted = frozenset(tasks)
    later = [
        done
        for done in case.planned
        if done.task in wanted
        and case.on < done.on <= case.on + timedelta(days=SEASON_DAYS)
        and _same(done.subject, subject)
    ]
    return min(later, key=lambda done: done.on, default=None)


def _same(one: str, other: str) -> bool:
    return not one or not other or one == other


def _gap(case: Case, rule: OrderRule, firsts: Iterable[str], *, subject: str = "") -> list[Hold]:
    """The plain reading of a row: too early at its level, too late as a warning."""
    firsts = frozenset(firsts)
    later = _planned_later(case, firsts, subject=subject)
    last = _last(case, firsts, subject=subject)
    if last is None:
        return [] if later is None else [_first_planned(case, rule, later)]
    days = (case.on - last.on).days
    if days < rule.min_days:
        until = last.on + timedelta(days=rule.min_days)
        return [case.hold(rule.key, rule.level, until, "too_soon_after", first=last.task, done=last.on)]
    if rule.max_days is not None and days > rule.max_days and not _done_since(case, last):
        return [_too_late(case, rule, last, "hard" if rule.key == "P10" else "warn")]
    return []


def _done_since(case: Case, first: Done) -> bool:
    return any(done.task == case.task and first.on <= done.on < case.on for done in case.others)


def _first_planned(case: Case, rule: OrderRule, first: Done) -> Hold:
    until = first.on + timedelta(days=rule.min_days)
    return case.hold(rule.key, rule.level, until, "first_comes_later", first=first.task, planned=first.on)


def _too_late(case: Case, rule: OrderRule, first: Done, level: str) -> Hold:
    return case.hold(
        rule.key, level, None, "too_long_after", first=first.task, done=first.on, days=rule.max_days
    )


def _plain(then: frozenset[str], firsts: frozenset[str]) -> Callable[[Case, OrderRule], list[Hold]]:
    def check(case: Case, rule: OrderRule) -> list[Hold]:
        return _gap(case, rule, firsts) if case.task in then else []

    return check


def _three_feeds(case: Case, rule: OrderRule) -> list[Hold]:
    feeds = [done for done in case.others if done.task == "FEED_START" and done.on <= case.on]
    if case.task != "DECANDLE" or case.job.occurrence > 1 or not feeds:
        return []
    since = case.on - timedelta(days=rule.max_days or SEASON_DAYS)
    recent = [done.on for done in feeds if done.on >= since]
    missing = FEEDS_BEFORE_DECANDLING - len(recent)
    if missing > 0:
        return [
            case.hold(
                "P1", rule.level, None, "feeds_missing", fed=len(recent), wanted=FEEDS_BEFORE_DECANDLING
            )
        ]
    until = recent[0] + timedelta(days=rule.min_days)
    if case.on < until:
        return [case.hold("P1", rule.level, until, "fed_too_briefly", since=recent[0])]
    return []


def _feed_off(case: Case, rule: OrderRule) -> list[Hold]:
    if case.task != "DECANDLE" or case.job.occurrence > 1:
        return []
    fed = _last(case, {"FEED_START"}, within=120)
    if fed is None:
        return []
    off = _last(case, {"FEED_STOP"}, within=120)
    if off is None or off.on < fed.on:
        return [case.hold("P2", rule.level, None, "feed_still_on", since=fed.on)]
    if (case.on - off.on).days > (rule.max_days or SEASON_DAYS):
        return [_too_late(case, rule, off, "warn")]
    return []


def _second_pass(case: Case, rule: OrderRule) -> list[Hold]:
    if case.task != "DECANDLE" or case.job.occurrence != 2:
        return []
    year = case.settings.growing_year(case.on)
    passes = [
        done
        for done in case.others
        if done.task == "DECANDLE" and done.occurrence == 1 and case.settings.growing_year(done.on) == year
    ]
    if not passes:
        return [case.hold("P3", rule.level, None, "first_pass_missing")]
    first = passes[-1]
    until = first.on + timedelta(days=rule.min_days)
    if case.on < until:
        return [case.hold("P3", rule.level, until, "too_soon_after", first="DECANDLE", done=first.on)]
    if rule.max_days is not None and (case.on - first.on).days > rule.max_days:
        return [_too_late(case, rule, first, "warn")]
    return []


def _buds_after_decandling(case: Case, rule: OrderRule) -> list[Hold]:
    if case.task != "BUD_SELECT":
        return []
    found = [done for done in case.others if done.task == "DECANDLE" and done.on <= case.on]
    if not found:
        return []
    last = found[-1]
    until = last.on + timedelta(days=rule.min_days)
    if case.on < until:
        return [case.hold("P4", rule.level, until, "too_soon_after", first="DECANDLE", done=last.on)]
    if rule.max_days is not None and (case.on - last.on).days > rule.max_days:
        return [case.hold("P4", rule.level, None, "not_decandled_this_season", done=last.on)]
    return []


def _autumn_plucking(case: Case, rule: OrderRule) -> list[Hold]:
    months = {3, 4, 5, 6, 7, 8} if case.settings.southern else {9, 10, 11, 12, 1, 2}
    if case.task != "NEEDLE_PLUCK" or case.on.month not in months:
        return []
    return _gap(case, rule, {"BUD_SELECT"})


def _rest_after_wire(case: Case, rule: OrderRule) -> list[Hold]:
    if case.task not in CUTTING:
        return []
    wired = _last(case, {"WIRE_DETAIL"})
    if wired is None or (case.on - wired.on).days <= 1:
        return []
    spring = _next_spring(wired.on, southern=case.settings.southern)
    fed = any(done.task == "FEED_START" and wired.on <= done.on <= case.on for done in case.others)
    if fed or case.on >= spring:
        return []
    return [case.hold("P7", rule.level, spring, "rests_after_wire", done=wired.on)]


def _next_spring(day: date, *, southern: bool) -> date:
    month = 9 if southern else 3
    spring = date(day.year, month, 1)
    return spring if day < spring else date(day.year + 1, month, 1)


def _structure_first(case: Case, rule: OrderRule) -> list[Hold]:
    later = _planned_later(case, {"WIRE_STRUCT"}, subject=case.job.subject)
    if case.task != "WIRE_DETAIL" or later is None:
        return []
    last = _last(case, {"WIRE_STRUCT"}, within=rule.max_days or SEASON_DAYS, subject=case.job.subject)
    return [] if last else [_first_planned(case, rule, later)]


def _wet_wrap(case: Case, rule: OrderRule) -> list[Hold]:
    if case.task != "HEAVY_BEND":
        return []
    return _gap(case, rule, {WRAP}, subject=case.job.subject)


def _old_wire_off(case: Case, rule: OrderRule) -> list[Hold]:
    if case.task != "REPOT" and case.task not in WIRING:
        return []
    kinds = WIRING if case.task == "REPOT" else {case.task}
    subject = "" if case.task == "REPOT" else case.job.subject
    wired = [
        done
        for done in case.others
        if done.task in kinds and (case.on - done.on).days > 1 and _same(done.subject, subject)
    ]
    for wire in reversed(wired):
        if not any(_takes_off(done, wire) and done.on <= case.on for done in case.others):
            return [case.hold("P11", rule.level, None, "wire_still_on", since=wire.on)]
    return []


def _takes_off(done: Done, wire: Done) -> bool:
    return done.task == "WIRE_OFF" and done.on >= wire.on and _same(done.subject, wire.subject)


def _flowers_over(case: Case, rule: OrderRule) -> list[Hold]:
    if case.task not in {"TRIM", "REPOT"}:
        return []
    bloom = _sign_this_season(case, "flowers_80_open")
    over = _sign_this_season(case, "flowers_over")
    if bloom is not None and (over is None or over < bloom):
        return [case.hold("P13", rule.level, None, "still_in_flower", seen=bloom)]
    if over is None or rule.max_days is None or (case.on - over).days <= rule.max_days:
        return []
    return [case.hold("P13", "warn", None, "flowers_long_over", seen=over, days=rule.max_days)]


def _sign_this_season(case: Case, sign: str) -> date | None:
    seen = case.facts.signs.get(sign)
    settings = case.settings
    if seen is None or seen > case.on or settings.growing_year(seen) != settings.growing_year(case.on):
        return None
    return seen


def _leaves_hard(case: Case, rule: OrderRule) -> list[Hold]:
    if case.task not in DEFOLIATION:
        return []
    seen = _sign_this_season(case, "leaves_hardened")
    last = _last(case, DEFOLIATION)
    if seen is not None and (last is None or last.on < seen):
        return []
    return [case.hold("P14", rule.level, None, "leaves_not_seen_hard")]


def _first_look(case: Case, rule: OrderRule) -> list[Hold]:
    if case.task != "WIRE_CHECK":
        return []
    wired = _last(case, WIRING, subject=case.job.subject)
    if wired is None or _done_since(case, wired):
        return []
    return _gap(case, rule, WIRING, subject=case.job.subject) if wired.on < case.on else []


def _tighten(case: Case, rule: OrderRule) -> list[Hold]:
    if case.task == "GUY" or (case.task == "HEAVY_BEND" and case.job.subject):
        bent = _last(case, {"HEAVY_BEND"}, subject=case.job.subject)
        return _gap(case, rule, {"HEAVY_BEND"}, subject=case.job.subject) if bent else []
    return []


CHECKS: dict[str, Callable[[Case, OrderRule], list[Hold]]] = {
    "P1": _three_feeds,
    "P2": _feed_off,
    "P3": _second_pass,
    "P4": _buds_after_decandling,
    "P5": _autumn_plucking,
    "P6": _plain(frozenset({"WIRE_DETAIL"}), frozenset({"NEEDLE_PLUCK"})),
    "P7": _rest_after_wire,
    "P8": _plain(frozenset({"WIRE_STRUCT"}), frozenset({"TRIM", "NEEDLE_PLUCK"})),
    "P9": _structure_first,
    "P10": _wet_wrap,
    "P11": _old_wire_off,
    "P12": _plain(frozenset({"LIME"}), frozenset({"DEADWOOD"})),
    "P13": _flowers_over,
    "P14": _leaves_hard,
    "P15": _plain(frozenset({"FEED_START"}), frozenset({"REPOT"})),
    "P16": _first_look,
    "P17": _tighten,
}
