"""The labour sum: lines, totals, ranges, wiring known from two sides, sittings, crew and refusals."""

from __future__ import annotations

import json
import math
from dataclasses import asdict, replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.craft.labour import estimate, estimate_together, total
from collection.craft.labour_lines import NEVER_SPLIT
from collection.craft.labour_reference import SKILLS, Pace, log_moments, reference_paces
from collection.craft.labour_types import NO_SET_UP, Estimate, EstimateRequest, Line, SetUps
from collection.craft.quantities import KINDS, Amount


def counted(**counts: float) -> dict[str, Amount]:
    return {kind: Amount(value) for kind, value in counts.items()}


def codes(found: Estimate) -> set[str]:
    return {note.code for note in found.notes}


# --- the sum is its lines ---------------------------------------------------------------------


def by_hand(line: Line, per_unit: float) -> float:
    people = line.crew if line.together else 1
    return line.amount / line.per * per_unit * line.multiplier * people


@pytest.mark.parametrize("task", KINDS)
@pytest.mark.parametrize("skill", SKILLS)
def test_the_total_of_every_task_is_the_sum_of_its_lines(task: str, skill: str):
    found = estimate(EstimateRequest(task, skill=skill, group="G01", stage="F", height_cm=95))
    assert found.low_min == pytest.approx(sum(by_hand(line, line.low_per) for line in found.lines))
    assert found.likely_min == pytest.approx(sum(by_hand(line, line.likely_per) for line in found.lines))
    assert found.high_min == pytest.approx(sum(by_hand(line, line.high_per) for line in found.lines))
    mean = (found.low_min + 4 * found.likely_min + found.high_min) / 6
    assert found.mean_min == found.labour_min == pytest.approx(mean)
    spread = math.hypot(*(by_hand(x, x.high_per - x.low_per) / 6 for x in found.lines))
    assert found.sd_min == pytest.approx(spread)
    assert 0 < found.low_min <= found.likely_min <= found.high_min


@pytest.mark.parametrize("task", KINDS)
def test_putting_the_lines_at_another_skill_gives_that_skills_estimate(task: str):
    conditions = frozenset({"neglect_1", "weather"})
    plain = estimate(EstimateRequest(task, set_ups=NO_SET_UP, circumstances=frozenset({"steps"})))
    again = total(plain.lines, "expert", conditions | {"tall"})
    fresh = EstimateRequest(task, skill="expert", conditions=conditions, set_ups=NO_SET_UP)
    direct = estimate(replace(fresh, circumstances=frozenset({"steps"})))
    assert again.mean_min == pytest.approx(direct.mean_min)
    assert again.sd_min == pytest.approx(direct.sd_min)


def test_every_line_says_where_it_comes_from():
    on = date(2027, 5, 2)
    request = EstimateRequest("DECANDLE", {"cut_sites": Amount(200, "last_year", on)}, group="G01")
    line, *set_ups = estimate(request).lines
    assert (line.code, line.amount, line.origin, line.on) == ("DECANDLE/cut_sites", 200, "last_year", on)
    assert "Needle work" in line.source
    assert {each.code for each in set_ups} == {
        "SETUP/bench",
        "SETUP/clean_down",
        "SETUP/disinfect",
        "SETUP/record",
    }
    assert all(each.label for each in (line, *set_ups))


def test_lines_kept_as_json_give_the_same_total():
    counts = {"primary": Amount(8, on=date(2027, 5, 2)), "wire_thick_m": Amount(10)}
    found = estimate(EstimateRequest("WIRE_STRUCT", counts, conditions=frozenset({"weather"})))
    kept = json.dumps([asdict(line) for line in found.lines], default=_plain)
    again = [Line.from_json(line) for line in json.loads(kept)]
    assert again == list(found.lines)
    assert total(again).mean_min == found.mean_min


def _plain(value: object) -> object:
    return sorted(value) if isinstance(value, frozenset) else str(value)


def test_nothing_to_do_takes_no_time_and_has_no_range():
    found = estimate(EstimateRequest("DECANDLE", counted(cut_sites=0), set_ups=NO_SET_UP))
    assert (found.mean_min, found.cautious_min, found.range80_min) == (0, 0, (0, 0))


# --- ranges -----------------------------------------------------------------------------------


def test_the_shared_spread_is_the_mean_of_the_two_printed_skill_ranges_read_as_four_in_five():
    # (ln(2.5 / 1.5) + ln(0.9 / 0.6)) / 2 = 0.4581; / (2 x 1.28155) = 0.17874: assumption
    assert reference_paces().shared_log_sd == pytest.approx(0.17874, abs=1e-5)


