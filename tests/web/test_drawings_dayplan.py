"""The day plan: people down, time across, people who work together next to each other."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.web.drawings.dayplan import Bar, Column, DayPlan, PersonRow, Step, draw_day, order_rows
from collection.web.drawings.shapes import Picture, Rect, Text, width_of
from tests.web.samples import PEOPLE, bars, day_plan

# The wide sheet: 924 units for the 240 minutes from 9:30 to 13:30, 72 units a row, head 36.
UNITS_PER_MIN = 924 / 240


def people(count: int) -> list[PersonRow]:
    return [PersonRow(f"Person {i}", "", 570, 810) for i in range(count)]


def job(*crew: int, starts: int = 600, ends: int = 700, key: str = "") -> Bar:
    return Bar(key, "2001.001", "Wiring", "", crew, starts, ends)


def drawn(count: int, *jobs: Bar) -> DayPlan:
    return draw_day(people(count), jobs, [], starts=570, ends=810)


def rects(picture: Picture, css: str) -> list[Rect]:
    return [s for s in picture.having(css) if isinstance(s, Rect)]


def words(picture: Picture) -> list[str]:
    return [s.words for s in picture.shapes if isinstance(s, Text)]


def test_a_bar_is_as_long_as_its_minutes() -> None:
    (bar,) = rects(drawn(1, job(0)).wide, "work")
    assert bar.x == pytest.approx(196 + 30 * UNITS_PER_MIN + 1.5)
    assert bar.w == pytest.approx(100 * UNITS_PER_MIN - 3)


def test_a_pair_job_is_one_bar_over_two_rows_with_a_bracket() -> None:
    picture = drawn(2, job(0, 1)).wide
    (bar,) = rects(picture, "pair")
    assert bar.h == pytest.approx(2 * 72 - 2 * 6)
    assert len(picture.having("prong")) == 1


def test_a_crew_of_three_gets_a_middle_prong() -> None:
    picture = drawn(3, job(0, 1, 2)).wide
    (bar,) = rects(picture, "pair")
    assert bar.h == pytest.approx(3 * 72 - 2 * 6)
    assert len(picture.having("prong")) == 2


def test_somebody_who_cannot_be_a_neighbour_gets_an_outline_joined_to_the_lead() -> None:
    # One person with three different partners: at most two of them can be neighbours.
    jobs = [job(0, p, starts=570 + 60 * p, ends=620 + 60 * p) for p in (1, 2, 3)]
    picture = drawn(4, *jobs).wide
    assert len(rects(picture, "pair")) == 3
    assert len(rects(picture, "ghost")) == 1
    assert len(picture.having("joint")) == 1
    assert "2001.001 with Person 0, Wiring" in " ".join(words(picture))


def test_a_learner_works_in_a_bar_joined_by_a_neck() -> None:
    picture = drawn(2, replace(job(0), beside=1)).wide
    assert len(rects(picture, "work")) == 2
    assert len(rects(picture, "neck")) == 1


def test_held_steps_are_the_only_dark_fill_and_lie_to_scale() -> None:
    held = sorted(r.w for r in rects(day_plan().wide, "held"))
    # 10:01 to 10:44 is 43 min, 10:26 to 11:49 is 83 min.
    assert held == [pytest.approx(43 * UNITS_PER_MIN), pytest.approx(83 * UNITS_PER_MIN)]


def test_a_held_step_says_who_does_what_or_nothing_by_halves() -> None:
    assert "Imke bends, Dilip turns the screw" in words(day_plan().wide)
    narrow = " ".join(words(day_plan().narrow))
    assert "Imke bends" not in narrow


def test_pairs_are_neighbours_in_the_sample() -> None:
    order = order_rows(len(PEOPLE), bars())
    row = {person: place for place, person in enumerate(order)}
    assert all(abs(row[a] - row[b]) == 1 for bar in bars() for a, b in pairwise(bar.everybody))


crews = st.lists(
    st.tuples(st.integers(0, 5), st.integers(0, 5)).filter(lambda pair: pair[0] != pair[1]), max_size=6
)


@given(crews)
def test_pairs_are_neighbours_whenever_an_order_for_it_exists(pairs: list[tuple[int, int]]) -> None:
    found = order_rows(6, [job(*pair) for pair in pairs])
    assert sorted(found) == list(range(6))

    def all_neighbours(order: tuple[int, ...]) -> bool:
        return all(abs(order.index(a) - order.index(b)) == 1 for a, b in pairs)

    if any(all_neighbours(order) for order in permutations(range(6))):
        assert all_neighbours(found)


def test_people_without_a_partner_keep_their_order() -> None:
    assert order_rows(4, [job(0, 2)]) == (0, 2, 1, 3)


def test_the_pair_with_most_minutes_together_stays_together() -> None:
    short = [job(0, p, starts=570, ends=580) for p in (1, 2)]
    order = order_rows(4, [*short, job(0, 3, starts=600, ends=700)])
    assert abs(order.index(0) - order.index(3)) == 1


def test_the_word_of_a_break_stands_where_no_bar_hides_it() -> None:
    # The bend runs on through tea in the two upper rows, so the word stands below them.
    (tea,) = [s for s in day_plan().wide.shapes if isinstance(s, Text) and s.words == "Tea" and s.upright]
    assert tea.y > 36 + 2 * 72


def test_a_break_covers_only_those_who_are_there() -> None:
    columns = [Column("Briefing", 570, 585)]
    late = [*people(2), PersonRow("Late", "", 630, 810)]
    (column,) = rects(draw_day(late, [], columns, starts=570, ends=810).wide, "column")
    assert column.h == pytest.approx(2 * 72)


def test_who_is_not_here_yet_or_any_more_is_written_in_the_row() -> None:
    assert {"comes at 10:30", "leaves at 12:30"} <= set(words(day_plan().wide))


def test_a_short_bar_carries_its_first_word_only() -> None:
    bar = Bar("a", "", "Winter cover", "lower bench", (0,), 600, 625)
    assert "Winter" in words(drawn(1, bar).wide)
    assert not any("cover" in w for w in words(drawn(1, bar).wide))


@pytest.mark.parametrize("picture", [day_plan().wide, day_plan().narrow], ids=lambda p: p.name)
def test_no_words_in_a_bar_run_out_of_the_sheet(picture: Picture) -> None:
    for label in picture.shapes:
        if isinstance(label, Text) and not label.upright:
            wide = sum(width_of(r.words, label.size, bold="b" in r.css) for r in label.runs)
            assert label.x + wide <= picture.width + 1, label.words


def test_the_drawing_says_what_it_shows() -> None:
    # Ten bars in the sample, the bend and the thick wire with two people.
    assert day_plan().description.startswith("8 people and 10 jobs, 2 of them for people together.")


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: PersonRow("Ana", "", 600, 600), "leaves before arriving"),
        (lambda: Step(600, 600, "Wrap"), "ends before it starts"),
        (lambda: Column("Tea", 600, 590), "ends before it starts"),
        (lambda: job(0, starts=600, ends=600), "ends before it starts"),
        (lambda: job(0, 0), "different people"),
        (lambda: replace(job(0), beside=0), "learner in its crew"),
        (lambda: drawn(1, job(1)), "not on the list"),
        (lambda: draw_day(people(1), [], [], starts=600, ends=600), "day ends before"),
    ],
)
def test_nonsense_is_refused_in_words(make: object, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        make()  # type: ignore[operator]
