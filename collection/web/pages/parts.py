"""Shapes that the parts of every page read (see the comments in ``templates/web``)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from types import SimpleNamespace

from django.urls import reverse

from collection.queries.opened import Line, Opened


@dataclass(frozen=True, slots=True)
class Tag:
    """A tree's tag; always the way to the tree."""

    text: str
    url: str = ""


@dataclass(frozen=True, slots=True)
class Number:
    """A number that opens, as ``_opened.html`` reads it."""

    text: str
    url: str = ""
    lines: tuple[Line, ...] = ()
    total: str = ""
    total_label: str = ""
    notes: tuple[str, ...] = ()
    rule: str = "sum"
    value: float | None = None

    @property
    def exact(self) -> str:
        """The value to its last digit, so that anybody can work the sum again."""
        return repr(self.value) if self.value is not None else ""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of an opening sentence."""

    text: str = ""
    number: Number | None = None
    missing: bool = False


@dataclass(frozen=True, slots=True)
class Option:
    """One answer to choose."""

    value: object
    text: str
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class Choose:
    """A list to choose from, inside an action."""

    id: str
    name: str
    label: str
    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True)
class Action:
    """Something to do: a link, or a button that posts."""

    words: str
    url: str
    post: bool = False
    main: bool = False
    plain: bool = False
    small: bool = False
    hidden: tuple[SimpleNamespace, ...] = ()
    choose: Choose | None = None

    def as_main(self) -> Action:
        """The same as the one filled button of its page."""
        return replace(self, main=True, plain=False)


@dataclass(frozen=True, slots=True)
class Empty:
    """A list with nothing in it."""

    sentence: str
    example: str = ""
    action: Action | None = None


@dataclass(frozen=True, slots=True)
class Person:
    """A person in a bracket; no name is a gap to fill."""

    name: str
    role: str


@dataclass(frozen=True, slots=True)
class Cautions:
    """Which cautions a page shows."""

    bends: bool = False
    lifting: bool = False
    wire: bool = False
    blades: bool = False
    sprays: bool = False
    lime: bool = False
    heights: bool = False
    held: bool = False
    power: bool = False


@dataclass(frozen=True, slots=True)
class Fact:
    """A short fact at the head of a page."""

    label: str
    text: str


CAUTION_TASKS = {
    "bends": {"HEAVY_BEND", "GUY"},
    "lifting": {"REPOT", "UP_POT", "PROTECT", "HEAVY_BEND"},
    "wire": {"WIRE_DETAIL", "WIRE_STRUCT", "WIRE_OFF", "GUY", "HEAVY_BEND"},
    "blades": {"PRUNE_STRUCT", "TRIM", "DEADWOOD", "GRAFT", "LAYER", "DEFOL_FULL", "DECANDLE", "REPOT"},
    "sprays": {"SPRAY"},
    "lime": {"LIME"},
}


def cautions_for(tasks: set[str], *, lifting: bool = False) -> Cautions | None:
    """The cautions that the work on a page calls for, or a heavy tree; None where nothing can hurt."""
    called = {name: bool(tasks & of) for name, of in CAUTION_TASKS.items()}
    called["lifting"] |= lifting
    return Cautions(**called) if any(called.values()) else None


def number_of(found: Opened, *, inline: bool = True) -> Number:
    """An opened number for a page: opened in place, or with ``inline`` False on its own page only."""
    url = reverse("number", args=found.address) if found.address else ""
    if not inline and url:
        return Number(found.text, url)
    return Number(
        found.text, url, found.lines, found.total, found.total_label, found.notes, found.rule, found.value
    )


def hidden(**values: object) -> tuple[SimpleNamespace, ...]:
    """Hidden fields of an action; a day as it is typed in a form."""
    return tuple(
        SimpleNamespace(name=name, value=value.isoformat() if isinstance(value, date) else value)
        for name, value in values.items()
    )


def lead(*pieces: str | Piece | Number) -> tuple[Piece, ...]:
    """An opening sentence from texts and numbers."""
    found = []
    for piece in pieces:
        if isinstance(piece, Number):
            found.append(Piece(number=piece))
        else:
            found.append(piece if isinstance(piece, Piece) else Piece(piece))
    return tuple(found)


def page(**values: object) -> SimpleNamespace:
    """A page's finished values; templates read them by name."""
    return SimpleNamespace(**values)


def people_in(names: Sequence[str], crew: int) -> tuple[Person, ...]:
    """A bracket: lead first, gaps for names still missing."""
    roles = ["leads", *["second pair of hands"] * 3]
    seats = [names[n] if n < len(names) else "" for n in range(max(crew, len(names)))]
    return tuple(Person(name, roles[min(n, 3)]) for n, name in enumerate(seats))
