"""The chain of a year on a black pine, and the finer points of the rules."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.craft import reference
from collection.craft.rules import Done, TreeFacts, Weather, holds, rest_until, stress_tally
from tests.craft.asking import FEEDS, HARDENED, PASS_1, RULES, SOUTH, Ask, asked, d, done, tree

# --- the chain of a refined black pine ------------------------------------------------------------

CHAIN = (
    *FEEDS,
    done("CANDLE_BREAK", "2026-05-10"),
    done("FEED_STOP", "2026-06-08"),
    done("DECANDLE", "2026-06-08"),
    done("DECANDLE", "2026-06-20", occurrence=2),
    done("FEED_START", "2026-09-20"),
    done("BUD_SELECT", "2026-11-01"),
    done("NEEDLE_PLUCK", "2026-11-01"),
    done("WIRE_DETAIL", "2026-11-08"),
    done("WIRE_CHECK", "2027-05-01"),
)


@pytest.mark.parametrize("number", range(len(CHAIN)), ids=[f"{step.task} {step.on}" for step in CHAIN])
def test_the_year_of_a_refined_black_pine_runs_without_a_hold(number):
    # Derived from the order rules: feeds 28 days apart, pass 2 after 12 days, wire a week after the buds.
    step = CHAIN[number]
    facts = TreeFacts("G01", "F", history=CHAIN[:number])
    found = holds(
        facts, step.task, step.on, settings=RULES, occurrence=step.occurrence, planned=CHAIN[number + 1 :]
    )
    assert found == ()


# --- finer points ---------------------------------------------------------------------------------


def test_three_feeds_crowded_into_a_month_are_too_brief():
    facts = tree(
        "G01",
        done("FEED_START", "2026-05-01"),
        done("FEED_START", "2026-05-10"),
        done("FEED_START", "2026-05-20"),
    )
    # 56 days from 1 May is 26 June.
    assert asked(facts, "DECANDLE", "2026-06-08", "P1")[0].until == d("2026-06-26")


def test_a_club_that_logs_no_feed_is_not_held_for_feed():
    assert asked(tree("G01"), "DECANDLE", "2026-06-08", "P1") == []
    assert asked(tree("G01"), "DECANDLE", "2026-06-08", "P2") == []


def test_feed_taken_off_more_than_fourteen_days_before_warns():
    facts = tree("G01", *FEEDS, done("FEED_STOP", "2026-05-24"))
    assert [hold.level for hold in asked(facts, "DECANDLE", "2026-06-08", "P2")] == ["warn"]


def test_a_second_pass_alone_is_held_and_a_late_one_only_warns():
    assert (
        asked(tree("G01"), "DECANDLE", "2026-06-20", "P3", occurrence=2)[0].reason.code
        == "first_pass_missing"
    )
    late = asked(tree("G01", PASS_1), "DECANDLE", "2026-06-23", "P3", occurrence=2)
    assert [(hold.level, hold.reason.code) for hold in late] == [("warn", "too_long_after")]


def test_bud_selection_waits_for_a_decandling_of_this_season_once_one_is_on_record():
    assert asked(tree("G01"), "BUD_SELECT", "2026-11-01", "P4") == []
    old = asked(tree("G01", done("DECANDLE", "2025-06-08")), "BUD_SELECT", "2026-11-01", "P4")
    assert [(hold.level, hold.until) for hold in old] == [("hard", None)]


def test_plucking_at_decandling_does_not_wait_for_bud_selection():
    planned = (done("BUD_SELECT", "2026-06-20"),)
    assert asked(tree("G01"), "NEEDLE_PLUCK", "2026-06-08", "P5", planned=planned) == []


def test_a_feed_ends_the_rest_after_fine_wiring():
    facts = tree("G01", done("WIRE_DETAIL", "2026-11-08"), done("FEED_START", "2027-02-20"))
    assert asked(facts, "NEEDLE_PLUCK", "2027-02-25", "P7") == []


def test_fine_wiring_goes_ahead_when_the_main_wiring_was_done_within_the_year():
    facts = tree("G03", done("WIRE_STRUCT", "2026-09-20"))
    assert asked(facts, "WIRE_DETAIL", "2026-10-10", "P9", planned=(done("WIRE_STRUCT", "2026-11-01"),)) == []


def test_the_wrap_of_an_earlier_bend_does_not_count_as_dry():
    facts = tree("G03", done("WRAP", "2025-10-01"), done("HEAVY_BEND", "2025-10-01"))
    assert asked(facts, "HEAVY_BEND", "2026-09-20", "P10") == []


def test_wire_taken_off_one_branch_leaves_the_other_wired():
    facts = tree(
        "G07",
        done("WIRE_DETAIL", "2025-05-25", subject="b1"),
        done("WIRE_DETAIL", "2025-05-25", subject="b2"),
        done("WIRE_OFF", "2025-09-01", subject="b1"),
    )
    assert len(asked(facts, "REPOT", "2026-03-01", "P11")) == 1
    assert asked(facts, "WIRE_DETAIL", "2026-05-25", "P11", subject="b1") == []


def test_a_cut_long_after_the_flowers_only_warns():
    facts = tree("G12", signs={"flowers_over": d("2026-05-01")})
    # 35 days after 1 May is 5 June.
    assert asked(facts, "TRIM", "2026-06-05", "P13") == []
    assert [hold.level for hold in asked(facts, "TRIM", "2026-06-06", "P13")] == ["warn"]


def test_new_leaves_must_harden_again_before_a_second_defoliation():
    facts = tree("G08", done("DEFOL_FULL", "2026-06-05"), signs=HARDENED)
    assert len(asked(facts, "DEFOL_FULL", "2026-07-10", "P14")) == 1
    again = replace(facts, signs={"leaves_hardened": d("2026-07-05")})
    assert asked(again, "DEFOL_FULL", "2026-07-10", "P14") == []


def test_only_the_first_look_at_a_wire_has_to_wait():
    facts = tree("G08", done("WIRE_DETAIL", "2026-06-01"), done("WIRE_CHECK", "2026-06-03"))
    assert asked(facts, "WIRE_CHECK", "2026-06-05", "P16") == []


def test_another_bend_is_not_a_tightening():
    facts = tree("G03", done("HEAVY_BEND", "2026-10-01", subject="b1"))
    assert asked(facts, "GUY", "2026-10-10", "P17", subject="b2") == []


def test_a_deciduous_tree_may_be_bent_nine_months_after_a_repot():
    facts = tree("G07", done("REPOT", "2026-03-10"))
    # 274 days after 10 March is 9 December.
    assert asked(facts, "HEAVY_BEND", "2026-12-08", "X1")[0].until == d("2026-12-09")
    assert asked(facts, "HEAVY_BEND", "2026-12-09", "X1") == []


def test_a_clash_counts_forwards_to_a_plan_as_well():
    planned = (done("HEAVY_BEND", "2026-10-01"),)
    assert len(asked(tree("G03"), "REPOT", "2026-04-01", "X1", planned=planned)) == 1


def test_an_expert_turns_the_root_and_bend_clash_into_a_warning_and_frees_strong_elms():
    expert = replace(RULES, expert_signed=True)
    bend = Ask(tree("G03", done("REPOT", "2026-03-10")), "HEAVY_BEND", "2026-10-01", rules=expert)
    assert [hold.level for hold in bend.of("X1")] == ["warn"]
    leaves = tree("G09", done("REPOT", "2026-03-10"), signs=HARDENED)
    assert Ask(leaves, "DEFOL_FULL", "2026-06-10", rules=expert).of("X3") == []
    maple = tree("G07", done("REPOT", "2026-03-10"), signs=HARDENED)
    assert len(Ask(maple, "DEFOL_FULL", "2026-06-10", rules=expert).of("X3")) == 1


def test_an_elm_takes_repot_and_main_wiring_in_one_visit_but_not_a_month_apart():
    elm = tree("G09", done("REPOT", "2026-03-10"))
    assert asked(elm, "WIRE_STRUCT", "2026-03-10", "X4") == []
    assert asked(elm, "WIRE_STRUCT", "2026-03-10", "rest") == []
    assert len(asked(elm, "WIRE_STRUCT", "2026-04-10", "X4")) == 1


def test_splitting_wood_in_the_visit_of_the_bend_is_one_job():
    facts = tree("G03", done("HEAVY_BEND", "2026-10-01"))
    assert asked(facts, "DEADWOOD", "2026-10-01", "X6") == []
    assert len(asked(facts, "DEADWOOD", "2026-11-01", "X6")) == 1


def test_a_trident_may_lose_its_leaves_again_after_28_days_in_a_long_season():
    facts = tree("G08", done("DEFOL_FULL", "2026-06-01"), signs={"leaves_hardened": d("2026-06-28")})
    long = replace(RULES, long_season=True)
    assert Ask(facts, "DEFOL_FULL", "2026-06-29", rules=long).of("X8") == []
    assert len(asked(facts, "DEFOL_FULL", "2026-06-29", "X8")) == 1


def test_lime_sulphur_waits_for_covered_soil_and_daylight():
    weather = Weather(rain_within_h=20, dusk_within_h=2, roots_covered=False)
    codes = [hold.reason.code for hold in asked(tree("G03"), "LIME", "2026-07-01", "X12", weather=weather)]
    assert codes == ["dusk_too_soon", "roots_uncovered"]
    assert asked(tree("G03"), "LIME", "2026-07-01", "X12") == []


def test_frost_warns_of_a_bend_on_the_day_and_never_stops_the_move_to_shelter():
    frost = Weather(min_temp_c=-8)
    assert len(asked(tree("G03"), "HEAVY_BEND", "2026-11-10", "X14", weather=frost)) == 1
    bent = tree("G03", done("HEAVY_BEND", "2026-11-01"))
    assert asked(bent, "PROTECT", "2026-11-10", "X14", weather=frost) == []


def test_soft_growth_falls_in_october_to_december_in_the_south():
    pine = tree("G01")
    assert len(Ask(pine, "WIRE_DETAIL", "2026-10-01", rules=SOUTH).of("X10")) == 1
    assert Ask(pine, "WIRE_DETAIL", "2026-04-20", rules=SOUTH).of("X10") == []


def test_a_southern_growing_season_runs_over_new_year():
    facts = tree("G01", done("REPOT", "2026-09-10"))
    found = Ask(facts, "DECANDLE", "2027-01-10", rules=SOUTH).of("X2")
    assert [hold.until for hold in found] == [d("2027-07-01")]


def test_the_southern_growing_season_turns_on_the_first_of_july():
    assert (SOUTH.growing_year(d("2027-06-30")), SOUTH.growing_year(d("2027-07-01"))) == (2026, 2027)
    assert (RULES.growing_year(d("2027-12-31")), RULES.growing_year(d("2028-01-01"))) == (2027, 2028)


def test_a_tree_from_the_wild_is_never_decandled_and_rests_twice_as_long():
    wild = tree("G01", done("REPOT", "2025-03-10"), collected=True)
    assert asked(wild, "DECANDLE", "2026-06-08", "gate")[0].reason.code == "never_on_collected"
    # 730 days against 365.
    assert rest_until(wild, d("2026-06-08"), RULES).until == d("2027-03-10")
    assert rest_until(replace(wild, collected=False), d("2026-06-08"), RULES) is None


def test_looking_at_a_weak_tree_is_allowed():
    weak = tree("G07", weak=True)
    assert Ask(weak, "WIRE_CHECK", "2026-06-01").found() == ()
    assert Ask(weak, "RECORD", "2026-06-01").found() == ()


def test_parts_of_one_styling_count_once_and_need_no_rest_between_them():
    facts = tree("G03", done("PRUNE_STRUCT", "2026-09-20"), done("WIRE_STRUCT", "2026-09-21"))
    assert asked(facts, "HEAVY_BEND", "2026-09-22", "rest") == []
    assert asked(facts, "HEAVY_BEND", "2026-09-22", "budget") == []
    tally = stress_tally(
        replace(facts, history=(*facts.history, done("HEAVY_BEND", "2026-09-22"))), d("2026-09-22"), RULES
    )
    assert (tally.points, tally.majors, len(tally.events)) == (3, 1, 1)
    # Juniper, WIRE_STRUCT 120 days from 21 September is 19 January.
    assert asked(facts, "HEAVY_BEND", "2026-10-20", "rest")[0].until == d("2027-01-19")


def test_parts_of_one_named_visit_are_one_styling_even_a_week_apart():
    facts = tree("G03", done("PRUNE_STRUCT", "2026-09-20", visit="v7"))
    assert asked(facts, "WIRE_STRUCT", "2026-09-27", "rest", visit="v7") == []
    assert len(asked(facts, "WIRE_STRUCT", "2026-09-27", "rest", visit="v8")) == 1


def test_two_passes_of_one_decandling_count_once():
    facts = tree("G01", PASS_1, done("DECANDLE", "2026-06-20", occurrence=2))
    tally = stress_tally(facts, d("2026-07-01"), RULES)
    assert (tally.points, tally.limit, tally.majors) == (3, 5, 1)
    assert tally.events[0].first == d("2026-06-08")


def test_a_yearly_june_job_is_counted_once_in_the_rolling_spell():
    # 330 days, not 365: 8 June to 4 June is 361 days.
    facts = tree("G01", done("DECANDLE", "2025-06-08"))
    assert stress_tally(facts, d("2026-06-04"), RULES).points == 0
    assert stress_tally(facts, d("2026-05-03"), RULES).points == 3


def test_light_work_is_no_stress():
    facts = tree("G03", done("WIRE_DETAIL", "2026-09-20"), done("TRIM", "2026-09-20"))
    assert stress_tally(facts, d("2026-10-01"), RULES).events == ()


@pytest.mark.parametrize(
    ("group", "limit", "majors"), [("G01", 5, 1), ("G07", 6, 1), ("G08", 9, 2), ("G09", 9, 2), ("G14", 9, 2)]
)
def test_each_kind_of_tree_has_its_budget(group, limit, majors):
    tally = stress_tally(tree(group), d("2026-06-01"), RULES)
    assert (tally.limit, tally.majors_limit) == (limit, majors)


def test_a_weak_tree_has_no_budget_at_all():
    assert stress_tally(tree("G14", weak=True), d("2026-06-01"), RULES).limit == 0
    assert len(asked(tree("G14", weak=True), "PRUNE_STRUCT", "2026-06-01", "budget")) == 1


def test_a_second_major_job_in_a_year_is_held_though_the_points_would_do():
    facts = tree("G07", done("REPOT", "2026-03-01"))
    held = asked(facts, "HEAVY_BEND", "2026-12-20", "budget")
    # 3 + 3 = 6 points are allowed, two major jobs are not; 330 days after 1 March is 25 January.
    assert (held[0].reason.values["points"], held[0].until) == (6, d("2027-01-25"))


def test_a_plan_later_in_the_year_counts_in_the_budget():
    planned = (done("DECANDLE", "2026-06-10"),)
    assert len(asked(tree("G01"), "GRAFT", "2026-02-01", "budget", planned=planned)) == 0
    assert len(asked(tree("G01"), "HEAVY_BEND", "2026-02-01", "budget", planned=planned)) == 1


def test_work_whose_rest_would_run_into_a_plan_is_held():
    planned = (done("WIRE_STRUCT", "2026-11-01"),)
    # Pine, PRUNE_STRUCT 120 days: 1 October to 29 January.
    held = asked(tree("G01"), "PRUNE_STRUCT", "2026-10-01", "rest", planned=planned)
    assert held[0].reason.code == "rest_meets_plan"
    assert asked(tree("G01"), "PRUNE_STRUCT", "2026-06-30", "rest", planned=planned) == []


def test_a_fig_may_be_repotted_and_defoliated_in_one_summer():
    fig = tree("G14", done("REPOT", "2026-06-01"), signs=HARDENED)
    assert Ask(fig, "DEFOL_FULL", "2026-06-10").found() == ()


def test_the_longest_rest_is_the_one_that_counts():
    facts = tree("G07", done("REPOT", "2026-03-10"), done("PRUNE_STRUCT", "2026-04-01"))
    rest = rest_until(facts, d("2026-04-10"), RULES)
    # REPOT 180 days to 6 September against PRUNE_STRUCT 45 days to 16 May.
    assert (rest.until, rest.task, rest.days) == (d("2026-09-06"), "REPOT", 180)
    assert rest_until(facts, d("2026-09-06"), RULES) is None


def test_rest_does_not_hold_light_work():
    facts = tree("G07", done("REPOT", "2026-03-10"))
    assert asked(facts, "TRIM", "2026-05-10", "rest") == []


def test_hard_holds_come_before_warnings():
    facts = tree("G03", done("REPOT", "2026-03-10"), done("WIRE_DETAIL", "2025-10-01"))
    levels = [hold.level for hold in Ask(facts, "WIRE_STRUCT", "2026-06-01").found()]
    assert levels == sorted(levels)
    assert set(levels) == {"hard", "warn"}


@pytest.mark.parametrize(
    ("facts", "task"),
    [(tree("G99"), "TRIM"), (tree("G01"), "JUGGLE"), (tree("G01", done("JUGGLE", "2026-01-01")), "TRIM")],
    ids=["group", "task", "task in history"],
)
def test_an_unknown_group_or_task_is_refused(facts, task):
    with pytest.raises(ValueError, match="there is no"):
        holds(facts, task, d("2026-06-01"), settings=RULES)


WORK = st.builds(
    Done,
    st.sampled_from([*sorted(reference.tasks()), "WRAP", "SHOW"]),
    st.dates(date(2024, 1, 1), date(2026, 12, 31)),
    st.sampled_from(["", "b1", "b2"]),
    st.integers(1, 2),
    st.sampled_from(["", "v1", "v2"]),
)
TREES = st.builds(
    TreeFacts,
    st.sampled_from(sorted(reference.groups())),
    st.sampled_from("RBFS"),
    st.booleans(),
    st.booleans(),
    st.none(),
    st.lists(WORK, max_size=8).map(tuple),
    st.dictionaries(
        st.sampled_from(["leaves_hardened", "flowers_80_open", "flowers_over", "weak_response"]),
        st.dates(date(2025, 1, 1), date(2026, 12, 31)),
    ),
)


@settings(max_examples=150, deadline=None)
@given(TREES, WORK, st.lists(WORK, max_size=3).map(tuple), st.sampled_from([RULES, SOUTH]))
def test_whatever_the_history_a_hold_ends_after_the_day_asked_and_hard_ones_come_first(
    facts, job, planned, rules
):
    shuffled = replace(facts, history=tuple(reversed(facts.history)))
    found = holds(
        facts,
        job.task,
        job.on,
        settings=rules,
        planned=planned,
        subject=job.subject,
        occurrence=job.occurrence,
    )
    assert all(hold.until is None or hold.until > job.on for hold in found)
    assert [hold.level for hold in found] == sorted(hold.level for hold in found)
    again = holds(
        shuffled,
        job.task,
        job.on,
        settings=rules,
        planned=planned,
        subject=job.subject,
        occurrence=job.occurrence,
    )
    assert [(hold.rule, hold.level) for hold in again] == [(hold.rule, hold.level) for hold in found]
