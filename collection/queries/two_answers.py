"""When two people changed the same thing: both values, each with who and when.

A use case writes through ``usecases.edit.edit(row, version, changes, actor)``; where the version is stale it
raises ``Stale``. ``two_answers(actor, stale, now)`` compares three things for every part of the row that the
person wrote: what he had read, what he wrote, what is there now. Only where both changed the same part to
different values there is a question. What he sent back as he had read it is left as it is now.

Columns that belong together are one part (a window is an opening and a closing day): ``PARTS``. A column
without a part of its own is named after itself; add its words to ``LABELS`` or a ``Part`` when they read
badly.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from django.apps import apps
from django.db import models
from django.utils.translation import gettext as _

from collection.craft.reference import tasks
from collection.models import Change, Club, ClubRow, Job, Offer, Site, Tree
from collection.queries.access import Actor, club_of
from collection.queries.clock import local
from collection.queries.errors import Stale, not_found
from collection.queries.labels import (
    DAY_STATES,
    STAGE_NAMES,
    WEEKDAYS,
    dated,
    day,
    length,
    short_day,
    task_name,
)
from collection.queries.mail_times import MAIL_HOUR, MOST_A_WEEK
from collection.queries.speech import weeks_later
from collection.queries.trail import column, edits_since, last_edit, plain

Values = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Part:
    """Columns that are one thing for a reader; ``along`` goes with them and is never shown."""

    label: str
    shown: tuple[str, ...]
    say: Callable[[Values], str]
    along: tuple[str, ...] = ()


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
    return _plainly(name, value)


def _plainly(name: str, value: Any) -> str:
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, datetime):
        return f"{dated(value.date())} {value:%H:%M}"
    if isinstance(value, date):
        return dated(value)
    if isinstance(value, time):
        return f"{value.hour}:{value:%M}"
    unit = next((words for end, words in UNITS.items() if name.endswith(end)), "")
    return f"{value:g}{unit}" if isinstance(value, (int, float)) else str(value)


def _window(v: Values) -> str:
    return _("%(opens)s to %(closes)s") % {"opens": dated(v["opens"]), "closes": dated(v["closes"])}


def _job_state(v: Values) -> str:
    state = str(Job.State(v["state"]).label).capitalize()
    return f"{state}: {v['reason']}" if v["reason"] else state


def _answer(v: Values) -> str:
    words = {"yes": _("Yes"), "perhaps": _("Perhaps"), "no": _("No")}[v["answer"]]
    if v["answer"] == "no" or not v["arrives"] or not v["leaves"]:
        return words
    hours = {"words": words, "arrives": _plainly("", v["arrives"]), "leaves": _plainly("", v["leaves"])}
    return _("%(words)s, %(arrives)s to %(leaves)s") % hours


def _own_dates(v: Values) -> str:
    values = v["values"]
    if {"opens", "closes"} <= set(values):
        return _("%(opens)s to %(closes)s") % {k: _month_day(values[k]) for k in ("opens", "closes")}
    return ", ".join(f"{name} {text}" for name, text in sorted(values.items())) or _("as in the programme")


def _month_day(text: str) -> str:
    try:
        found = date.fromisoformat(f"2028-{text}")
    except ValueError:
        return text
    return f"{found.day} {found:%B}"


def _signed(v: Values) -> str:
    if not v["signed_on"] and v["refused_by_id"] and not v["released_by_id"]:
        return _("Refused: %(why)s") % {"why": v["refused_why"]}
    if not v["signed_on"]:
        return _("Released, not signed off") if v["released_by_id"] else _("Not signed off")
    return _("Signed off on %(day)s") % {"day": dated(v["signed_on"])}


def _breaks(v: Values) -> str:
    return ", ".join(f"{start} to {end}" for start, end in v["breaks"]) or _("none")


def _frost(name: str) -> Callable[[Values], str]:
    return lambda v: _month_day(v[name]) if v[name] else _("it never freezes")


def _corrections(v: Values) -> str:
    found = [f"{anchor}: {weeks_later(int(weeks))}" for anchor, weeks in sorted(v["weeks_later"].items())]
    return ", ".join(found) or _("none")


def _chosen(v: Values) -> str:
    chosen = {"azalea_rests_after_repot": _("azaleas rest"), "long_season": _("long season")}
    return ", ".join(words for name, words in chosen.items() if v["settings"].get(name)) or _("none")


def _mail_times(v: Values) -> str:
    """The hour, how many a week and the quiet weeks."""
    settings = v["settings"]
    weeks = settings.get("quiet_weeks")
    quiet = _("as usual") if weeks is None else " to ".join(map(_month_day, weeks)) or _("none")
    return _("from %(hour)s:00 on, %(most)s a week, quiet weeks: %(quiet)s") % {
        "hour": settings.get("mail_hour", MAIL_HOUR),
        "most": settings.get("mails_a_week", MOST_A_WEEK),
        "quiet": quiet,
    }


def _club_settings(v: Values) -> str:
    return _("%(chosen)s; mails %(mails)s") % {"chosen": _chosen(v), "mails": _mail_times(v)}


def _hours(v: Values) -> str:
    return _("%(opens)s to %(closes)s") % {k: _plainly("", v[k]) for k in ("opens", "closes")}


PARTS: dict[str, tuple[Part, ...]] = {
    "club": (
        Part("Last frost", ("last_frost",), _frost("last_frost")),
        Part("First frost", ("first_frost",), _frost("first_frost")),
        Part("Earlier or later", ("weeks_later",), _corrections),
        Part("Where sources disagree, and mails", ("settings",), _club_settings),
    ),
    "job": (
        Part("Window", ("opens", "closes"), _window, ("moved_opens", "moved_closes", "edited")),
        Part("State", ("state", "reason"), _job_state, ("by_id", "ended_on", "edited")),
    ),
    "offer": (Part("Answer", ("answer", "arrives", "leaves"), _answer, ("by_id",)),),
    "clubrow": (
        Part("Window", ("values",), _own_dates, ("dropped", "by_id")),
        Part("Reason", ("why",), lambda v: str(v["why"] or _("nothing"))),
    ),
    "bend": (
        Part(
            "Sign-off",
            ("signed_by_id", "signed_on", "refused_by_id", "refused_why", "released_by_id"),
            _signed,
        ),
    ),
    "workday": (
        Part("Day", ("date",), lambda v: day(v["date"])),
        Part("Hours", ("opens", "closes"), _hours),
        Part("Where", ("site_id",), lambda v: str(Site.objects.get(pk=v["site_id"]))),
        Part("Break", ("breaks",), _breaks),
        Part("State", ("state",), lambda v: DAY_STATES[v["state"]], ("cancelled_why",)),
    ),
    "habit": (
        Part("Day of the week", ("weekday",), lambda v: WEEKDAYS[v["weekday"]]),
        Part("Hours", ("minutes",), lambda v: length(v["minutes"])),
    ),
    "tree": (Part("Stage", ("stage",), lambda v: STAGE_NAMES[v["stage"]]),),
}
LABELS = {
    "zone": "Time zone",
    "inches": "Inches",
    "altitude_m": "Height above the sea",
    "weeks_later": "Weeks later",
    "retired_at": "Retired",
    "mass_kg": "Weight",
    "mass_weighed": "Weighed",
    "height_mm": "Height",
    "spread_mm": "Spread",
    "trunk_mm": "Trunk",
    "pot_litres": "Pot",
    "site_id": "Where it stands",
    "brought_by_id": "Who brings it",
    "acquired_on": "Day it came",
    "opens": "Start",
    "closes": "End",
    "date": "Day",
    "lead_id": "Lead",
    "first_aider_id": "First aider",
    "bring": "What to bring",
    "briefing_min": "Briefing",
    "closing_min": "Closing",
    "most_people": "Most people",
    "least_people": "Least people",
    "active_to": "Last day in the club",
    "email": "E-mail",
    "active_from": "Member since",
    "role": "Part in the club",
    "wants_mail": "Mail wanted",
    "every_weeks": "Every how many weeks",
    "starts": "From",
    "ends": "Last day",
}
UNITS = {"_mm": " mm", "_kg": " kg", "_litres": " l", "_min": " min", "_m": " m", "_h": " h"}


def _subject(row: Any) -> tuple[str, tuple[int, str] | None]:
    """What a row is in words, and the tree whose number ends them."""
    tree = row if isinstance(row, Tree) else getattr(row, "tree", None)
    words = SUBJECTS.get(row._meta.model_name or "", str)(row)
    return words, (tree.pk, tree.accession) if isinstance(tree, Tree) else None


def _job_words(job: Job) -> str:
    task = task_name(job.task).lower()
    return _("%(task)s on") % {"task": task} if job.round is None else f"{task}, {day(job.round.on)}"


def _programme_words(row: ClubRow) -> str:
    found = [task_name(piece) for piece in row.key.split("-") if piece in tasks()]
    return found[0].lower() if found else row.key


def _offer_words(offer: Offer) -> str:
    return _("%(who)s for %(day)s") % {"who": offer.member.name, "day": day(offer.workday.date)}


SUBJECTS: dict[str, Callable[[Any], str]] = {
    "tree": lambda row: "",
    "job": _job_words,
    "bend": lambda row: _("the bend on"),
    "branch": lambda row: _("branch %(label)s on") % {"label": row.label},
    "wire": lambda row: _("wire %(label)s on") % {"label": row.label},
    "guy": lambda row: _("guy wire %(label)s on") % {"label": row.label},
    "clubrow": _programme_words,
    "contact": lambda row: str(row.member),
    "habit": lambda row: str(row.member),
    "offer": _offer_words,
    "round": lambda row: f"{task_name(row.task).lower()}, {day(row.on)}",
    "wirestock": lambda row: f"{row.metal} {row.gauge_mm:g} mm",
    "workday": lambda row: day(row.date),
}
