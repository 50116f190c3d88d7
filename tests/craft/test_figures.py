"""Lines of a sum, and what stands behind them."""

from __future__ import annotations

import ast
import math
from pathlib import Path

import pytest

from collection.craft.figures import LABELS, OutOfRange, formulas, looked_up, positive, step, within
from collection.craft.units import cm_from_inches, kg_from_pounds, mm_from_inches

MAKERS = {"step", "looked_up"}


def rules_used(source: str) -> set[str]:
    """Rules written as text where a line of a sum is made, both branches of a choice included."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and ast.unparse(node.func) in MAKERS and node.args:
            found |= {
                part.value
                for part in ast.walk(node.args[0])
                if isinstance(part, ast.Constant) and isinstance(part.value, str)
            }
    return found


def test_every_rule_that_is_used_is_in_the_table_and_every_rule_of_the_table_is_used(root: Path):
    used: set[str] = set()
    for path in (root / "collection" / "craft").glob("*.py"):
        used |= rules_used(path.read_text("utf-8"))
    assert used == set(formulas())


def test_every_rule_says_its_formula_label_and_source():
    assert all(rule.formula and rule.source and rule.label in LABELS for rule in formulas().values())


def test_a_line_takes_the_label_of_its_formula_or_of_the_row_looked_up():
    assert step("wire_coil", 1.0, length_mm=1.0).label == "published"
    row = looked_up("wire_mass", 1.0, "from memory", "a row", metres=2.0)
    assert (row.label, row.source, row.unit, row.given) == ("from memory", "a row", "g", (("metres", 2.0),))


def test_a_line_without_a_rule_or_with_a_value_that_is_no_number_is_refused():
    with pytest.raises(ValueError, match="no rule"):
        step("guess", 1.0)
    with pytest.raises(ValueError, match="no label"):
        looked_up("wire_mass", 1.0, "certain", "a row")
    for value in (math.inf, math.nan):
        with pytest.raises(ValueError, match="finite"):
            step("wire_coil", value)


def test_a_size_out_of_range_is_refused_with_its_name():
    with pytest.raises(OutOfRange) as refused:
        within("wire_branch", 1, 2, one_mm=1, other_mm=3)
    assert refused.value.reason.values == {"field": "other_mm", "given": 3, "low": 1, "high": 2}
    for bad in (0, -1, math.inf, math.nan):
        with pytest.raises(OutOfRange):
            positive("size_above_zero", size=bad)


def test_inches_and_pounds_become_metric_without_a_hair_more():
    assert (cm_from_inches(25), mm_from_inches(0.5), kg_from_pounds(51)) == (63.5, 12.7, 23.13321087)
