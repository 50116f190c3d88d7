"""The shape of a letter: finished sentences in parts, with what can be answered by a link."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Act:
    """A link that opens a page for one answer: words, the answer it proposes, and what it is about."""

    words: str
    say: str
    purpose: str
    row: int
    version: int
    until: str


@dataclass(frozen=True, slots=True)
class Line:
    """One thing told: a text, people needed together, what can be answered, what is said below it."""

    text: str
    people: tuple[tuple[str, str], ...] = ()
    acts: tuple[Act, ...] = ()
    below: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """Lines under one heading."""

    title: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Letter:
    """Everything a mail says, before its links are made."""

    subject: str
    greeting: str
    opening: str
    parts: tuple[Part, ...]
    why: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """Plain values, for keeping."""
        return asdict(self)


def letter_from(body: Mapping[str, Any]) -> Letter:
    """The letter that ``as_json`` kept."""
    return Letter(
        body["subject"],
        body["greeting"],
        body["opening"],
        tuple(Part(part["title"], tuple(map(_line, part["lines"]))) for part in body["parts"]),
        tuple(body["why"]),
    )


def _line(kept: Mapping[str, Any]) -> Line:
    return Line(
        kept["text"],
        tuple((name, role) for name, role in kept["people"]),
        tuple(Act(**act) for act in kept["acts"]),
        kept["below"],
    )