def test_the_range_and_the_cautious_figure_come_from_mean_and_spread_of_log_minutes():
    found = estimate(EstimateRequest("DECANDLE", counted(cut_sites=500), set_ups=NO_SET_UP))
    # own spread: 25 / 108.333 -> ln(1 + 0.05325) = 0.05188; with 0.17874^2 = 0.03195: root 0.28954
    assert found.log_sd == pytest.approx(0.28954, abs=1e-5)
    assert found.log_mean == pytest.approx(math.log(108.33333) - 0.28954**2 / 2, abs=1e-5)
    low, high = found.range80_min
    assert math.log(high / low) == pytest.approx(2 * 1.2815516 * found.log_sd)
    assert math.log(found.cautious_min) == pytest.approx(found.log_mean + 0.84 * found.log_sd)


def test_many_lines_do_not_make_a_year_falsely_certain():
    # Forty independent lines would shrink the spread by the root of forty; the shared term stays.
    year = [EstimateRequest("DECANDLE", counted(cut_sites=500), set_ups=NO_SET_UP)] * 40
    assert estimate_together(year).log_sd > reference_paces().shared_log_sd


def test_a_pace_is_turned_once_into_mean_and_spread_of_log_minutes():
    pace = next(row for row in reference_paces().paces if row.key == "DECANDLE/cut_sites")
    assert pace.log_min == pytest.approx(log_moments(0.65 / 3, 0.05))


# --- more never takes less --------------------------------------------------------------------

amounts = st.floats(min_value=0.5, max_value=2000, allow_nan=False)
WIRE_KINDS = {
    "WIRE_STRUCT": ("primary", "wire_thick_m"),
    "WIRE_DETAIL": ("secondary", "fine", "wire_thin_m"),
    "WIRE_OFF": ("primary", "secondary", "fine", "wire_thick_m", "wire_thin_m"),
}


def figures(found: Estimate) -> tuple[float, ...]:
    sums = (found.low_min, found.likely_min, found.high_min, found.mean_min, found.elapsed_min)
    return (*sums, *found.range80_min, found.cautious_min)


@settings(deadline=None, max_examples=150)
@given(st.data())
def test_more_branches_or_more_wire_never_give_fewer_minutes(data: st.DataObject):
    task = data.draw(st.sampled_from(sorted(WIRE_KINDS)))
    kinds = data.draw(st.lists(st.sampled_from(WIRE_KINDS[task]), min_size=1, unique=True))
    counts = {kind: data.draw(amounts) for kind in kinds}
    grown = data.draw(st.sampled_from(kinds))
    more = counts | {grown: counts[grown] + data.draw(amounts)}
    skill = data.draw(st.sampled_from(SKILLS))
    before = figures(estimate(EstimateRequest(task, counted(**counts), skill=skill)))
    after = figures(estimate(EstimateRequest(task, counted(**more), skill=skill)))
    assert all(b <= a * (1 + 1e-9) for b, a in zip(before, after, strict=True))


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(sorted(WIRE_KINDS)), st.sampled_from("RBFS"), amounts, amounts, amounts)
def test_a_larger_bare_total_never_gives_fewer_minutes(task, stage, branches, extra, metres):
    def minutes(count: float, length: float) -> tuple[float, ...]:
        request = EstimateRequest(task, stage=stage, branch_total=Amount(count), wire_total_m=Amount(length))
        return figures(estimate(request))

    plain, wider, longer = (
        minutes(branches, metres),
        minutes(branches + extra, metres),
        minutes(branches, metres + extra),
    )
    assert all(b <= a * (1 + 1e-9) for b, a in zip(plain, wider, strict=True))
    assert all(b <= a * (1 + 1e-9) for b, a in zip(plain, longer, strict=True))


@settings(deadline=None, max_examples=60)
@given(st.floats(0.1, 80), st.floats(0.1, 80))
def test_a_larger_pot_never_gives_fewer_minutes(one, other):
    small, large = sorted((one, other))
    before, after = (estimate(EstimateRequest("REPOT", pot_litres=pot)) for pot in (small, large))
    assert before.mean_min <= after.mean_min + 1e-9
    assert before.crew <= after.crew


# --- skill and conditions ---------------------------------------------------------------------


def test_conditions_multiply_and_stop_at_two_and_a_half():
    plain = EstimateRequest("PINCH", counted(shoots=100), set_ups=NO_SET_UP)
    base = estimate(plain).mean_min
    two = estimate(replace(plain, conditions=frozenset({"neglect_1", "weather"})))
    assert two.mean_min / base == pytest.approx(1.3 * 1.15)
    assert "labour_conditions_capped" not in codes(two)
    # 1.6 x 1.5 x 1.25 x 1.15 = 3.45
    every = frozenset({"neglect_2", "first_styling", "show_tree", "weather"})
    capped = estimate(replace(plain, conditions=every))
    assert capped.mean_min / base == pytest.approx(2.5)
    assert "labour_conditions_capped" in codes(capped)


