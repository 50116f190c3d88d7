"""Every code that code can give has a sentence."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

from collection.queries.sentences import SENTENCES
from tests.arch.files import python_files, shown

MAKERS = {"Reason.of", "Refused", "OutOfRange", "positive", "within"}


def codes(source: str) -> Iterator[tuple[str, int]]:
    """Codes written as text where a reason or a refusal is made, both branches of a choice included."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and node.args and ast.unparse(node.func) in MAKERS:
            yield from ((text, node.lineno) for text in texts(node.args[0]))


def texts(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from texts(node.body)
        yield from texts(node.orelse)


def test_every_code_has_a_sentence() -> None:
    without = [
        f"{shown(path)}:{line} {code}"
        for path in python_files("collection", "api", "workers")
        for code, line in codes(path.read_text("utf-8"))
        if code not in SENTENCES
    ]
    assert without == []


def test_a_code_is_found_wherever_it_is_made() -> None:
    source = (
        "a = Reason.of('one', n=1)\nraise Refused('two' if a else 'three', kind='invalid')\nReason.of(code)"
    )
    assert [code for code, _ in codes(source)] == ["one", "two", "three"]


def test_no_code_has_two_sentences() -> None:
    """A module of sentences that names a code of another would take its sentence away."""
    found: dict[str, list[str]] = {}
    for path in python_files("collection/queries"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            target = node.target if isinstance(node, (ast.AnnAssign, ast.AugAssign)) else None
            if target is None or not ast.unparse(target).endswith("SENTENCES"):
                continue
            if isinstance(node.value, ast.Dict):
                for key in node.value.keys:
                    if isinstance(key, ast.Constant):
                        found.setdefault(str(key.value), []).append(path.name)
    assert len(found) > 100
    assert {code: where for code, where in found.items() if len(where) > 1} == {}


def shown_texts(source: str) -> Iterator[tuple[str, int]]:
    """Texts marked for translation: what people read."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and ast.unparse(node.func) in {
            "_",
            "gettext",
            "gettext_lazy",
            "ngettext",
        }:
            yield from ((text, node.lineno) for argument in node.args for text in texts(argument))


def faults_of(text: str) -> list[str]:
    parts = re.split(r"(?<=[.?])\s+", text)
    found = ["more than twenty words" for part in parts if len(part.split()) > 20]
    found += ["an exclamation mark"] if "!" in text else []
    return found + (["please"] if re.search(r"\bplease\b", text, re.IGNORECASE) else [])


def test_what_people_read_is_short_and_calm() -> None:
    found = {
        f"{shown(path)}:{line}": faults_of(text)
        for path in python_files("collection")
        for text, line in shown_texts(path.read_text("utf-8"))
    }
    assert len(found) > 50
    assert {place: faults for place, faults in found.items() if faults} == {}


def test_a_long_or_loud_sentence_is_seen() -> None:
    assert faults_of("word " * 20 + ". Short.") == ["more than twenty words"]
    assert faults_of("Please stop!") == ["an exclamation mark", "please"]
    assert faults_of("word " * 12 + "end. " + "word " * 12) == []
    assert [text for text, _ in shown_texts('a = _("One") if x else _("Two")')] == ["One", "Two"]
