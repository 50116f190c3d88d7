"""When two people changed the same thing: both values, each with who and when.

A use case writes through ``usecases.edit.edit(row, version, changes, actor)``; where the version is stale it
raises ``Stale``. ``two_answers(actor, stale, now)`` compares three things for every part of the row that the
person wrote: what he had read, what he wrote, what is there now. Only where both changed the same part to
different values there is a question. What he sent back as he had read it is left as it is now.

Columns that belong together are one part (a window is an opening and a closing day): ``PARTS``. A column
without a part of its own is named after itself; add its words to ``LABELS`` or a ``Part`` in
``two_answers_words`` when they read badly.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.apps import apps
from django.db import models
from django.utils.translation import gettext as _

from collection.models import Change, Club, Tree
from collection.queries.access import Actor, club_of
from collection.queries.clock import local
from collection.queries.errors import Stale, not_found
from collection.queries.labels import (
    short_day,
)
from collection.queries.trail import column, edits_since, last_edit, plain
from collection.queries.two_answers_words import LABELS, PARTS, SUBJECTS, Part, Values, plainly


@dataclass(frozen=True, slots=True)
class Answer:
    """One of the two values."""

    text: str
    who: str
    when: str


@dataclass(frozen=True, slots=True)
class Question:
    """A part that both changed; ``columns`` are those to leave when the person chooses "theirs"."""

    label: str
    theirs: Answer
    yours: Answer
    columns: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TwoAnswers:
    """Everything the page of two answers says.

    Attributes:
        subject: What the row is: "trimming on", "Ana for Saturday 6 March 2027".
        tree: (id, number) of the tree whose tag ends the subject, or None.
        version: The row's version now; the choice is sent with it.
        seen: The version the person had read.
        questions: Parts that both changed.
        mine: (label, value) of parts that only the person changed.
        meanwhile: (label, answer) of parts that only others changed.
        left: Columns the person sent back as he had read them.
    """

    subject: str
    tree: tuple[int, str] | None
    version: int
    seen: int
    questions: tuple[Question, ...]
    mine: tuple[tuple[str, str], ...]
    meanwhile: tuple[tuple[str, Answer], ...]
    left: tuple[str, ...]


def two_answers(actor: Actor, stale: Stale, now: datetime) -> TwoAnswers:
    """Both values of everything that a stale edit wanted to write.

    Raises:
        Refused: ``not_found`` when the row has gone meanwhile.
    """
    table = apps.get_model("collection", stale.table)
    club = club_of(actor)
    own = {"pk": club.pk} if table is Club else {"club_id": club.pk, "pk": stale.row}
    row = table._default_manager.filter(**own).first()
    if row is None:
        raise not_found()
    sorter = _Sorter(row, stale, club.zone, now)
    for part in _parts(row, stale.wanted):
        sorter.take(part)
    subject, tree = _subject(row)
    return TwoAnswers(
        subject,
        tree,
        row.version,
        stale.seen,
        tuple(sorter.questions),
        tuple(sorter.mine),
        tuple(sorter.meanwhile),
        tuple(sorter.left),
    )


class _Sorter:
    """Sorts the parts of a stale edit into questions, one's own and untouched."""

    def __init__(self, row: Any, stale: Stale, zone: str, now: datetime) -> None:
        self.row, self.stale, self.zone, self.now = row, stale, zone, now
        self.edits, self.known = edits_since(row, stale.seen)
        self.questions: list[Question] = []
        self.mine: list[tuple[str, str]] = []
        self.meanwhile: list[tuple[str, Answer]] = []
        self.left: list[str] = []

    def take(self, part: Part) -> None:
        here = {name: getattr(self.row, name) for name in part.shown}
        yours = here | {name: self.stale.wanted[name] for name in part.shown if name in self.stale.wanted}
        columns = [column(self.row, n) for n in (*part.shown, *part.along) if n in self.stale.wanted]
        read = self._read(part)
        theirs = self._theirs(part, part.say(here))
        if _same(yours, here) or (read is not None and _same(yours, read)):
            self.left += columns
            if read is None or not _same(here, read):
                self.meanwhile.append((part.label, theirs))
        elif read is not None and _same(here, read):
            self.mine.append((part.label, part.say(yours)))
        else:
            mine = Answer(part.say(yours), _("You"), _when(self.now, self.now, self.zone))
            self.questions.append(Question(part.label, theirs, mine, tuple(columns)))

    def _read(self, part: Part) -> Values | None:
        """What the person had read of a part, None where the trail does not say."""
        if not self.known:
            return None
        found = {name: plain(getattr(self.row, name)) for name in part.shown}
        for line in self.edits:
            found |= {name: line.before[name] for name in part.shown if name in line.before}
        return found

    def _theirs(self, part: Part, text: str) -> Answer:
        line = next((e for e in self.edits if set(part.shown) & set(e.after)), None)
        line = line or last_edit(self.row, part.shown)
        return Answer(text, _who(line), _when(line.at, self.now, self.zone) if line else "")


def _same(one: Values, other: Values) -> bool:
    return {n: plain(v) for n, v in one.items()} == {n: plain(v) for n, v in other.items()}


def _who(line: Change | None) -> str:
    return line.who.name if line and line.who else _("Somebody")


def _when(at: datetime, now: datetime, zone: str) -> str:
    """When, as people say it: "today 9:02", "Sat 6 Mar 9:02"."""
    then, today = local(at, zone), local(now, zone).date()
    on = _("today") if then.date() == today else short_day(then.date())
    return f"{on} {then.hour}:{then:%M}"


def _parts(row: models.Model, wanted: Values) -> list[Part]:
    """The parts of the row that the person wrote, in the order of the table."""
    named = PARTS.get(row._meta.model_name or "", ())
    found = [part for part in named if set(part.shown) & set(wanted)]
    found = found or [part for part in named if set(part.along) & set(wanted)]
    spoken = {name for part in named for name in (*part.shown, *part.along)}
    return found + [_single(row, name) for name in wanted if name not in spoken]


def _single(row: models.Model, name: str) -> Part:
    label = LABELS.get(name) or str(name.removesuffix("_id")).replace("_", " ").capitalize()
    return Part(label, (name,), lambda values: said(row, name, values[name]))


def said(row: models.Model, name: str, value: Any) -> str:
    """A value of a column in words: units, names of rows, days."""
    field: Any = row._meta.get_field(name)
    if value is None or value == "":
        return _("nothing")
    if isinstance(field, models.ForeignKey):
        found = field.related_model._default_manager.filter(pk=value).first()
        return str(found or _("nothing"))
    if field.choices:
        return str(dict(field.flatchoices).get(value, value))
    return plainly(name, value)


def _subject(row: Any) -> tuple[str, tuple[int, str] | None]:
    """What a row is in words, and the tree whose number ends them."""
    tree = row if isinstance(row, Tree) else getattr(row, "tree", None)
    words = SUBJECTS.get(row._meta.model_name or "", str)(row)
    return words, (tree.pk, tree.accession) if isinstance(tree, Tree) else None
