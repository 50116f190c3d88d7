"""Edges of the rules where a small slip would go unseen by the cases of each rule."""

from __future__ import annotations

from collection.craft.rules import stress_tally
from tests.craft.asking import RULES, asked, d, done, tree


def test_a_plan_that_is_over_budget_by_itself_is_not_this_jobs_fault():
    # Two major jobs 31 days apart break the limit of one; the pruning before them adds nothing to that.
    planned = (done("HEAVY_BEND", "2026-10-01"), done("REPOT", "2026-11-01"))
    assert asked(tree("G07"), "PRUNE_STRUCT", "2026-02-01", "budget", planned=planned) == []


def test_a_weak_answer_noted_before_the_last_candle_cutting_no_longer_counts():
    facts = tree("G01", done("DECANDLE", "2025-06-08"), signs={"weak_response": d("2024-09-01")})
    assert asked(facts, "DECANDLE", "2026-06-10", "X7") == []


def test_repotting_never_belongs_to_a_styling_even_on_one_day():
    facts = tree("G07", done("REPOT", "2026-03-10"), done("PRUNE_STRUCT", "2026-03-10"))
    tally = stress_tally(facts, d("2026-03-10"), RULES)
    # 3 for the repot and 2 for the pruning.
    assert (tally.points, len(tally.events)) == (5, 2)
    alone = tree("G07", done("REPOT", "2026-03-10"))
    # Normal deciduous, 180 days.
    assert asked(alone, "PRUNE_STRUCT", "2026-03-10", "rest")[0].until == d("2026-09-06")


def test_wire_taken_off_before_the_new_wire_went_on_does_not_take_that_off():
    facts = tree("G07", done("WIRE_OFF", "2025-05-01"), done("WIRE_DETAIL", "2025-05-25"))
    assert len(asked(facts, "REPOT", "2026-03-01", "P11")) == 1