def test_brittle_wood_slows_wiring_and_nothing_else():
    wiring = [estimate(EstimateRequest("WIRE_STRUCT", group=g, set_ups=NO_SET_UP)) for g in ("G03", "G10")]
    trimming = [estimate(EstimateRequest("TRIM", group=g, set_ups=NO_SET_UP)) for g in ("G03", "G10")]
    assert wiring[1].mean_min / wiring[0].mean_min == pytest.approx(1.2)
    assert trimming[1].mean_min == pytest.approx(trimming[0].mean_min)


def test_what_is_said_about_brittle_wood_wins_over_the_group():
    said = EstimateRequest("WIRE_STRUCT", group="G10", brittle=False, set_ups=NO_SET_UP)
    assert estimate(said).conditions == frozenset()


def test_a_tree_over_90_cm_takes_a_fifth_longer_and_its_wires_twice_as_long_to_look_at():
    def ratio(task: str) -> float:
        low, high = (EstimateRequest(task, height_cm=h, set_ups=NO_SET_UP) for h in (90, 91))
        return estimate(high).mean_min / estimate(low).mean_min

    assert ratio("PINCH") == pytest.approx(1.2)
    assert ratio("WIRE_CHECK") == pytest.approx(2.0)


# --- wiring from branches, metres or a bare total ---------------------------------------------


def wire(**known: object) -> Estimate:
    return estimate(EstimateRequest("WIRE_STRUCT", set_ups=NO_SET_UP, **known))  # type: ignore[arg-type]


def test_where_only_metres_are_known_the_metre_paces_serve():
    found = wire(wire_total_m=Amount(10))
    assert (found.low_min, found.likely_min, found.high_min) == (50, 90, 160)
    assert "labour_metres_only" in codes(found)


def test_branches_and_metres_are_averaged_as_logs_two_to_one_and_both_are_kept():
    # branches 8 x 10 = 80 min, wire 10 x 9 = 90 min: 80^(2/3) x 90^(1/3) = 83.203
    found = wire(quantities=counted(primary=8, wire_thick_m=10))
    assert found.likely_min == pytest.approx(83.203, abs=1e-3)
    assert {line.side: line.likely_min for line in found.lines} == {"branches": 80, "metres": 90}
    assert "labour_two_sides" in codes(found)
    assert total(found.lines).branches_min == 80


@pytest.mark.parametrize(("metres", "code"), [(13.3, "labour_two_sides"), (13.4, "labour_recount")])
def test_more_than_half_as_much_again_asks_for_a_recount(metres: float, code: str):
    # 80 min by branches; 13.3 m are 119.7 min (1.496 times), 13.4 m are 120.6 min (1.508 times)
    assert code in codes(wire(quantities=counted(primary=8, wire_thick_m=metres)))


def test_wire_without_branches_is_refused_rather_than_averaged_with_nothing():
    with pytest.raises(ValueError, match="leave empty"):
        wire(quantities=counted(primary=0, wire_thick_m=10))


def test_a_bare_total_is_split_by_the_stages_shares_and_says_so():
    # default tree of F: 8 primary, 32 secondary, 96 fine = 136
    request = EstimateRequest("WIRE_OFF", stage="F", branch_total=Amount(136), set_ups=NO_SET_UP)
    found = estimate(request)
    assert [line.amount for line in found.lines] == pytest.approx([8, 32, 96])
    assert {line.origin for line in found.lines} == {"split"}
    assert "labour_split_total" in codes(found)
    assert found.trust == "guess"


@pytest.mark.parametrize(
    ("task", "expected"),
    [("WIRE_STRUCT", {"primary": 128}), ("WIRE_DETAIL", {"secondary": 32, "fine": 96})],
)
def test_a_bare_total_is_of_the_branches_the_task_wires(task, expected):
    request = EstimateRequest(task, stage="F", branch_total=Amount(128), set_ups=NO_SET_UP)
    assert {line.kind: line.amount for line in estimate(request).lines} == pytest.approx(expected)


def test_detail_wiring_takes_its_own_branches_from_a_counted_tree():
    tree = counted(primary=8, secondary=30, fine=100, wire_thick_m=6)
    found = estimate(EstimateRequest("WIRE_DETAIL", tree, set_ups=NO_SET_UP))
    assert {line.kind for line in found.lines} == {"secondary", "fine"}
    assert "labour_wire_elsewhere" in codes(found)


