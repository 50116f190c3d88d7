"""What the programme asks of the trees, by the rules at the top of collection/craft/due.py."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.craft import reference
from collection.craft.due import TreeInput, due, last_days
from collection.craft.rule_types import Done
from collection.craft.season import Climate, MonthDay, ProgrammeRow, Repeat

ROWS = reference.all_rows()
BASELINE = Climate(47, MonthDay(4, 25), MonthDay(10, 25))


def d(text: str) -> date:
    return date.fromisoformat(text)


def season(*trees: TreeInput, today: str = "2026-01-01", until: str = "2026-12-31", **more):
    rows = more.get("rows", ROWS)
    return due(trees, rows, more.get("climate", BASELINE), today=d(today), until=d(until))


def jobs(found, task: str):
    return [job for job in found.jobs if job.task == task]


def rounds(found, task: str):
    return [each for each in found.rounds if each.task == task]


PINE = TreeInput(1, "G01", "F", height_cm=75, bench=4)


def test_once_rows_make_nothing_by_themselves():
    raw = [TreeInput(number, f"G{number:02d}", "R") for number in range(1, 16)]
    asked_for = {row.task for row in ROWS if row.every.kind == "once"}
    found = season(*raw)
    assert {"HEAVY_BEND", "GRAFT", "PRUNE_STRUCT", "GUY", "DEADWOOD", "LAYER", "WIRE_STRUCT"} == asked_for
    assert not asked_for & {job.task for job in found.jobs}


def test_a_yearly_row_makes_one_job_a_season():
    # Bay Area teaching nursery, tip May 2010: candles broken in spring; 20 April to 31 May.
    found = jobs(season(PINE), "CANDLE_BREAK")
    assert [(job.opens, job.closes, job.season_year) for job in found] == [
        (d("2026-04-20"), d("2026-05-31"), 2026)
    ]


def test_a_stage_that_the_row_does_not_name_has_no_job():
    assert jobs(season(replace(PINE, stage="R")), "CANDLE_BREAK") == []


def test_two_windows_of_one_task_are_two_jobs():
    found = jobs(season(PINE), "NEEDLE_PLUCK")
    # The autumn of 2025 runs to 28 February 2026 and is still open on 1 January.
    assert [(job.row_key, job.season_year) for job in found] == [
        ("G01-NEEDLE_PLUCK-1015", 2025),
        ("G01-NEEDLE_PLUCK-0601", 2026),
        ("G01-NEEDLE_PLUCK-1015", 2026),
    ]


def test_work_logged_in_the_window_or_two_weeks_before_counts_as_done():
    for logged, left in [("2026-04-25", 0), ("2026-04-06", 0), ("2026-04-05", 1), ("2025-04-25", 1)]:
        tree = replace(PINE, last_done={"CANDLE_BREAK": d(logged)})
        assert len(jobs(season(tree), "CANDLE_BREAK")) == left, logged


def test_candles_are_cut_in_two_passes_ten_days_apart():
    # Large tree: 1 to 15 June; pass 2 from 10 days after and up to 14 days past the close. Sources:
    # Cheshire Bonsai Society, How To Care For Pine Bonsai; teaching nursery, San Francisco Bay Area.
    found = jobs(season(PINE), "DECANDLE")
    assert [(job.occurrence, job.opens, job.closes) for job in found] == [
        (1, d("2026-06-01"), d("2026-06-15")),
        (2, d("2026-06-11"), d("2026-06-29")),
    ]


def test_once_pass_one_is_logged_pass_two_falls_ten_to_fourteen_days_later():
    tree = replace(PINE, last_done={"DECANDLE": d("2026-06-08")})
    found = jobs(season(tree, today="2026-06-10"), "DECANDLE")
    assert [(job.occurrence, job.opens, job.closes) for job in found] == [
        (2, d("2026-06-18"), d("2026-06-22"))
    ]


def test_both_passes_logged_leave_nothing():
    logged = last_days((Done("DECANDLE", d("2026-06-08")), Done("DECANDLE", d("2026-06-20"), occurrence=2)))
    assert logged == {"DECANDLE": d("2026-06-08"), "DECANDLE:2": d("2026-06-20")}
    assert jobs(season(replace(PINE, last_done=logged), today="2026-06-10"), "DECANDLE") == []


def test_small_pines_are_cut_later():
    assert jobs(season(replace(PINE, height_cm=18)), "DECANDLE")[0].opens == d("2026-06-24")


def test_a_repot_is_due_by_the_middle_of_the_repotting_table():
    # Pine in refinement 3 to 5 years: 4. From 10 March 2022 to 10 March 2026: inside 5 March to 15 April.
    tree = replace(PINE, last_done={"REPOT": d("2022-03-10")})
    assert [job.season_year for job in jobs(season(tree), "REPOT")] == [2026]
    assert jobs(season(replace(PINE, last_done={"REPOT": d("2023-03-10")})), "REPOT") == []


def test_a_repot_a_few_weeks_late_last_time_does_not_slip_a_whole_year():
    # 4 years from 1 June 2022 is 1 June 2026, 47 days after the window closes; up to 90 count.
    tree = replace(PINE, last_done={"REPOT": d("2022-06-01")})
    assert len(jobs(season(tree), "REPOT")) == 1


def test_work_logged_inside_a_window_of_a_whole_year_is_not_due_again_in_it():
    # A club's own row, all year round, every year: 1 year from 5 January is just past the window's end.
    every = Repeat.parse("1y")
    row = ProgrammeRow("own", "G01", "GRAFT", MonthDay(1, 1), MonthDay(12, 31), "F", every, "C", own=True)
    for logged, left in [("2026-01-05", 0), ("2025-12-05", 1)]:
        tree = replace(PINE, last_done={"GRAFT": d(logged)})
        assert len(jobs(season(tree, rows=(row,)), "GRAFT")) == left, logged


def test_an_overdue_repot_comes_again_every_season():
    tree = replace(PINE, last_done={"REPOT": d("2018-03-10")})
    found = jobs(season(tree, until="2028-01-01"), "REPOT")
    assert [job.season_year for job in found] == [2026, 2027]


def test_a_larger_pot_given_in_the_window_stands_in_for_the_repot():
    tree = replace(PINE, last_done={"REPOT": d("2022-03-10"), "UP_POT": d("2026-03-20")})
    assert jobs(season(tree, today="2026-03-25"), "REPOT") == []


def test_an_unknown_last_time_is_a_question_that_weighs_one_part_of_the_interval():
    found = season(PINE)
    asked = {question.task: question for question in found.questions if question.season_year == 2026}
    # REPOT 4 years from the repotting table; fine wiring 2 to 3 years.
    assert asked["REPOT"].weight == pytest.approx(1 / 4)
    assert asked["WIRE_DETAIL"].weight == pytest.approx(1 / 2.5)
    assert asked["REPOT"].window.opens == d("2026-03-05")
    assert jobs(found, "REPOT") == []


def test_pinching_makes_one_job_for_each_repeat():
    # Spruce: 1 May to 5 June every 7 days: 1, 8, 15, 22, 29 May and 5 June.
    found = jobs(season(TreeInput(2, "G05", "F")), "PINCH")
    assert [job.opens for job in found] == [d("2026-05-01") + timedelta(days=7 * step) for step in range(6)]
    assert [job.occurrence for job in found] == [1, 2, 3, 4, 5, 6]
    assert found[-1].closes == d("2026-06-05")


def test_a_repeat_that_is_logged_is_not_asked_for_again():
    tree = TreeInput(2, "G05", "F", last_done={"PINCH": d("2026-05-16")})
    found = jobs(season(tree, today="2026-05-16"), "PINCH")
    assert [job.occurrence for job in found] == [4, 5, 6]


def test_three_feeds_come_before_decandling_four_weeks_apart():
    # Bonsai Society of Victoria, Pine Information, July 2020: at least three feeds four weeks apart.
    found = [each.on for each in rounds(season(PINE, until="2026-05-31"), "FEED_START")]
    assert found == [d("2026-03-01"), d("2026-03-29"), d("2026-04-26"), d("2026-05-24")]


def test_stress_free_repeats_are_rounds_of_a_bench_never_jobs():
    trees = [replace(PINE, id=number, bench=bench) for number, bench in [(1, 4), (2, 4), (3, 5), (4, None)]]
    found = season(*trees, today="2026-04-01", until="2026-04-01")
    assert [(each.bench, each.trees) for each in rounds(found, "PEST")] == [
        (None, (4,)),
        (4, (1, 2)),
        (5, (3,)),
    ]
    assert jobs(found, "PEST") == []


def test_trees_of_two_groups_share_a_round_on_the_same_day():
    found = season(PINE, TreeInput(2, "G02", "F", bench=4), today="2026-04-01", until="2026-04-01")
    pest = rounds(found, "PEST")
    assert [(each.row_keys, each.trees) for each in pest] == [(("G01-PEST-0401", "G02-PEST-0401"), (1, 2))]


def test_looks_at_wire_take_in_only_trees_with_wire():
    wired = replace(PINE, id=2, has_wire=True)
    found = rounds(season(PINE, wired, today="2026-05-01", until="2026-06-15"), "WIRE_CHECK")
    # Every 21 days from 1 May.
    assert [(each.on, each.trees) for each in found] == [
        (d("2026-05-01"), (2,)),
        (d("2026-05-22"), (2,)),
        (d("2026-06-12"), (2,)),
    ]


def test_the_winter_look_at_guys_and_pots_takes_in_every_tree():
    found = rounds(season(PINE, today="2026-12-01", until="2026-12-31"), "WIRE_CHECK")
    assert [each.on for each in found] == [d("2026-12-01"), d("2026-12-15"), d("2026-12-29")]


def test_shelter_and_stocktake_are_one_round_dated_when_the_window_opens():
    found = season(PINE, today="2026-11-25", until="2026-12-31")
    assert [(each.on, each.closes) for each in rounds(found, "PROTECT")] == [
        (d("2026-11-15"), d("2027-03-15"))
    ]
    assert [each.on for each in rounds(found, "RECORD")] == [d("2026-11-15")]


def test_the_last_day_of_a_feeding_window_takes_the_feed_off():
    found = rounds(season(TreeInput(3, "G03", "B", bench=4)), "FEED_STOP")
    assert [(each.on, each.row_keys) for each in found] == [(d("2026-10-31"), ("G03-FEED_START-0401",))]


def test_a_refined_pine_has_one_early_stop_and_a_raw_pine_stops_with_its_feeding():
    refined = [each.on for each in rounds(season(PINE), "FEED_STOP")]
    raw = [each.on for each in rounds(season(replace(PINE, stage="R")), "FEED_STOP")]
    assert refined == [d("2026-05-25"), d("2026-11-15")]
    assert raw == [d("2026-05-31"), d("2026-11-15")]


def test_a_weak_tree_gets_water_light_pest_and_shelter_and_is_looked_at():
    found = season(replace(PINE, weak=True, has_wire=True))
    assert found.jobs == ()
    assert found.questions == ()
    assert {each.task for each in found.rounds} == {"PEST", "PROTECT", "WIRE_CHECK", "RECORD"}


def test_a_tree_from_the_wild_is_not_decandled():
    assert jobs(season(replace(PINE, collected=True)), "DECANDLE") == []


def test_the_clubs_own_chores_belong_to_no_tree():
    found = season(today="2026-11-25", until="2026-12-31")
    assert [(chore.row_key, chore.opens, chore.closes) for chore in found.chores] == [
        ("ALL-KIT", d("2026-12-01"), d("2027-01-31"))
    ]


def test_windows_that_closed_before_today_or_open_later_are_left_out():
    assert jobs(season(PINE, today="2026-06-01"), "CANDLE_BREAK") == []
    assert len(jobs(season(PINE, today="2026-05-31"), "CANDLE_BREAK")) == 1
    assert jobs(season(PINE, until="2026-04-19"), "CANDLE_BREAK") == []
    assert len(jobs(season(PINE, until="2026-04-20"), "CANDLE_BREAK")) == 1


def test_a_tree_that_came_after_the_window_has_no_job_of_it():
    came = replace(PINE, created=d("2026-06-01"))
    assert jobs(season(came), "CANDLE_BREAK") == []
    assert len(jobs(season(replace(PINE, created=d("2026-05-31"))), "CANDLE_BREAK")) == 1


def test_a_batch_counts_as_its_trees():
    found = season(replace(PINE, count=12), replace(PINE, id=2), today="2026-04-01", until="2026-04-30")
    assert rounds(found, "PEST")[0].count == 13
    assert [job.count for job in jobs(found, "CANDLE_BREAK")] == [12, 1]


def test_a_tree_sign_opens_its_own_trees_window_early():
    early = replace(PINE, last_done={"REPOT": d("2022-03-10")}, signs={"buds_swelling": d("2026-02-25")})
    late = replace(early, id=2, signs={})
    found = jobs(season(early, late), "REPOT")
    assert [(job.tree, job.opens) for job in found] == [(1, d("2026-02-25")), (2, d("2026-03-05"))]


def test_a_row_held_for_its_sign_makes_nothing_until_the_sign_is_seen():
    held = [replace(row, wait_for_sign=True) if row.key == "G01-REPOT-0305" else row for row in ROWS]
    tree = replace(PINE, last_done={"REPOT": d("2022-03-10")})
    assert jobs(season(tree, rows=held), "REPOT") == []
    seen = replace(tree, signs={"buds_swelling": d("2026-03-20")})
    assert [job.opens for job in jobs(season(seen, rows=held), "REPOT")] == [d("2026-03-20")]


def test_near_the_equator_a_season_without_signs_is_empty():
    fig = TreeInput(1, "G14", "F", bench=1, last_done={"REPOT": d("2020-06-01")}, has_wire=True)
    tropics = Climate(-6, None, None)
    empty = season(fig, climate=tropics)
    assert (empty.jobs, empty.rounds, empty.questions) == ((), (), ())
    # Baseline 20 May is 20 November in the south; figs: nights above 15 °C.
    warm = replace(fig, signs={"nights_above_15": d("2026-10-01")})
    assert [job.opens for job in jobs(season(warm, climate=tropics), "REPOT")] == [d("2026-10-01")]


def test_a_southern_club_cuts_candles_in_december():
    south = Climate(-35, MonthDay(10, 25), MonthDay(4, 25))
    found = jobs(season(PINE, climate=south), "DECANDLE")
    # 1 to 15 June flipped.
    assert (found[0].opens, found[0].closes) == (d("2026-12-01"), d("2026-12-15"))


def test_the_worked_year_of_a_black_pine_falls_inside_its_windows():
    # Derived from the order rules: every day of the chain lies in a window of its task.
    chain = [
        ("CANDLE_BREAK", "2026-05-10"),
        ("DECANDLE", "2026-06-08"),
        ("DECANDLE", "2026-06-20"),
        ("BUD_SELECT", "2026-11-01"),
        ("NEEDLE_PLUCK", "2026-11-01"),
    ]
    found = season(PINE)
    for task, on in chain:
        assert any(job.opens <= d(on) <= job.closes for job in jobs(found, task)), task
    logged = replace(PINE, last_done={"WIRE_DETAIL": d("2024-05-01")})
    assert any(job.opens <= d("2026-11-08") <= job.closes for job in jobs(season(logged), "WIRE_DETAIL"))


@pytest.mark.parametrize(
    ("trees", "rows", "until", "says"),
    [
        ((PINE, PINE), ROWS, "2026-12-31", "same number"),
        ((PINE,), (ROWS[0], ROWS[0]), "2026-12-31", "same key"),
        ((PINE,), ROWS, "2025-12-31", "before the first day"),
        (
            (PINE,),
            (
                ProgrammeRow(
                    "x", "G01", "JUGGLE", MonthDay(1, 1), MonthDay(2, 1), "F", Repeat.parse("y"), "W"
                ),
            ),
            "2026-12-31",
            "no task",
        ),
    ],
    ids=["trees twice", "rows twice", "days", "task"],
)
def test_input_that_makes_no_sense_is_refused(trees, rows, until, says):
    with pytest.raises(ValueError, match=says):
        due(trees, rows, BASELINE, today=d("2026-01-01"), until=d(until))


@pytest.mark.parametrize("more", [{"stage": "X"}, {"stage": "RB"}, {"count": 0}, {"height_cm": 0}])
def test_a_tree_that_makes_no_sense_is_refused(more):
    with pytest.raises(ValueError, match="tree 1"):
        replace(PINE, **more)


TASKS = sorted({row.task for row in ROWS if row.task})
DAYS = st.dates(date(2023, 1, 1), date(2023, 12, 31)).map(MonthDay.of)
CLIMATES = st.builds(
    Climate,
    st.floats(-60, 60),
    st.none() | DAYS,
    st.none() | DAYS,
    st.dictionaries(st.sampled_from("WGADC"), st.integers(-4, 4)),
)
TREES = st.lists(
    st.builds(
        TreeInput,
        st.integers(1, 50),
        st.sampled_from(sorted(reference.groups())),
        st.sampled_from("RBFS"),
        st.none() | st.floats(5, 120),
        st.none() | st.integers(1, 2),
        st.dictionaries(st.sampled_from(TASKS), st.dates(date(2022, 1, 1), date(2026, 12, 31))),
        st.booleans(),
        st.booleans(),
        st.booleans(),
    ),
    max_size=4,
    unique_by=lambda tree: tree.id,
)


@settings(max_examples=60, deadline=None)
@given(TREES, CLIMATES, st.dates(date(2026, 1, 1), date(2027, 12, 31)), st.integers(0, 400))
def test_the_same_season_twice_is_equal_and_has_no_doubles(trees, climate, today, days):
    until = today + timedelta(days=days)
    found = due(trees, ROWS, climate, today=today, until=until)
    assert due(list(reversed(trees)), tuple(reversed(ROWS)), climate, today=today, until=until) == found
    for keys in ([job.key for job in found.jobs], [each.key for each in found.rounds]):
        assert len(keys) == len(set(keys))
    for job in found.jobs:
        assert job.opens <= until
        assert job.closes >= today
    assert all(each.on <= until and each.closes >= today for each in found.rounds)


@settings(max_examples=30, deadline=None)
@given(TREES, CLIMATES, st.dates(date(2026, 1, 1), date(2026, 12, 31)), st.integers(1, 60))
def test_looking_again_later_names_the_same_jobs_with_the_same_days(trees, climate, today, days):
    until = date(2027, 6, 30)
    before = {job.key: job for job in due(trees, ROWS, climate, today=today, until=until).jobs}
    later = today + timedelta(days=days)
    after = {job.key: job for job in due(trees, ROWS, climate, today=later, until=until).jobs}
    assert after == {key: job for key, job in before.items() if job.closes >= later}
