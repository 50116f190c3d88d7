"""Each rule once where it holds and once where it does not.

Gaps are those of the reference tables (tests/reference/test_programme_data.py pins them); every date
below is counted from them beside the case.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from collection.craft import reference
from collection.craft.rules import Weather
from tests.craft.asking import FEEDS, HARDENED, PASS_1, RULES, Ask, d, done, tree

# rule, level, first day it lets go (None: no date), where it holds, where it does not
CASES = [
    # Three feeds, 56 days before the cut: 2 feeds hold, 3 feeds from 1 March do not on 8 June.
    (
        "P1",
        "warn",
        None,
        Ask(tree("G01", *FEEDS[:2]), "DECANDLE", "2026-06-08"),
        Ask(tree("G01", *FEEDS), "DECANDLE", "2026-06-08"),
    ),
    # Feed off 0 to 14 days before: never taken off holds, off on the day does not.
    (
        "P2",
        "warn",
        None,
        Ask(tree("G01", *FEEDS), "DECANDLE", "2026-06-08"),
        Ask(tree("G01", *FEEDS, done("FEED_STOP", "2026-06-08")), "DECANDLE", "2026-06-08"),
    ),
    # 10 to 14 days: day 9 holds until 18 June, day 12 does not.
    (
        "P3",
        "hard",
        "2026-06-18",
        Ask(tree("G01", PASS_1), "DECANDLE", "2026-06-17", {"occurrence": 2}),
        Ask(tree("G01", PASS_1), "DECANDLE", "2026-06-20", {"occurrence": 2}),
    ),
    # 100 days after 20 June is 28 September.
    (
        "P4",
        "hard",
        "2026-09-28",
        Ask(tree("G01", done("DECANDLE", "2026-06-20", occurrence=2)), "BUD_SELECT", "2026-09-27"),
        Ask(tree("G01", done("DECANDLE", "2026-06-20", occurrence=2)), "BUD_SELECT", "2026-11-01"),
    ),
    # Bud selection planned for later holds the plucking; on the same visit it does not.
    (
        "P5",
        "warn",
        "2026-11-20",
        Ask(tree("G01"), "NEEDLE_PLUCK", "2026-11-01", {"planned": (done("BUD_SELECT", "2026-11-20"),)}),
        Ask(tree("G01"), "NEEDLE_PLUCK", "2026-11-01", {"planned": (done("BUD_SELECT", "2026-11-01"),)}),
    ),
    # 0 to 60 days: 61 days after plucking warns, 60 does not.
    (
        "P6",
        "warn",
        None,
        Ask(tree("G02", done("NEEDLE_PLUCK", "2026-10-01")), "WIRE_DETAIL", "2026-12-01"),
        Ask(tree("G02", done("NEEDLE_PLUCK", "2026-10-01")), "WIRE_DETAIL", "2026-11-30"),
    ),
    # Rest from fine wiring until 1 March, or until it is fed.
    (
        "P7",
        "warn",
        "2027-03-01",
        Ask(tree("G01", done("WIRE_DETAIL", "2026-11-08")), "PRUNE_STRUCT", "2026-12-20"),
        Ask(tree("G01", done("WIRE_DETAIL", "2026-11-08")), "PRUNE_STRUCT", "2027-03-01"),
    ),
    # Trimming planned after the main wiring holds it; trimmed 60 days before does not.
    (
        "P8",
        "warn",
        "2026-10-20",
        Ask(tree("G03"), "WIRE_STRUCT", "2026-10-10", {"planned": (done("TRIM", "2026-10-20"),)}),
        Ask(tree("G03", done("TRIM", "2026-09-10")), "WIRE_STRUCT", "2026-10-10"),
    ),
    # Main wiring planned later holds the fine wiring; with none planned and none on record nothing does.
    (
        "P9",
        "hard",
        "2026-11-01",
        Ask(tree("G03"), "WIRE_DETAIL", "2026-10-10", {"planned": (done("WIRE_STRUCT", "2026-11-01"),)}),
        Ask(tree("G03"), "WIRE_DETAIL", "2026-10-10"),
    ),
    # A wrap two days old has dried; one of the day before has not.
    (
        "P10",
        "hard",
        None,
        Ask(tree("G03", done("WRAP", "2026-10-08")), "HEAVY_BEND", "2026-10-10"),
        Ask(tree("G03", done("WRAP", "2026-10-09")), "HEAVY_BEND", "2026-10-10"),
    ),
    # Wire put on in May is still on; then it came off.
    (
        "P11",
        "warn",
        None,
        Ask(tree("G07", done("WIRE_DETAIL", "2025-05-25")), "REPOT", "2026-03-01"),
        Ask(
            tree("G07", done("WIRE_DETAIL", "2025-05-25"), done("WIRE_OFF", "2025-09-01")),
            "REPOT",
            "2026-03-01",
        ),
    ),
    # 14 days after 1 July is 15 July.
    (
        "P12",
        "warn",
        "2026-07-15",
        Ask(tree("G03", done("DEADWOOD", "2026-07-01")), "LIME", "2026-07-14"),
        Ask(tree("G03", done("DEADWOOD", "2026-07-01")), "LIME", "2026-07-15"),
    ),
    # In flower, and nobody noted that it is over; then somebody did.
    (
        "P13",
        "hard",
        None,
        Ask(tree("G11", signs={"flowers_80_open": d("2026-05-28")}), "TRIM", "2026-06-10"),
        Ask(
            tree("G11", signs={"flowers_80_open": d("2026-05-28"), "flowers_over": d("2026-06-08")}),
            "TRIM",
            "2026-06-10",
        ),
    ),
    # Never on soft leaf: not noted as hardened holds.
    (
        "P14",
        "hard",
        None,
        Ask(tree("G07"), "DEFOL_PART", "2026-06-05"),
        Ask(tree("G07", signs=HARDENED), "DEFOL_PART", "2026-06-05"),
    ),
    # 28 days after 10 March is 7 April.
    (
        "P15",
        "warn",
        "2026-04-07",
        Ask(tree("G07", done("REPOT", "2026-03-10")), "FEED_START", "2026-04-06"),
        Ask(tree("G07", done("REPOT", "2026-03-10")), "FEED_START", "2026-04-07"),
    ),
    # 7 days after 1 June is 8 June.
    (
        "P16",
        "hard",
        "2026-06-08",
        Ask(tree("G08", done("WIRE_DETAIL", "2026-06-01")), "WIRE_CHECK", "2026-06-07"),
        Ask(tree("G08", done("WIRE_DETAIL", "2026-06-01")), "WIRE_CHECK", "2026-06-08"),
    ),
    # 60 days after 1 October is 30 November.
    (
        "P17",
        "warn",
        "2026-11-30",
        Ask(
            tree("G03", done("HEAVY_BEND", "2026-10-01", subject="b1")),
            "GUY",
            "2026-11-29",
            {"subject": "b1"},
        ),
        Ask(
            tree("G03", done("HEAVY_BEND", "2026-10-01", subject="b1")),
            "GUY",
            "2026-11-30",
            {"subject": "b1"},
        ),
    ),
    # Conifer 365 days from 10 March 2026; deciduous 274 days end on 9 December.
    (
        "X1",
        "hard",
        "2027-03-10",
        Ask(tree("G03", done("REPOT", "2026-03-10")), "HEAVY_BEND", "2027-03-09"),
        Ask(tree("G03", done("REPOT", "2026-03-10")), "HEAVY_BEND", "2027-03-10"),
    ),
    # Same growing season, until 1 January; the larger pot does not count.
    (
        "X2",
        "hard",
        "2027-01-01",
        Ask(tree("G01", done("REPOT", "2026-03-10")), "DECANDLE", "2026-06-10"),
        Ask(tree("G01", done("UP_POT", "2026-03-10")), "DECANDLE", "2026-06-10"),
    ),
    # Maple, trident: same season. Fig passes.
    (
        "X3",
        "hard",
        "2027-01-01",
        Ask(tree("G08", done("REPOT", "2026-03-10"), signs=HARDENED), "DEFOL_FULL", "2026-06-10"),
        Ask(tree("G14", done("REPOT", "2026-06-01"), signs=HARDENED), "DEFOL_FULL", "2026-06-10"),
    ),
    # 183 days after 10 March is 9 September.
    (
        "X4",
        "warn",
        "2026-09-09",
        Ask(tree("G03", done("REPOT", "2026-03-10")), "WIRE_STRUCT", "2026-09-08"),
        Ask(tree("G03", done("REPOT", "2026-03-10")), "WIRE_STRUCT", "2026-09-09"),
    ),
    # 365 days after 10 October.
    (
        "X5",
        "hard",
        "2026-10-10",
        Ask(tree("G01", done("HEAVY_BEND", "2025-10-10")), "DECANDLE", "2026-06-10"),
        Ask(tree("G01", done("HEAVY_BEND", "2024-10-10")), "DECANDLE", "2026-06-10"),
    ),
    # Same branch within 365 days holds, another branch does not.
    (
        "X6",
        "hard",
        "2027-05-10",
        Ask(
            tree("G03", done("DEADWOOD", "2026-05-10", subject="b1")),
            "HEAVY_BEND",
            "2026-09-20",
            {"subject": "b1"},
        ),
        Ask(
            tree("G03", done("DEADWOOD", "2026-05-10", subject="b1")),
            "HEAVY_BEND",
            "2026-09-20",
            {"subject": "b2"},
        ),
    ),
    # 730 days from 8 June 2025 when it answered weakly.
    (
        "X7",
        "warn",
        "2027-06-08",
        Ask(
            tree("G01", done("DECANDLE", "2025-06-08"), signs={"weak_response": d("2025-09-01")}),
            "DECANDLE",
            "2026-06-10",
        ),
        Ask(tree("G01", done("DECANDLE", "2025-06-08")), "DECANDLE", "2026-06-10"),
    ),
    # 365 days from 10 June.
    (
        "X8",
        "warn",
        "2026-06-10",
        Ask(tree("G09", done("DEFOL_FULL", "2025-06-10"), signs=HARDENED), "DEFOL_FULL", "2026-06-09"),
        Ask(tree("G09", done("DEFOL_FULL", "2025-06-10"), signs=HARDENED), "DEFOL_FULL", "2026-06-10"),
    ),
    # 56 days after 10 March is 5 May.
    (
        "X9",
        "warn",
        "2026-05-05",
        Ask(tree("G07", done("REPOT", "2026-03-10")), "SHOW", "2026-05-04"),
        Ask(tree("G07", done("REPOT", "2026-03-10")), "SHOW", "2026-05-05"),
    ),
    # 1 April to 10 June.
    (
        "X10",
        "warn",
        "2026-06-11",
        Ask(tree("G02"), "WIRE_DETAIL", "2026-06-10"),
        Ask(tree("G02"), "WIRE_DETAIL", "2026-06-11"),
    ),
    # 365 days, a club's setting.
    (
        "X11",
        "warn",
        "2027-04-01",
        Ask(tree("G11", done("REPOT", "2026-04-01")), "TRIM", "2026-06-10"),
        Ask(
            tree("G11", done("REPOT", "2026-04-01")),
            "TRIM",
            "2026-06-10",
            rules=replace(RULES, azalea_rests_after_repot=False),
        ),
    ),
    # Rain within 4 hours.
    (
        "X12",
        "hard",
        None,
        Ask(tree("G03"), "LIME", "2026-07-01", {"weather": Weather(rain_within_h=3.9)}),
        Ask(
            tree("G03"),
            "LIME",
            "2026-07-01",
            {"weather": Weather(rain_within_h=4, dusk_within_h=6, roots_covered=True)},
        ),
    ),
    # Any cutting on a weak tree; a sound one may be cut.
    (
        "X13",
        "hard",
        None,
        Ask(tree("G07", weak=True), "TRIM", "2026-06-10"),
        Ask(tree("G07"), "TRIM", "2026-06-10"),
    ),
    # Below -5 °C with a bend of the last 30 days; at -5 °C not.
    (
        "X14",
        "warn",
        None,
        Ask(
            tree("G03", done("HEAVY_BEND", "2026-10-20")),
            "TRIM",
            "2026-11-10",
            {"weather": Weather(min_temp_c=-5.1)},
        ),
        Ask(
            tree("G03", done("HEAVY_BEND", "2026-10-20")),
            "TRIM",
            "2026-11-10",
            {"weather": Weather(min_temp_c=-5)},
        ),
    ),
    # Deciduous 6 points: 2 + 3 + 2 is over; the first pruning leaves the spell 330 days after 1 March 2026.
    (
        "budget",
        "hard",
        "2027-01-25",
        Ask(
            tree("G07", done("PRUNE_STRUCT", "2026-03-01"), done("REPOT", "2026-04-20")),
            "GRAFT",
            "2027-01-24",
        ),
        Ask(
            tree("G07", done("PRUNE_STRUCT", "2026-03-01"), done("REPOT", "2026-04-20")),
            "GRAFT",
            "2027-01-25",
        ),
    ),
    # Normal deciduous, REPOT 180 days: 10 March to 6 September.
    (
        "rest",
        "hard",
        "2026-09-06",
        Ask(tree("G07", done("REPOT", "2026-03-10")), "PRUNE_STRUCT", "2026-09-05"),
        Ask(tree("G07", done("REPOT", "2026-03-10")), "PRUNE_STRUCT", "2026-09-06"),
    ),
    # Water, light and pest care only.
    (
        "gate",
        "hard",
        None,
        Ask(tree("G07", weak=True), "FEED_START", "2026-05-01"),
        Ask(tree("G07", weak=True), "PEST", "2026-05-01"),
    ),
]


@pytest.mark.parametrize(("rule", "level", "until", "ask", "twin"), CASES, ids=[case[0] for case in CASES])
def test_the_rule_holds(rule, level, until, ask, twin):
    found = ask.of(rule)
    assert [(hold.level, hold.until) for hold in found] == [(level, d(until) if until else None)]
    assert found[0].reason.values["rule"] == rule


@pytest.mark.parametrize(("rule", "level", "until", "ask", "twin"), CASES, ids=[case[0] for case in CASES])
def test_the_rule_lets_go(rule, level, until, ask, twin):
    assert twin.of(rule) == []


def test_every_rule_of_the_tables_is_tried():
    tables = set(reference.order_rules()) | set(reference.clash_rules())
    assert {case[0] for case in CASES} == tables | {"budget", "rest", "gate"}


def test_moving_the_job_to_the_day_a_hold_names_clears_that_hold():
    for rule, _, until, ask, _ in CASES:
        if until and rule not in {"P5", "P8", "P9"}:
            later = replace(ask, on=until)
            assert later.of(rule) == [], rule
            before = replace(ask, on=(d(until) - timedelta(days=1)).isoformat())
            assert before.of(rule), rule
