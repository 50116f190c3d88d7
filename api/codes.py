"""Which refusals an operation can give, read from the code itself, so that the document never lags behind.

Starting at an operation's method, every function of ours that it names is followed to where a ``Refused`` is
made. Following names instead of runs may list a code too many; it misses none that is written as text.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any

FOLLOWED = ("api", "collection.usecases", "collection.queries")
Found = frozenset[tuple[str, str]]


class Module:
    """A module's functions and methods by name, and what its imports mean."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.functions: dict[str, ast.AST] = {}
        self.imports: dict[str, str] = {}
        source = Path(str(import_module(name).__file__)).read_text("utf-8")
        for node in ast.parse(source).body:
            if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
                self.functions[node.name] = node
                for inner in node.body if isinstance(node, ast.ClassDef) else ():
                    if isinstance(inner, ast.FunctionDef):
                        self.functions[f"{node.name}.{inner.name}"] = inner
            elif isinstance(node, ast.ImportFrom):
                for alias in node.names:
                    self.imports[alias.asname or alias.name] = f"{node.module}.{alias.name}"


@cache
def _module(name: str) -> Module:
    return Module(name)


def _target(module: Module, text: str) -> tuple[str, str] | None:
    """Module and function that a name in a module stands for, None for what is not ours."""
    first, _, rest = text.partition(".")
    if not rest and first in module.functions:
        return module.name, first
    path = module.imports.get(first, "")
    if not path.startswith(FOLLOWED):
        return None
    if rest:
        return (path, rest) if path in sys.modules and rest in _module(path).functions else None
    home, _, name = path.rpartition(".")
    return (home, name) if home.startswith(FOLLOWED) and name in _module(home).functions else None


def _texts(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from _texts(node.body)
        yield from _texts(node.orelse)


def _made(node: ast.Call) -> Iterator[tuple[str, str]]:
    kinds = [
        str(k.value.value) for k in node.keywords if k.arg == "kind" and isinstance(k.value, ast.Constant)
    ]
    for code in _texts(node.args[0]) if node.args else ():
        yield code, kinds[0] if kinds else "invalid"


def _inside(node: ast.AST) -> Iterator[ast.AST]:
    """Everything in a function's body; its decorators and annotations do not run in it."""
    for statement in getattr(node, "body", ()):
        if isinstance(statement, (ast.FunctionDef, ast.ClassDef)):
            yield from _inside(statement)
        else:
            yield from ast.walk(statement)


def _walk(module: str, name: str, seen: set[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    if (module, name) in seen:
        return
    seen.add((module, name))
    home = _module(module)
    for node in _inside(home.functions[name]):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "Refused":
            yield from _made(node)
        elif isinstance(node, ast.Call) and ast.unparse(node.func) == "Stale":
            yield "stale", "stale"
        elif isinstance(node, (ast.Name, ast.Attribute)):
            target = _target(home, ast.unparse(node))
            if target is not None and target[1] != "Refused":
                yield from _walk(*target, seen)


@cache
def refusals(method: Callable[..., Any]) -> Found:
    """Every (code, kind) that a view's method can end in."""
    return frozenset(_walk(method.__module__, method.__qualname__, set()))
