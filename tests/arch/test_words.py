"""Words that must not be in any file of the project."""

from __future__ import annotations

import re

import pytest

from tests.arch.files import shown, text_files

# Written in pieces so that this file does not hold the words itself.
FORBIDDEN = {
    "a path of one machine": re.compile(r"(?<![\w.-])/(?:root|work|Users/\w+|home/\w+)" + "/"),
    "a package host": re.compile(
        "|".join((r"pypi\." + "org", "pythonhosted" + r"\.", "npmjs" + r"\.", "index" + "-url"))
    ),
    "notes that are not part of the project": re.compile(
        r"\.\./" + r"shared|\b(?:trade|look|stack|style|design|decisions|quality|check-values)" + r"\.md|"
        r"\b(?:trade|look|style|decisions|design|quality)" + r" \d\.\d"
    ),
    "unfinished work": re.compile("|".join(("TO" + "DO", "FIX" + "ME", "raise NotImplemented" + "Error"))),
    "a test that does not run": re.compile(
        "|".join((r"mark\.sk" + "ip", r"mark\.xf" + "ail", r"pytest\.sk" + r"ip\("))
    ),
    "a stand-in for our own code": re.compile("unittest" + r"\.mock|Magic" + "Mock|mocker" + r"\."),
}


def faults_of(text: str) -> list[str]:
    return [name for name, pattern in FORBIDDEN.items() if pattern.search(text)]


def test_no_file_holds_a_forbidden_word() -> None:
    found = {shown(path): faults_of(path.read_text(encoding="utf-8")) for path in text_files()}
    assert len(found) > 50
    assert {name: faults for name, faults in found.items() if faults} == {}


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("see /wo" + "rk/main/a.py", "a path of one machine"),
        ("open('/ro" + "ot/x')", "a path of one machine"),
        ("as " + "trade" + ".md says", "notes that are not part of the project"),
        ("(trade" + " 2.9)", "notes that are not part of the project"),
        ("https://pypi" + ".org/simple", "a package host"),
        ("# TO" + "DO later", "unfinished work"),
        ("@pytest.mark.sk" + "ip", "a test that does not run"),
        ("from unittest" + ".mock import patch", "a stand-in for our own code"),
    ],
)
def test_each_forbidden_word_is_seen(text: str, fault: str) -> None:
    assert faults_of(text) == [fault]


def test_an_address_of_a_page_is_not_a_path_of_a_machine() -> None:
    assert faults_of("/clubs/work/ and templates/work/list.html") == []
