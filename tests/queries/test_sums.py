"""A line of a sum says its rule in the words of what goes in, with each figure and its unit."""

from __future__ import annotations

import pytest

from collection.craft.figures import step
from collection.craft.wire import coil
from collection.queries.sums import opened_steps, step_line


def test_a_line_names_rule_inputs_units_label_and_source():
    line = step_line(coil(200, 6, 2).lines[0])
    assert (line.label, line.figure) == ("Wire along the branch", "282.8 mm")
    assert line.trust.startswith("length / cos(angle), with length 200 mm, angle 45 degrees. Published: ")


def test_a_longer_name_is_not_cut_by_a_shorter_one_inside_it():
    line = step_line(step("wire_gauge", 2.0, wanted_mm=1.9))
    assert "gauge asked for 1.9 mm" in line.trust
    assert "_" not in line.trust.split(". ")[0].replace("gauge_mm", "")


def test_the_last_line_is_the_figure_and_a_sum_without_lines_is_refused():
    opened = opened_steps("283 mm", coil(200, 6, 2).lines[:1])
    assert (opened.rule, opened.value) == ("steps", opened.lines[-1].value)
    with pytest.raises(ValueError, match="a line at least"):
        opened_steps("0", [])
