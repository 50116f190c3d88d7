"""Sizes, and what the pure core and the tests may use."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.arch.files import ROOT, python_files, shown

LONGEST_FILE, LONGEST_FUNCTION = 400, 45
CODE = ("collection", "api", "workers")
CORE = ("collection/craft", "collection/planning")
CORE_MAY_USE = {"numpy", "pandas", "scipy"}
ONE_DOOR = {"ortools": "collection/planning/workday/solver.py", "astral": "collection/craft/sun.py"}
CLOCKS = re.compile(r"\b(?:time\.sleep|time\.time|perf_counter|date\.today|datetime\.now|timezone\.now)\(")
# Setting up is about real processes, which have to be waited for; benchmarks are about time.
MAY_LOOK_AT_A_CLOCK = ("tests/bootstrap/", "tests/bench/", "tests/browser/", "tests/faults/", "tests/server/")


def test_every_module_is_at_most_400_lines() -> None:
    lengths = {
        shown(path): len(path.read_text("utf-8").splitlines()) for path in python_files(*CODE, "tests")
    }
    assert {name: length for name, length in lengths.items() if length > LONGEST_FILE} == {}


def length_without_docstring(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    length = (node.end_lineno or node.lineno) - node.lineno + 1
    first = node.body[0]
    if (
        isinstance(first, ast.Expr)
        and isinstance(first.value, ast.Constant)
        and isinstance(first.value.value, str)
    ):
        length -= (first.end_lineno or first.lineno) - first.lineno + 1
    return length


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def test_every_function_is_at_most_45_lines_without_its_docstring() -> None:
    lengths = {
        f"{shown(path)}:{node.name}": length_without_docstring(node)
        for path in python_files(*CODE)
        for node in functions(path)
    }
    assert {name: length for name, length in lengths.items() if length > LONGEST_FUNCTION} == {}


def imported(source: str) -> set[str]:
    """Top-level names of the packages a module imports, ours by their second level."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "relative import"
            found |= {
                f"{node.module}.{alias.name}" if node.module == "collection" else str(node.module)
                for alias in node.names
            }
    return {".".join(name.split(".")[: 2 if name.split(".")[0] == "collection" else 1]) for name in found}


def outsiders(source: str, name: str) -> set[str]:
    doors = {package for package, door in ONE_DOOR.items() if door == name}
    allowed = sys.stdlib_module_names | CORE_MAY_USE | doors | {"collection.craft", "collection.planning"}
    return imported(source) - allowed


def test_the_core_imports_the_standard_library_and_three_packages_only() -> None:
    found = {shown(path): outsiders(path.read_text("utf-8"), shown(path)) for path in python_files(*CORE)}
    assert len(found) > 10
    assert {name: packages for name, packages in found.items() if packages} == {}


def test_an_outsider_in_the_core_is_seen() -> None:
    assert outsiders("from django.db import models\nimport numpy as np", "collection/craft/wire.py") == {
        "django"
    }
    assert outsiders("import ortools.sat", "collection/planning/helpers.py") == {"ortools"}
    assert outsiders("from collection import models", "collection/craft/wire.py") == {"collection.models"}
    assert outsiders("import ortools.sat", ONE_DOOR["ortools"]) == set()


def test_no_test_looks_at_the_clock_or_waits() -> None:
    paths = [path for path in python_files("tests") if not shown(path).startswith(MAY_LOOK_AT_A_CLOCK)]
    looking = [shown(path) for path in paths if CLOCKS.search(path.read_text("utf-8"))]
    assert looking == []
    assert CLOCKS.search("began = time." + "time()")


def test_nothing_imports_the_tests() -> None:
    importing = [shown(path) for path in python_files(*CODE) if "tests" in imported(path.read_text("utf-8"))]
    assert importing == []
    assert (ROOT / "tests").is_dir()


def test_rows_are_locked_through_one_door() -> None:
    """The order of locks is kept in one module; a lock taken elsewhere may meet another head-on."""
    found = {shown(path) for path in python_files(*CODE) if "select_for_update" in path.read_text("utf-8")}
    assert found == {"collection/usecases/locks.py"}
