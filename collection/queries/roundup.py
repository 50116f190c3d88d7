"""A person's notices of a day as one letter: parts in a fixed order, a subject, why it came."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from collection.queries.labels import in_words
from collection.queries.letter import Letter, Line, Part
from collection.queries.notice_kinds import WAYS, NoticeKind
from collection.queries.roundup_words import at, line_of, near
from collection.queries.speech import listed

# Of two notices about one thing the first in this list is told, and the other goes with it unsaid.
SAYS_MORE = (
    NoticeKind.DAY_CANCELLED,
    NoticeKind.DAY_MOVED,
    NoticeKind.DAY_AHEAD,
    NoticeKind.PLAN_OUT,
    NoticeKind.DAY_OPEN,
    NoticeKind.WIRE_TODAY,
    NoticeKind.WIRE_LOOK,
)
MOST_LINES = {"days": 8, "places": 4, "asked": 4, "trees": 8, "wire": 6}
MOST_REASONS = 2


@dataclass(frozen=True, slots=True)
class Told:
    """A notice with the values of its sentence, as they are now."""

    kind: str
    subject: str
    period: str
    values: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Frame:
    """What a letter stands in: for whom, of which day, which one of that day, how often one comes."""

    name: str
    today: date
    number: int = 1
    most_a_week: int = 2


def letter(told: Sequence[Told], frame: Frame) -> Letter:
    """The letter of these notices.

    Raises:
        ValueError: If none of them has anything to say.
    """
    said = _without_echoes(told)
    parts = tuple(part for part in _parts(said, frame.today) if part.lines)
    if not parts:
        raise ValueError("nothing to say")
    first = frame.name.split()[0] if frame.name.split() else frame.name
    opening = (
        _("Here is your round-up of %(day)s.") % {"day": near(frame.today, frame.today)}
        if frame.number == 1
        else _("This comes besides your round-up, because it cannot wait until tomorrow.")
    )
    return Letter(
        subject=_subject(said, frame.today),
        greeting=_("Hello %(name)s,") % {"name": first},
        opening=opening,
        parts=parts,
        why=tuple(_why(said, frame)),
    )


def _without_echoes(told: Sequence[Told]) -> list[Told]:
    """One notice a subject where several speak of the same day or wire; all of every other kind."""
    best: dict[str, int] = {}
    ranks = {kind.value: rank for rank, kind in enumerate(SAYS_MORE)}
    for notice in told:
        if notice.kind in ranks:
            best[notice.subject] = min(ranks[notice.kind], best.get(notice.subject, len(ranks)))
    kept: dict[tuple[str, str, str], Told] = {}
    for notice in told:
        if notice.kind not in ranks or ranks[notice.kind] == best[notice.subject]:
            period = "" if notice.kind in ranks else notice.period
            kept[notice.kind, notice.subject, period] = notice
    return list(kept.values())


def _parts(told: Sequence[Told], today: date) -> Iterable[Part]:
    by_section: dict[str, list[Told]] = defaultdict(list)
    for notice in sorted(told, key=_order):
        section = "asked" if notice.kind == NoticeKind.DAY_OPEN else WAYS[notice.kind].section
        by_section[section].append(notice)
    for notice in by_section["days"]:
        if notice.kind == NoticeKind.DAY_AHEAD:
            title = f"{near(notice.values['date'], today)}, {at(notice.values['opens'])}"
            yield Part(title, _lines([notice], today, 1))
    other = [notice for notice in by_section["days"] if notice.kind != NoticeKind.DAY_AHEAD]
    yield Part(_("Helping at a bend"), _lines(by_section["places"], today, MOST_LINES["places"]))
    yield Part(_("News of days"), _lines(other, today, MOST_LINES["days"]))
    yield Part(_("Wire to look at"), _lines(by_section["wire"], today, MOST_LINES["wire"]))
    yield Part(_("Your trees"), _lines(by_section["trees"], today, MOST_LINES["trees"]))
    yield Part(_("Days without your answer"), _lines(by_section["asked"], today, MOST_LINES["asked"]))


def _order(notice: Told) -> tuple[str, str, str]:
    """Closing before left open before opening, and each by its date."""
    rank = {NoticeKind.WINDOW_CLOSES: "0", NoticeKind.TREE_OPEN: "1"}.get(notice.kind, "2")  # type: ignore[call-overload]
    when = notice.values.get("date") or notice.values.get("look_on") or notice.period
    return (rank, when, notice.subject)


def _lines(told: Sequence[Told], today: date, most: int) -> tuple[Line, ...]:
    lines = [line_of(notice.kind, notice.subject, notice.values, today) for notice in told[:most]]
    found = [line for line in lines if line is not None]
    if len(told) > most:
        found.append(Line(_("And %(count)d more, on your own page.") % {"count": len(told) - most}))
    return tuple(found)


def _count(told: Sequence[Told], *kinds: NoticeKind) -> int:
    return sum(1 for notice in told if notice.kind in kinds)


def _subject(told: Sequence[Told], today: date) -> str:
    """What is in it, the soonest first: "Saturday 28 November, one wire to look at, a tree left open"."""
    pieces: list[str] = []
    for notice in sorted(told, key=_order):
        day = near(notice.values["date"], today) if "date" in notice.values else ""
        words = {
            NoticeKind.DAY_CANCELLED: _("%(day)s is cancelled"),
            NoticeKind.DAY_MOVED: _("a day has changed: %(day)s"),
            NoticeKind.PLACE_ASKED: _("help wanted at a bend on %(day)s"),
            NoticeKind.PLACE_BACK: _("a place is open again on %(day)s"),
            NoticeKind.PLACE_GIVEN: _("a bend has its pair for %(day)s"),
            NoticeKind.ANSWER_CHANGED: _("an answer has changed for %(day)s"),
            NoticeKind.DAY_AHEAD: _("you on %(day)s"),
            NoticeKind.PLAN_OUT: _("the plan for %(day)s"),
        }.get(notice.kind)  # type: ignore[call-overload]
        if words and len(pieces) < MOST_REASONS:
            pieces.append(words % {"day": day})
    for count, one, many in (
        (_count(told, NoticeKind.WINDOW_CLOSES), _("a window closes"), _("%(count)s windows close")),
        (
            _count(told, NoticeKind.WIRE_TODAY, NoticeKind.WIRE_LOOK),
            _("one wire to look at"),
            _("%(count)s wires to look at"),
        ),
        (_count(told, NoticeKind.TREE_OPEN), _("a tree left open"), _("%(count)s trees left open")),
        (_count(told, NoticeKind.WINDOW_OPENS), _("a window opens"), _("%(count)s windows open")),
        (_count(told, NoticeKind.DAY_OPEN), _("a day asks for you"), _("%(count)s days ask for you")),
    ):
        if count and len(pieces) < 3:
            pieces.append(one if count == 1 else many % {"count": in_words(count).lower()})
    said = ", ".join(pieces) or _("News from your club")
    return said[:1].upper() + said[1:]


def _why(told: Sequence[Told], frame: Frame) -> Iterable[str]:
    reasons = []
    for kinds, words in (
        ((NoticeKind.DAY_AHEAD, NoticeKind.PLAN_OUT), _("you have said you come")),
        ((NoticeKind.PLACE_ASKED,), _("you are asked to help at a bend")),
        ((NoticeKind.PLACE_GIVEN, NoticeKind.PLACE_BACK), _("you have a part in a bend")),
        ((NoticeKind.DAY_MOVED, NoticeKind.DAY_CANCELLED), _("a day you know of has changed")),
        ((NoticeKind.ANSWER_CHANGED,), _("you plan the days")),
        ((NoticeKind.WIRE_TODAY, NoticeKind.WIRE_LOOK), _("wire is in your care")),
        ((NoticeKind.TREE_OPEN,), _("you left a tree open")),
        ((NoticeKind.WINDOW_OPENS, NoticeKind.WINDOW_CLOSES), _("trees are in your care")),
        ((NoticeKind.DAY_OPEN,), _("the club asks who comes")),
    ):
        if _count(told, *kinds):
            reasons.append(words)
    reasons = reasons[:MOST_REASONS] or [_("you are a member")]
    yield _("You get this because %(reasons)s.") % {"reasons": listed(reasons)}
    most = {"count": in_words(frame.most_a_week)}
    if frame.most_a_week == 1:
        yield _("At most one comes each week, and never two in a day, save for what cannot wait.")
    else:
        yield _("At most %(count)s come each week, and one a day, save for what cannot wait.") % {
            "count": most["count"].lower()
        }