# --- sittings and set-up ----------------------------------------------------------------------


def test_each_sitting_has_one_set_up_clean_down_disinfecting_and_record():
    # 900 shoots x 0.5 = 450 likely minutes; 450 / 195 = 2.3, so three sittings
    found = estimate(EstimateRequest("NEEDLE_PLUCK", counted(shoots=900)))
    assert found.sittings == 3
    assert [line.amount for line in found.lines if line.code.startswith("SETUP")] == [3, 3, 3, 3]
    assert "labour_carries_over" in codes(found)
    # 487.5 work + 3 x (15.833 + 15 + 3.167 + 5.167) = 605 min on the clock; 605 / 90 = 6.7
    assert found.elapsed_min == pytest.approx(605)
    assert found.stints == 7


def test_the_set_up_can_be_left_out_or_stated():
    request = EstimateRequest("DEFOL_FULL", counted(leaves=1500))
    assert len(estimate(replace(request, set_ups=NO_SET_UP)).lines) == 1
    stated = estimate(replace(request, set_ups=SetUps(bench=2)))
    assert stated.mean_min == pytest.approx(92.5 + 2 * (10 + 60 + 25) / 6)


def test_a_walk_along_the_bench_has_no_set_up():
    assert [line.code for line in estimate(EstimateRequest("PEST", counted(trees=30))).lines] == [
        "PEST/trees"
    ]


def test_a_spray_round_mixes_one_batch():
    # 30 trees x (0.5 + 4 + 2) / 6 + 20
    assert estimate(EstimateRequest("SPRAY", counted(trees=30))).mean_min == pytest.approx(52.5)


def test_a_first_styling_begins_with_one_design_study():
    conditions = frozenset({"first_styling"})
    both = [EstimateRequest(task, conditions=conditions) for task in ("PRUNE_STRUCT", "WIRE_STRUCT")]
    studies = [line for line in estimate_together(both).lines if line.code == "DESIGN/studies"]
    assert [line.mean_min for line in studies] == [(15 + 120 + 60) / 6]


@pytest.mark.parametrize("task", sorted(NEVER_SPLIT))
def test_work_that_cannot_wait_is_one_sitting(task: str):
    known = counted(guys=60, scions=60, layers=60, bend_mm=60, pot_litres=60)
    assert estimate(EstimateRequest(task, known)).sittings == 1


def test_two_people_share_the_work_of_a_heavy_repot_but_not_its_set_up_or_lifts():
    found = estimate(EstimateRequest("REPOT", pot_litres=10, mass_kg=20))
    # work 95 + mix 10 L x (3 + 20 + 8) / 60 = 5.167 + disinfect 3.167 + record 5.167, shared by two;
    # bench 15.833 + clean 15 + two lifts 20, spent by both
    shared, both = 95 + 5.1667 + 3.1667 + 5.1667, 15.8333 + 15 + 20
    assert found.crew == 2
    assert found.labour_min == pytest.approx(shared + 2 * both, abs=1e-3)
    assert found.elapsed_min == pytest.approx(shared / 2 + both, abs=1e-3)
    assert found.held_min == pytest.approx(20)


# --- trust and own paces ----------------------------------------------------------------------


def own_pace(logs: int) -> Pace:
    return Pace("DECANDLE/cut_sites", "DECANDLE", "cut_sites", 0.2, 0.3, 0.5, logs=logs, label="learned")


@pytest.mark.parametrize(("logs", "trust"), [(0, "guess"), (4, "guess"), (5, "estimate"), (20, "measured")])
def test_fewer_than_five_logs_is_a_guess(logs: int, trust: str):
    table = reference_paces().replaced([own_pace(logs)], shared_log_sd=0.1)
    found = estimate(EstimateRequest("DECANDLE", counted(cut_sites=100), set_ups=NO_SET_UP), table)
    assert found.trust == trust
    assert found.likely_min == pytest.approx(30)
    assert (found.shared_log_sd, found.shared_label) == (0.1, "learned")


def test_well_known_paces_on_guessed_counts_are_still_a_guess():
    table = reference_paces().replaced([own_pace(50)])
    assert estimate(EstimateRequest("DECANDLE", stage="F"), table).trust == "guess"


def test_replacing_one_pace_leaves_the_others_and_the_starting_table_alone():
    table = reference_paces().replaced([own_pace(9)])
    assert len(table.paces) == len(reference_paces().paces)
    assert reference_paces().of("DECANDLE")[0].logs == 0


# --- nonsense ---------------------------------------------------------------------------------
