"""Templates: they parse, and they hold nothing that the page policy forbids."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.template import engines

from tests.arch.files import ROOT

TEMPLATES = sorted(path for path in (ROOT / "templates").rglob("*") if path.suffix in {".html", ".txt"})
FORBIDDEN = {
    "inline style": re.compile(r"\sstyle\s*=|<style\b", re.IGNORECASE),
    "inline script": re.compile(r"<script\b(?![^>]*\ssrc=)", re.IGNORECASE),
    "inline handler": re.compile(r"<[^>]*\son[a-z]+\s*=", re.IGNORECASE),
    "script address": re.compile(r"javascript:", re.IGNORECASE),
    "unescaped value": re.compile(r"\|\s*safe\b|\|\s*safeseq\b|\{%\s*autoescape\s+off"),
    "something from elsewhere": re.compile(r"<(?:script|link|img|iframe)[^>]*(?:src|href)\s*=\s*.https?:"),
}


# A mail has no style sheet and no page policy: its few styles stand in its lines. Nor has it pictures.
OF_MAIL = {name: pattern for name, pattern in FORBIDDEN.items() if name != "inline style"} | {
    "a style sheet or a picture": re.compile(r"<style\b|<img\b|<table\b|background", re.IGNORECASE)
}


def faults_of(text: str, rules: dict[str, re.Pattern[str]] = FORBIDDEN) -> list[str]:
    return [name for name, pattern in rules.items() if pattern.search(text)]


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_a_template_parses_and_holds_nothing_forbidden(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    engines["django"].from_string(text)
    assert faults_of(text, OF_MAIL if path.parent.name == "mail" else FORBIDDEN) == []


def test_there_are_templates_to_look_at() -> None:
    assert len(TEMPLATES) >= 5


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ('<p style="color: red">', "inline style"),
        ("<style>p {}</style>", "inline style"),
        ("<script>go()</script>", "inline script"),
        ('<a href="/" onclick="go()">', "inline handler"),
        ('<a href="javascript:go()">', "script address"),
        ("{{ name|safe }}", "unescaped value"),
        ("{% autoescape off %}", "unescaped value"),
        ('<script src="https://example.org/a.js"></script>', "something from elsewhere"),
    ],
)
def test_each_forbidden_thing_is_seen(text: str, fault: str) -> None:
    assert faults_of(text) == [fault]


def test_a_mail_holds_no_picture_and_no_coloured_ground() -> None:
    assert faults_of('<p style="margin:0">', OF_MAIL) == []
    for text in ('<img src="/a.png">', '<p style="background:red">', "<style>p {}</style>", "<table>"):
        assert faults_of(text, OF_MAIL) == ["a style sheet or a picture"]


def test_allowed_things_are_left_alone() -> None:
    assert (
        faults_of('<script type="module" src="/static/a.js"></script><a href="https://example.org">x</a>')
        == []
    )
