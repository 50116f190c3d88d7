"""The reference tables, read again from their files and checked against what was published.

Counts were taken from the written table by a separate count, not by our loader. A digest pins labels,
sources and notes: whoever edits one has to mean it, and to change the digest here.
"""

from __future__ import annotations

import csv
import hashlib
import re
from collections import Counter

import pytest

from collection.craft import reference
from collection.craft.season import ANCHORS, MonthDay, Repeat
from collection.craft.tasks import FAMILIES, SKILL_LEVELS

WORDS = ("label", "source", "note")
# table: rows, digest over sorted label, source and note, digest over all columns
PINNED = {
    # 33 of the trade's tasks and one row of our own: the look-over after hard work
    "tasks": (34, "45ae331461ca3593", "f9bb60dbcb997ff9"),
    "groups": (15, "1ae081495019752b", "a6f544f156b0d82c"),
    "programme": (182, "93d405510b160b68", "4f98567f1f0477bd"),
    "prose_rows": (3, "a9d53b8eb47e82ea", "19b735b3c10a491f"),
    "generated_jobs": (8, "91136b8e430d5750", "c67180948b28097e"),
    "order_rules": (17, "d99a4074fe7c3ea4", "6179fda259b78964"),
    "clash_rules": (14, "b21e35478f595a76", "5a2eb25a3467037a"),
    "stress_budget": (4, "a8997d7f834cd26c", "6418354d6b642741"),
    "rest": (30, "8219716bacff7be5", "4329e067236607cd"),
    "repot_interval": (16, "d869f942c12811f2", "786c7e6e92a14193"),
    "tree_signs": (9, "89e03a79b260f1cc", "98512e6f4cacd59e"),
}
DAYS_GUESSED = "days are an assumption"
LABELS = {
    f"published; {DAYS_GUESSED}",
    f"common practice; {DAYS_GUESSED}",
    "common practice; stress points are an assumption",
    "published; split by column is an assumption",
    "common practice",
    "assumption",
    "assumption; root figure published",
}


