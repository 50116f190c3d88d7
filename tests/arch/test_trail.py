"""Every use case that writes for somebody leaves a line in the trail of changes.

Read from the code: whoever takes an ``actor`` and writes a row, itself or by calling, must come by one of the
functions of ``usecases/edit.py`` that write the line. That the line is there for each row, and in the same
transaction, is tried with real requests in ``tests/walls/test_trail.py``.
"""

from __future__ import annotations

import ast
from dataclasses import dataclass, field

from tests.arch.files import ROOT, python_files, shown

LINES = {"edit", "edit_many", "created", "note", "change_of"}
WRITES = {
    "bulk_create",
    "bulk_update",
    "create",
    "delete",
    "get_or_create",
    "save",
    "update",
    "update_or_create",
}
# Use cases that write without a line, each with the reason.
NO_LINE = {
    "counts.record_counts": "a count is append-only and says who and when itself",
    "request_keys.once": "remembers an answer of the API; what it wraps has its own lines",
    "season_asked.ask": "keeps only that the season waits; what is worked out then has its lines",
    "uploads.drop": "a file that waits is nothing of the club yet; what is taken in has its lines",
}


@dataclass
class Function:
    """What a function calls, and whether it writes rows itself."""

    calls: set[str] = field(default_factory=set)
    writes: bool = False
    acts: bool = False


def read(source: str, module: str) -> dict[str, Function]:
    """Functions of a module by "module.name"; what they call under the names of the modules it is from."""
    tree = ast.parse(source)
    named = {name: node for node in tree.body if (name := _name(node))}
    known = {name: f"{module}.{name}" for name in named}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("collection.usecases"):
            inside = str(node.module).removeprefix("collection.usecases").lstrip(".")
            for alias in node.names:
                path = f"{inside}.{alias.name}" if inside else alias.name
                known[alias.asname or alias.name] = path
    return {known[name]: _function(node, known) for name, node in named.items()}


def _name(node: ast.stmt) -> str:
    """The name of a function, a class or a table of functions; "" for anything else."""
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        return node.name
    target = node.target if isinstance(node, ast.AnnAssign) else None
    target = node.targets[0] if isinstance(node, ast.Assign) else target
    return target.id if isinstance(target, ast.Name) else ""


def _function(node: ast.stmt, known: dict[str, str]) -> Function:
    arguments = node.args.kwonlyargs if isinstance(node, ast.FunctionDef) else []
    found = Function(acts=any(argument.arg == "actor" for argument in arguments))
    for inner in ast.walk(node):
        if isinstance(inner, ast.Name) and inner.id in known:
            found.calls.add(known[inner.id])
        if isinstance(inner, ast.Attribute) and isinstance(inner.value, ast.Name):
            base = known.get(inner.value.id)
            found.calls |= {f"{base}.{inner.attr}"} if base else set()
        if isinstance(inner, ast.Call) and isinstance(inner.func, ast.Attribute):
            found.writes |= inner.func.attr in WRITES
    return found


def reached(name: str, functions: dict[str, Function]) -> set[str]:
    """The function and everything it calls, however far."""
    seen, todo = set(), [name]
    while todo:
        one = todo.pop()
        if one not in seen:
            seen.add(one)
            todo += functions[one].calls if one in functions else []
    return seen


def without_line(functions: dict[str, Function]) -> set[str]:
    """Public functions that act for somebody, write and never come by a line of the trail."""
    lines = {f"edit.{name}" for name in LINES}
    found = set()
    for name, function in functions.items():
        every = reached(name, functions)
        writes = any(functions[one].writes for one in every if one in functions)
        if function.acts and not name.rsplit(".", 1)[1].startswith("_") and writes and not every & lines:
            found.add(name)
    return found


def of_the_project() -> dict[str, Function]:
    found = {}
    for path in python_files("collection/usecases"):
        module = shown(path).removeprefix("collection/usecases/").removesuffix(".py").replace("/", ".")
        found |= read(path.read_text("utf-8"), module)
    return found


def test_every_use_case_that_writes_leaves_a_line() -> None:
    functions = of_the_project()
    assert sum(function.acts for function in functions.values()) > 40
    assert without_line(functions) - set(NO_LINE) == set()
    assert set(NO_LINE) - without_line(functions) == set(), "this one has a line now: take it off the list"


def test_a_use_case_without_a_line_is_seen() -> None:
    head = "from collection.usecases.edit import created\nfrom collection.usecases import help\n"
    silent = head + "def add(*, actor):\n    _put()\ndef _put():\n    Tree.objects.create()\n"
    told = silent + "    created(row)\n"
    table = head + "def add(*, actor):\n    WAYS[1]()\n    a.save()\nWAYS = {1: created}\n"
    assert without_line(read(silent, "trees")) == {"trees.add"}
    assert without_line(read(told, "trees")) == set()
    assert without_line(read(table, "trees")) == set()
    assert read("from collection.usecases import edit\ndef f(*, actor):\n    edit.note()\n", "m")[
        "m.f"
    ].calls == {"edit", "edit.note"}
    assert (ROOT / "collection" / "usecases" / "edit.py").is_file()
