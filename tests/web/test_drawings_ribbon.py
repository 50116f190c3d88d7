"""The season ribbon holds its hours."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest

from collection.web.drawings.ribbon import Spell, WeekLoad, WindowBar, draw_ribbon, short_spells
from collection.web.drawings.shapes import Path, Picture, Rect, Text, width_of
from tests.web.samples import MONDAY, ribbon, weeks, windows


def words(picture: Picture) -> list[str]:
    return [s.words for s in picture.shapes if isinstance(s, Text)]


def ends(path: Path) -> list[tuple[float, float]]:
    pairs = [p.split() for p in path.d.removeprefix("M").removesuffix("Z").split("L")]
    return [(float(x), float(y)) for x, y in pairs]


def extent(label: Text) -> tuple[float, float]:
    wide = sum(width_of(r.words, label.size, bold="b" in r.css.split()) for r in label.runs)
    left = {"start": label.x, "middle": label.x - wide / 2, "end": label.x - wide}[label.anchor]
    return left, left + wide


def test_the_hatched_area_is_exactly_the_hours_missing() -> None:
    # Weeks of 8, 15, 22 and 29 March: 29 + 34 + 31 + 28 = 122 h of work, 4 x 21 = 84 h offered, 38 missing.
    # The plot is 920 by 230 units for 26 weeks and 50 h.
    area = sum(s.w * s.h for s in ribbon().wide.having("missing-area") if isinstance(s, Rect))
    assert area / (920 / 26) / (230 / 50) == pytest.approx(38)


def test_the_dotted_area_is_the_cautious_figure_less_the_likely_one() -> None:
    area = sum(s.w * s.h for s in ribbon().wide.having("dots") if isinstance(s, Rect))
    wanted = sum(w.cautious_h - w.likely_h for w in weeks())
    assert area / (920 / 26) / (230 / 50) == pytest.approx(wanted)


def test_work_and_hours_offered_are_drawn_to_one_scale() -> None:
    picture = draw_ribbon([WeekLoad(MONDAY, 7, 7, 7, 0)], []).wide
    (load,), (offered,) = picture.having("load-edge"), picture.having("hours")
    assert isinstance(load, Path)
    assert isinstance(offered, Path)
    assert load.d == offered.d


def test_a_week_is_one_step_and_nothing_is_smoothed() -> None:
    (edge,) = ribbon().wide.having("load-edge")
    assert isinstance(edge, Path)
    corners = ends(edge)
    assert len(corners) == 2 * 26
    assert all(a[1] == b[1] for a, b in zip(corners[::2], corners[1::2], strict=True))


def test_short_weeks_in_a_row_are_one_spell() -> None:
    # Places 15 to 18 of the invented half year miss 8 + 13 + 10 + 7 = 38 h.
    assert short_spells(weeks()) == [Spell(15, 18, 38)]


def test_short_weeks_are_named_by_their_mondays() -> None:
    assert "Short: weeks of 8, 15, 22 and 29 March" in words(ribbon().wide)
    assert "122 h of work, 84 h offered: 38 h missing" in words(ribbon().wide)
    assert "38 h missing" in words(ribbon().narrow[0])


def test_weeks_over_the_end_of_a_month_name_both_months() -> None:
    load = weeks([0, 9, 9] + [0] * 23, [5] * 26)
    assert "Short: weeks of 30 November and 7 December" in words(draw_ribbon(load, []).wide)


def test_every_spell_has_a_bracket_and_the_worst_two_are_named() -> None:
    load = weeks([9, 0, 7, 0, 0, 8, 0, 6] + [0] * 18, [5] * 26)
    picture = draw_ribbon(load, []).wide
    assert len([s for s in picture.having("spell") if "thin" not in s.css]) == 4
    assert [w for w in words(picture) if w.startswith("Short")] == [
        "Short: week of 23 November",
        "Short: week of 28 December",
    ]
    assert "and 2 more, in the table" in words(picture)


def test_a_season_without_a_short_week_has_no_plum_on_it() -> None:
    picture = draw_ribbon(weeks([3] * 26, [5] * 26), []).wide
    assert not [s for s in picture.shapes if {"spell", "missing-area", "t-plum"} & set(s.css.split())]


def test_where_nobody_offered_hours_the_line_lies_on_the_base_and_says_so() -> None:
    drawn = draw_ribbon(weeks([3] * 26, [0] * 26), [])
    (line,), (load,) = drawn.wide.having("hours"), drawn.wide.having("load")
    assert isinstance(line, Path)
    assert isinstance(load, Path)
    assert {y for _, y in ends(line)} == {ends(load)[0][1]}
    assert "No hours offered yet" in words(drawn.wide)
    assert "no hours offered yet" in words(drawn.narrow[0])


def test_a_year_is_one_strip_on_a_wide_sheet_and_two_on_a_phone() -> None:
    drawn = draw_ribbon(weeks([3] * 52, [5] * 52), windows())
    assert len(drawn.narrow) == 2
    assert len({p.name for p in (drawn.wide, *drawn.narrow)}) == 3


def test_windows_that_close_soon_come_first_and_say_when() -> None:
    labels = [
        w for w in words(ribbon().wide) if ": " in w and not w.startswith("Short") and " h offered" not in w
    ]
    assert labels[0].endswith("closes 30 Nov")
    assert labels[1].endswith("closes 30 Nov")
    assert labels[2] == "Black pine: buds and needles 9 trees, 61 h"


def test_a_window_is_open_ended_where_it_runs_on_past_the_sheet() -> None:
    opens_before = WindowBar("Elm: trim", "", MONDAY - timedelta(days=9), MONDAY + timedelta(days=40))
    closes_after = WindowBar("Elm: wire", "", MONDAY + timedelta(days=40), MONDAY + timedelta(days=400))
    first, second = (draw_ribbon(weeks(), [w]).wide for w in (opens_before, closes_after))
    assert (len(first.having("window-start")), len(first.having("window-end"))) == (0, 1)
    assert (len(second.having("window-start")), len(second.having("window-end"))) == (1, 0)


def test_eight_windows_are_drawn_and_the_rest_counted() -> None:
    many = [WindowBar(f"Kind {i}: trim", "", MONDAY, MONDAY + timedelta(days=60 + i)) for i in range(17)]
    picture = draw_ribbon(weeks(), many).wide
    assert len(picture.having("window")) == 8
    assert "9 more, in the table" in words(picture)


def test_a_window_that_never_touches_these_weeks_is_not_drawn() -> None:
    past = WindowBar("Elm: trim", "", date(2026, 1, 1), date(2026, 2, 1))
    assert not draw_ribbon(weeks(), [past]).wide.having("window")


@pytest.mark.parametrize("picture", [ribbon().wide, *ribbon().narrow], ids=lambda p: p.name)
def test_no_label_leaves_the_sheet(picture: Picture) -> None:
    for label in picture.shapes:
        if isinstance(label, Text):
            left, right = extent(label)
            assert left >= -1, label.words
            assert right <= picture.width + 1, label.words


def test_labels_at_the_right_do_not_touch() -> None:
    wanted = ("Hours offered", "Likely work", "Cautious, 8 in 10")
    ys = sorted(s.y for s in ribbon().wide.shapes if isinstance(s, Text) and s.words in wanted)
    assert len(ys) == 3
    assert all(b - a >= 21.9 for a, b in pairwise(ys))


def test_a_week_that_does_not_start_on_monday_is_refused() -> None:
    with pytest.raises(ValueError, match="not a Monday"):
        WeekLoad(date(2026, 11, 24), 1, 1, 1, 0)


def test_hours_below_nought_are_refused() -> None:
    with pytest.raises(ValueError, match="below nought"):
        WeekLoad(MONDAY, -1, 1, 1, 0)


def test_a_window_that_closes_before_it_opens_is_refused() -> None:
    with pytest.raises(ValueError, match="swap its dates"):
        WindowBar("Elm", "", date(2026, 2, 1), date(2026, 1, 1))


def test_weeks_with_a_gap_are_refused() -> None:
    with pytest.raises(ValueError, match="follow each other"):
        draw_ribbon([weeks()[0], weeks()[2]], [])


def test_no_weeks_at_all_are_refused() -> None:
    with pytest.raises(ValueError, match="one week at least"):
        draw_ribbon([], [])