def read(name: str) -> list[dict[str, str]]:
    """The file itself, past every cache."""
    with (reference.FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def digest(rows: list[dict[str, str]], columns: tuple[str, ...]) -> str:
    lines = sorted("|".join(row[column] for column in columns) for row in rows)
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()[:16]


@pytest.mark.parametrize("name", PINNED)
def test_no_row_is_lost_and_no_label_source_note_or_figure_changes_unseen(name):
    rows = read(name)
    count, words, everything = PINNED[name]
    assert len(rows) == count
    assert digest(rows, WORDS) == words
    assert digest(rows, tuple(rows[0])) == everything


@pytest.mark.parametrize("change", ["drop", "label", "note"])
def test_the_digest_sees_a_dropped_row_an_edited_label_and_an_edited_note(change):
    rows = read("programme")
    if change == "drop":
        rows.pop(40)
    else:
        rows[40] = {**rows[40], change: rows[40][change] + " "}
    assert digest(rows, WORDS) != PINNED["programme"][1]


@pytest.mark.parametrize("name", PINNED)
def test_every_row_of_every_table_has_a_known_label_and_a_source_in_words(name):
    for row in read(name):
        assert row["label"] in LABELS
        assert row["source"]
        assert not re.search(r"\[S\d|\[A\]|\[CP\]|\[M\]", "".join(row.values()))
        assert row["label"].startswith("published") == (
            "no source" not in row["source"] and not row["label"].startswith("assumption")
        )


def test_the_season_table_has_182_rows_and_three_fixed_rows_stand_beside_it():
    per_group = Counter(row["group"] for row in read("programme"))
    counted = [18, 14, 15, 12, 11, 10, 15, 11, 11, 10, 13, 11, 10, 11, 10]
    assert [per_group[f"G{number:02d}"] for number in range(1, 16)] == counted
    assert sum(counted) == 182
    assert [row["key"] for row in read("prose_rows")] == ["ALL-RECORD", "ALL-KIT", "ALL-WINTER_LOOK"]


def test_54_rows_are_published_128_common_practice_and_115_have_a_note():
    rows = read("programme")
    assert Counter(row["label"] for row in rows) == {
        f"published; {DAYS_GUESSED}": 54,
        f"common practice; {DAYS_GUESSED}": 128,
    }
    assert sum(bool(row["note"]) for row in rows) == 115


def test_rows_by_anchor_and_task_are_as_counted():
    rows = read("programme")
    assert Counter(row["anchor"] for row in rows) == {"W": 110, "A": 44, "G": 19, "C": 5, "D": 4}
    assert Counter(row["task"] for row in rows) == {
        "FEED_START": 18, "WIRE_DETAIL": 17, "PROTECT": 17, "REPOT": 15, "TRIM": 15, "PEST": 15,
        "PRUNE_STRUCT": 15, "WIRE_CHECK": 15, "HEAVY_BEND": 13, "GRAFT": 7, "PINCH": 6, "GUY": 4,
        "NEEDLE_PLUCK": 3, "DEADWOOD": 3, "WIRE_STRUCT": 3, "DEFOL_FULL": 3, "DEFOL_PART": 2,
        "FLOWER_THIN": 2, "TURN": 1, "DEADHEAD": 1, "DECANDLE": 1, "FEED_STOP": 1, "CANDLE_PINCH": 1,
        "BUD_SELECT": 1, "CANDLE_BREAK": 1, "LAYER": 1, "LIME": 1,
    }  # fmt: skip


def test_every_season_row_can_be_read():
    tasks = {row["code"] for row in read("tasks")}
    groups = {row["code"] for row in read("groups")}
    signs = {row["code"] for row in read("tree_signs")} | {""}
    for row in read("programme"):
        assert row["task"] in tasks
        assert row["group"] in groups
        assert row["stages"]
        assert row["stages"] in {"".join(s for s in "RBFS" if s in row["stages"])}
        assert row["anchor"] in ANCHORS
        assert row["sign"] in signs
        assert row["sign_use"] in ({"opens early", "hold only"} if row["sign"] else {""})
        assert MonthDay.parse(row["opens"]) != MonthDay.parse(row["closes"])
        assert Repeat.parse(row["every"])


def test_keys_are_stable_and_unique():
    rows = read("programme")
    assert len({row["key"] for row in rows}) == 182
    for row in rows:
        assert row["key"] == f"{row['group']}-{row['task']}-{row['opens'].replace('-', '')}"
    assert rows[4]["key"] == "G01-DECANDLE-0601"


def test_the_loader_gives_the_same_rows_as_the_files():
    assert [row.key for row in reference.programme()] == [row["key"] for row in read("programme")]
    # The stocktake has two windows in one row.
    assert [row.key for row in reference.fixed_rows()] == [
        "ALL-RECORD-1115",
        "ALL-RECORD-0620",
        "ALL-KIT",
        "ALL-WINTER_LOOK",
    ]
    assert set(reference.order_rules()) == {f"P{number}" for number in range(1, 18)}
    assert set(reference.clash_rules()) == {f"X{number}" for number in range(1, 15)}
    assert reference.programme() is reference.programme()


def test_an_unknown_table_group_or_stage_is_refused():
    with pytest.raises(ValueError, match="no reference table"):
        reference.table("weather")
    with pytest.raises(ValueError, match="no species group"):
        reference.repot_years("G99", "F")
    with pytest.raises(ValueError, match="one of R, B, F, S"):
        reference.repot_years("G01", "X")


def test_every_task_has_a_family_a_skill_level_and_a_crew():
    tasks = reference.tasks()
    assert {task.family for task in tasks.values()} == set(FAMILIES)
    assert {task.least_skill for task in tasks.values()} == set(SKILL_LEVELS)
    assert sorted(code for code, task in tasks.items() if task.stress == 3) == [
        "DECANDLE",
        "DEFOL_FULL",
        "HEAVY_BEND",
        "REPOT",
    ]
    assert [code for code, task in tasks.items() if task.people == 2 and not task.second_past_threshold] == [
        "HEAVY_BEND"
    ]
    assert [code for code, task in tasks.items() if task.needs_training] == ["SPRAY"]


def by_key(name: str, key: str) -> dict[str, str]:
    return next(row for row in read(name) if row["key"] == key)


def test_candles_are_cut_in_two_passes_ten_to_fourteen_days_apart():
    # Teaching nursery, San Francisco Bay Area: ten days; Cheshire Bonsai Society, How To Care For Pine
    # Bonsai: 12 to 14.
    rule = by_key("order_rules", "P3")
    assert (rule["min_days"], rule["max_days"], rule["level"]) == ("10", "14", "hard")
    assert "Cheshire Bonsai Society" in rule["source"]


def test_three_feeds_28_days_apart_take_56_days():
    # Bonsai Society of Victoria, Pine Information, July 2020.
    row, rule = by_key("programme", "G01-FEED_START-0301"), by_key("order_rules", "P1")
    assert row["every"] == "28d"
    assert int(rule["min_days"]) == (3 - 1) * 28
    assert row["source"] == rule["source"] == "Bonsai Society of Victoria, Pine Information, July 2020"


def test_needle_pairs_kept_at_candle_cutting():
    # Cheshire Bonsai Society, How To Care For Pine Bonsai: 10-12 on medium, 5-7 on strong areas.
    row = by_key("programme", "G01-NEEDLE_PLUCK-0601")
    assert row["source"] == "Cheshire Bonsai Society, How To Care For Pine Bonsai"
    assert {"10-12", "5-7"} == set(re.findall(r"\d+-\d+", row["note"]))


def test_a_kept_pine_branch_has_at_least_eight_to_ten_pairs():
    # Australian trade page on needle plucking.
    row = by_key("programme", "G01-NEEDLE_PLUCK-1015")
    assert "8-10 pairs on any kept branch [2]" in row["note"]
    assert "[2] Australian trade page on needle plucking" in row["source"]


def test_two_shoots_are_kept_per_tip_of_an_azalea():
    # Bay Area trade author, post-bloom care, 11 June 2021.
    row = by_key("programme", "G11-TRIM-0601")
    assert "two shoots per tip" in row["note"]
    assert row["source"] == "Bay Area trade author, post-bloom care, 11 June 2021"


def test_a_bend_is_moved_by_a_third_and_left_two_to_three_months():
    # Web log, Bending Branches, May 2007.
    rule = by_key("order_rules", "P17")
    assert (rule["min_days"], rule["max_days"], rule["source"]) == (
        "60",
        "90",
        "Web log, Bending Branches, May 2007",
    )
    assert "a third" in rule["note"]


def test_large_pines_are_cut_early_to_mid_june_and_small_ones_into_july():
    # Cheshire Bonsai Society, How To Care For Pine Bonsai.
    row = by_key("programme", "G01-DECANDLE-0601")
    spans = [(row[f"{size}_opens"], row[f"{size}_closes"]) for size in ("large", "medium", "small")]
    assert spans == [("06-01", "06-15"), ("06-15", "06-30"), ("06-24", "07-10")]


def test_feed_follows_a_repot_after_four_to_eight_weeks():
    # Buffalo Bonsai Society, satsuki notes: four to six weeks; the National Bonsai Society (UK), Bonsai
    # Calendar, has two to three: the longer is the lower limit here.
    rule = by_key("order_rules", "P15")
    assert (rule["min_days"], rule["max_days"]) == ("28", "56")


def test_repotting_intervals_agree_with_the_published_ones():
    # Salisbury bonsai society, The Bonsai Year: two years in training, three to five for old trees.
    # New York state practitioner's web log, Repotting Begins: ten years seen on old pines.
    rows = {(row["stage"], row["column"]): row for row in read("repot_interval")}
    assert int(rows["B", "other_deciduous"]["low_years"]) == 2
    assert (rows["S", "other_deciduous"]["low_years"], rows["S", "other_deciduous"]["high_years"]) == (
        "3",
        "5",
    )
    assert rows["S", "pine"]["high_years"] == "10"
    # Middle of 3 to 5.
    assert reference.repot_years("G01", "F") == pytest.approx(4)


def test_rest_grows_from_vigorous_trees_to_trees_from_the_wild():
    # UK handbook of bonsai basics, pages 53-54: short for a vigorous elm, years for a tree from the wild.
    rest = reference.rest_days()
    columns = ["vigorous", "normal_deciduous", "juniper_larch", "pine_spruce", "collected"]
    for job in ("PRUNE_STRUCT", "WIRE_STRUCT", "REPOT", "HEAVY_BEND"):
        days = [rest[job, column] for column in columns]
        assert days == sorted(days)
    assert [rest["REPOT", column] for column in columns] == [90, 180, 270, 365, 730]
    assert reference.never_done() == {("DECANDLE", "collected")}


def test_the_stress_budget_is_counted_over_330_days():
    assert {kind: (b.points, b.majors, b.window_days) for kind, b in reference.budgets().items()} == {
        "conifer": (5, 1, 330),
        "deciduous": (6, 1, 330),
        "fig_elm_trident": (9, 2, 330),
        "weak": (0, 0, 330),
    }
