"""The front view of a tree."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.web.drawings.shapes import Path, Picture, Text
from collection.web.drawings.tree import BranchMark, GuyMark, draw_tree
from collection.web.drawings.tree_labels import GAP, Label, settled
from tests.web.samples import branches, tree_view


def wide(*marks: BranchMark, guys: tuple[GuyMark, ...] = ()) -> Picture:
    view = draw_tree("2001.001", marks, guys)
    assert view is not None
    return view.wide


def words(picture: Picture) -> list[str]:
    return [s.words for s in picture.shapes if isinstance(s, Text)]


def strokes(picture: Picture, css: str) -> int:
    return sum(s.d.count("M") for s in picture.having(css) if isinstance(s, Path))


def test_a_tree_nobody_has_drawn_has_no_front_view() -> None:
    assert draw_tree("2001.001", []) is None


def test_a_line_grows_with_the_branch() -> None:
    picture = wide(BranchMark("B1", "Lower left", 9, 0.3, 22))
    (limb,) = [s for s in picture.having("limb") if isinstance(s, Path) and "foot" not in s.css]
    assert limb.width == pytest.approx(0.42 * 22 + 1)


def test_only_a_wired_branch_has_a_coil_with_paper_between() -> None:
    picture = wide(
        BranchMark("B1", "Left", 9, 0.3, 20, wire="3 mm aluminium, 1.1 m"),
        BranchMark("B2", "Right", 3, 0.5, 20),
    )
    assert len(picture.having("coil")) == 1
    assert strokes(picture, "coil-gap") == strokes(picture, "coil") > 10


def test_a_branch_says_its_wire_and_look_date_or_that_it_is_not_wired() -> None:
    said = words(tree_view().wide)  # type: ignore[union-attr]
    assert "B1 Lower left, 22 mm" in said
    assert {"3 mm aluminium, 1.1 m", "look 6 August", "not wired yet", "4 side branches"} <= set(said)


@pytest.mark.parametrize(("count", "lines", "figure"), [(0, 0, False), (6, 6, False), (9, 6, True)])
def test_side_branches_are_lines_up_to_six_then_a_figure(count: int, lines: int, figure: bool) -> None:
    picture = wide(BranchMark("B1", "Left", 9, 0.3, 20, side_branches=count))
    assert strokes(picture, "twig") == lines
    assert (str(count) in words(picture)) is figure


def test_the_clock_gives_the_side() -> None:
    for clock, anchor in ((3, "start"), (9, "end"), (2, "start"), (10, "end")):
        picture = wide(BranchMark("B1", "Branch", clock, 0.5, 10))
        (label,) = [s for s in picture.shapes if isinstance(s, Text) and s.words.startswith("B1")]
        assert label.anchor == anchor, clock


def test_a_branch_at_the_back_is_dashed_and_says_behind() -> None:
    picture = wide(BranchMark("B1", "Back", 12, 0.5, 10))
    assert len(picture.having("behind")) == 1
    assert "B1 Back, 10 mm, behind" in words(picture)


def test_a_higher_branch_is_drawn_higher() -> None:
    picture = wide(BranchMark("B1", "Low", 9, 0.2, 10), BranchMark("B2", "High", 3, 0.8, 10))
    heights = {
        s.words[:2]: s.y for s in picture.shapes if isinstance(s, Text) and s.words[:2] in ("B1", "B2")
    }
    assert heights["B2"] < heights["B1"]


def test_a_guy_goes_to_the_pot_with_a_small_box_and_needs_its_branch() -> None:
    guy = GuyMark("B1", "Guy wire, 1 mm copper, to the pot rim")
    branch = BranchMark("B1", "Low", 9, 0.2, 10)
    assert len(wide(branch, guys=(guy,)).having("guy-box")) == 1
    assert not wide(branch, guys=(GuyMark("B7", "Guy wire"),)).having("guy-box")


def test_branches_without_any_measure_are_spread_up_both_sides() -> None:
    picture = wide(*(BranchMark(f"B{i}", "", None, None, None) for i in range(1, 7)))
    anchors = [s.anchor for s in picture.shapes if isinstance(s, Text) and s.words.startswith("B")]
    assert sorted(anchors) == ["end"] * 3 + ["start"] * 3


def test_the_thickest_two_dozen_are_drawn_and_the_rest_counted() -> None:
    view = draw_tree("2001.001", [BranchMark(f"B{i}", "", None, None, 5 + i) for i in range(30)])
    assert view is not None
    assert view.left_out == 6
    labels = [w for w in words(view.narrow) if w.startswith("B")]
    assert len(labels) == 24
    assert "B5" not in labels
    assert "B6" in labels


def test_the_phone_shows_labels_only() -> None:
    view = tree_view()
    assert view is not None
    assert sorted(words(view.narrow)) == sorted(b.label for b in branches())


heights = st.lists(st.floats(0, 1), min_size=1, max_size=20)


@given(heights, st.sampled_from([2, 3]))
def test_no_two_labels_touch_and_none_leaves_the_sheet(ups: list[float], clock: int) -> None:
    view = draw_tree("2001.001", [BranchMark(f"B{i}", "Branch", clock, up, 9) for i, up in enumerate(ups)])
    assert view is not None
    for picture in (view.wide, view.narrow):
        ys = sorted(s.y for s in picture.shapes if isinstance(s, Text) and s.words.startswith("B"))
        assert all(b - a >= 20 for a, b in pairwise(ys))
        assert ys[0] >= 12


def test_when_two_labels_would_touch_the_upper_one_moves_up() -> None:
    def label(y: float) -> Label:
        return Label(("B1", "Low", "", ""), "", "", 800, y, 1, (700, y), 17)

    upper, lower = settled([label(300), label(310)])
    assert lower.y == 310
    assert upper.top + upper.height + GAP == pytest.approx(lower.top)


@pytest.mark.parametrize(
    ("bad", "said"),
    [
        ({"clock": 13}, "clock goes from 1 to 12"),
        ({"height": 1.2}, "from 0 to 1"),
        ({"diameter_mm": -3}, "not a thickness"),
        ({"side_branches": -1}, "fewer than none"),
    ],
)
def test_nonsense_is_refused_in_words(bad: dict[str, float], said: str) -> None:
    given_values = {"label": "B1", "place": "", "clock": 3, "height": 0.5, "diameter_mm": 9} | bad
    with pytest.raises(ValueError, match=said):
        BranchMark(**given_values)  # type: ignore[arg-type]
