"""Everything that happened to a tree, newest first: work, events, looks, counts, signs, jobs, changes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import Any

from django.db.models import Q

from collection.craft.reference import table
from collection.models import (
    Branch,
    Care,
    Change,
    Count,
    Guy,
    Job,
    Look,
    Member,
    Sitting,
    Tree,
    TreeEvent,
    TreeSign,
    Wire,
)
from collection.queries.access import Actor, club_of, tree_for
from collection.queries.change_words import Names, change_words
from collection.queries.clock import local
from collection.queries.facts import WIRED
from collection.queries.labels import KIND_NAMES, dated, kind_name, task_name
from collection.queries.quantities import THICKNESS
from collection.queries.speech import listed
from collection.queries.trees import hands_of, spent_words, title_of

PAGE = 50
EVENT_WORDS = {
    "in": "Came into the collection",
    "out": "Left the collection",
    "died": "Died",
    "lent": "Lent",
    "back": "Came back",
    "moved": "Moved",
    "show": "At a show",
}
ENDED_WORDS = {"missed": "missed", "withdrawn": "taken back", "not_this_year": "not this year"}


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that happened.

    Attributes:
        day: The day as people say it, of remembered work only the year.
        struck: It was put right by a newer entry.
        wrong: Who put it right and when, "" when nobody did.
        sitting_id: The sitting that whoever looks may put right, or None.
    """

    on: date
    day: str
    kind: str
    what: str
    note: str = ""
    who: str = ""
    struck: bool = False
    wrong: str = ""
    sitting_id: int | None = None


@dataclass(frozen=True, slots=True)
class History:
    """A page of a tree's history."""

    tree_id: int
    accession: str
    title: str
    entries: tuple[Entry, ...]
    total: int
    start: int


@dataclass(frozen=True, slots=True)
class _Key:
    """Where an entry stands in the order: the day, when it was written down, and its rows."""

    on: date
    written: Any
    kind: str
    rows: tuple[int, ...]


def tree_history(actor: Actor, tree_id: int, *, start: int = 0) -> History:
    """A page of everything on record about a tree; a constant number of queries.

    Raises:
        Refused: ``not_found``.
    """
    tree = tree_for(actor, tree_id)
    zone = club_of(actor).zone
    keys = sorted(_keys(tree, zone), key=lambda key: (key.on, key.written, key.rows), reverse=True)
    start = max(0, min(start, (len(keys) - 1) // PAGE * PAGE)) // PAGE * PAGE
    page = keys[start : start + PAGE]
    told: dict[tuple[str, int], Entry] = {}
    for kind, tell in _TELLERS.items():
        rows = [key for key in page if key.kind == kind]
        if not rows:
            continue
        told |= {(kind, key): entry for key, entry in tell(actor, rows, zone).items()}
    entries = tuple(told[key.kind, key.rows[0]] for key in page if (key.kind, key.rows[0]) in told)
    return History(tree.pk, tree.accession, title_of(tree), entries, len(keys), start)


def _keys(tree: Tree, zone: str) -> Iterable[_Key]:
    for pk, began, at in Sitting.objects.filter(tree=tree).values_list("pk", "started", "recorded_at"):
        yield _Key(local(began, zone).date(), at, "work", (pk,))
    for pk, on, at in TreeEvent.objects.filter(tree=tree).values_list("pk", "on", "at"):
        yield _Key(on, at, "event", (pk,))
    yield from _count_keys(tree)
    yield from _change_keys(tree, zone)
    yield from _dated_keys(tree)


def _count_keys(tree: Tree) -> Iterable[_Key]:
    """Figures counted on one day by one person are one entry."""
    groups: dict[tuple[Any, ...], list[tuple[int, Any]]] = {}
    for pk, on, at, by, guessed in Count.objects.filter(tree=tree).values_list(
        "pk", "on", "at", "by_id", "guessed"
    ):
        groups.setdefault((on, by, guessed), []).append((pk, at))
    for (on, _by, _guessed), rows in groups.items():
        yield _Key(on, max(at for _, at in rows), "count", tuple(pk for pk, _ in sorted(rows, reverse=True)))


def _change_keys(tree: Tree, zone: str) -> Iterable[_Key]:
    rows = _changes(tree)
    for pk, at in rows.values_list("pk", "at"):
        yield _Key(local(at, zone).date(), at, "change", (pk,))


def _changes(tree: Tree) -> Any:
    """Lines of the trail about the tree and what belongs to it; what was made is told only for some."""
    of: dict[str, Any] = {
        "job": Job.objects.filter(tree=tree).values("pk"),
        "branch": Branch.objects.filter(tree=tree).values("pk"),
        "care": Care.objects.filter(tree=tree).values("pk"),
        "wire": Wire.objects.filter(tree=tree).values("pk"),
        "guy": Guy.objects.filter(tree=tree).values("pk"),
    }
    edits = ~Q(before={})
    wanted = Q(table="tree", row=tree.pk) & edits
    for name, rows in of.items():
        made = Q() if name in ("branch", "care") else edits
        wanted |= Q(table=name, row__in=rows) & made
    # A branch or a line of care that is gone is known by the tree in what it was.
    gone = Q(table__in=["branch", "care"], after={}, before__tree_id=tree.pk)
    return Change.objects.filter(club_id=tree.club_id).filter(wanted | gone).exclude(_told_elsewhere())


def _told_elsewhere() -> Q:
    """An end of a job is told as the job's own, the end of a wire as the wire's."""
    ended = Q(table="job", after__has_key="state") & ~Q(after__state="open")
    return ended | Q(table__in=["wire", "guy"], after__has_any_keys=["off", "look_on"])


def _dated_keys(tree: Tree) -> Iterable[_Key]:
    looks = Look.objects.filter(Q(wire__tree=tree) | Q(guy__tree=tree))
    for pk, on in looks.values_list("pk", "on"):
        yield _Key(on, _midnight(on), "look", (pk,))
    for pk, on in TreeSign.objects.filter(tree=tree).values_list("pk", "seen_on"):
        yield _Key(on, _midnight(on), "sign", (pk,))
    ended = Job.objects.filter(tree=tree, state__in=ENDED_WORDS, ended_on__isnull=False)
    for pk, end in ended.values_list("pk", "ended_on"):
        if end is not None:
            yield _Key(end, _midnight(end), "job", (pk,))
    for model, kind in ((Wire, "wire"), (Guy, "guy")):
        gear = model._default_manager.filter(tree=tree).values_list("pk", "on", "off")
        for pk, put_on, off in gear:
            yield _Key(put_on, _midnight(put_on), f"{kind}-on", (pk,))
            if off is not None:
                yield _Key(off, _midnight(off), f"{kind}-off", (pk,))


def _midnight(on: date) -> datetime:
    return datetime.combine(on, time.min, tzinfo=UTC)


Told = dict[int, Entry]
Teller = Callable[[Actor, list[_Key], str], Told]


def _work(actor: Actor, keys: list[_Key], zone: str) -> Told:
    """Sittings, also those that were put right, which stay and are struck through."""
    rows = Sitting.objects.filter(pk__in=_ids(keys)).select_related(
        "recorded_by", "corrected_by__recorded_by", "corrected_by__tree", "tree"
    )
    found = {}
    for sitting in rows.prefetch_related("people__member", "tasks"):
        hands = hands_of(sitting, zone)
        people = [person.member_id for person in sitting.people.all()]
        newer = getattr(sitting, "corrected_by", None)
        may = actor.plans or actor.member_id in (sitting.recorded_by_id, *people)
        spent = f", {spent_words(hands)}" if hands.minutes else ""
        known = " (known from before)" if hands.remembered else ""
        found[sitting.pk] = Entry(
            on=hands.on,
            day=str(hands.on.year) if hands.remembered else dated(hands.on),
            kind="work",
            what=f"{hands.what}{spent}{known}" + (". Left open" if hands.left_open else ""),
            note=hands.note,
            who=listed(hands.who) if hands.who else _written(sitting.recorded_by),
            struck=newer is not None,
            wrong=_put_right(sitting, newer, zone) if newer else "",
            sitting_id=sitting.pk if may and newer is None and not hands.remembered else None,
        )
    return found


def _put_right(sitting: Sitting, newer: Sitting, zone: str) -> str:
    who = newer.recorded_by.name if newer.recorded_by else "the club"
    said = f"Put right by {who} on {dated(local(newer.recorded_at, zone).date())}"
    if newer.tree_id != sitting.tree_id:
        said += f": it was on {newer.tree.accession}"
    return f"{said}."


def _written(member: Member | None) -> str:
    return f"Written down by {member.name}" if member else ""


def _events(actor: Actor, keys: list[_Key], zone: str) -> Told:
    rows = TreeEvent.objects.filter(pk__in=_ids(keys)).select_related("by")
    found = {}
    for event in rows:
        until = f" until {dated(event.until)}" if event.until else ""
        cause = f": {event.cause}" if event.cause else ""
        what = f"{EVENT_WORDS[event.kind]}{until}{cause}"
        found[event.pk] = Entry(event.on, dated(event.on), "event", what, who=_name(event.by))
    return found


def _counts(actor: Actor, keys: list[_Key], zone: str) -> Told:
    every = [pk for key in keys for pk in key.rows]
    rows = Count.objects.filter(pk__in=every).select_related("by").in_bulk()
    found = {}
    for key in keys:
        group = [rows[pk] for pk in reversed(key.rows) if pk in rows]
        figures = ", ".join(_figure(count) for count in group)
        guess = "Guessed" if group[0].guessed else "Counted"
        what = f"{guess}: {figures}"
        found[key.rows[0]] = Entry(key.on, dated(key.on), "count", what, who=_name(group[0].by))
    return found


def _figure(count: Count) -> str:
    name = KIND_NAMES.get(count.kind, (count.kind, count.kind))[0]
    if count.kind in WIRED.values():
        return f"{name}: {'yes' if count.amount else 'no'}"
    if count.kind in THICKNESS.values():
        return f"{name}: {count.amount:g} mm"
    return kind_name(count.kind, count.amount)


def _looks(actor: Actor, keys: list[_Key], zone: str) -> Told:
    rows = Look.objects.filter(pk__in=_ids(keys)).select_related("by", "wire", "guy")
    found = {}
    for look in rows:
        what = (
            f"wire {look.wire.label}" if look.wire else f"guy wire {look.guy.label}" if look.guy else "wire"
        )
        found[look.pk] = Entry(
            look.on, dated(look.on), "look", f"Looked at {what}: {look.seen}", who=_name(look.by)
        )
    return found


def _signs(actor: Actor, keys: list[_Key], zone: str) -> Told:
    words = {row["code"]: row["name"] for row in table("tree_signs")}
    rows = TreeSign.objects.filter(pk__in=_ids(keys)).select_related("by")
    return {
        sign.pk: Entry(
            sign.seen_on,
            dated(sign.seen_on),
            "sign",
            f"Seen: {words.get(sign.sign, sign.sign)}",
            who=_name(sign.by),
        )
        for sign in rows
    }


def _jobs(actor: Actor, keys: list[_Key], zone: str) -> Told:
    rows = Job.objects.filter(pk__in=_ids(keys)).select_related("by")
    found = {}
    for job in rows:
        on = job.ended_on or job.closes
        reason = f". {job.reason}" if job.reason else ""
        what = f"{task_name(job.task)}: {ENDED_WORDS[job.state]}{reason}"
        found[job.pk] = Entry(on, dated(on), "job", what, who=_name(job.by) if job.edited else "")
    return found


def _wires(on: bool) -> Teller:
    def tell(actor: Actor, keys: list[_Key], zone: str) -> Told:
        rows = Wire.objects.filter(pk__in=_ids(keys)).select_related("branch")
        found = {}
        for wire in rows:
            where = f", branch {wire.branch.label}" if wire.branch else ""
            size = f", {wire.gauge_mm:g} mm {wire.metal}, {wire.length_m:.1f} m"
            what = f"Wire {wire.label} put on{where}{size}" if on else f"Wire {wire.label} came off"
            found[wire.pk] = _gear(wire.on if on else wire.off or wire.on, what)
        return found

    return tell


def _guys(on: bool) -> Teller:
    def tell(actor: Actor, keys: list[_Key], zone: str) -> Told:
        rows = Guy.objects.filter(pk__in=_ids(keys)).select_related("branch")
        found = {}
        for guy in rows:
            where = f", branch {guy.branch.label}" if guy.branch else ""
            what = f"Guy wire {guy.label} {f'put on{where}' if on else 'came off'}"
            found[guy.pk] = _gear(guy.on if on else guy.off or guy.on, what)
        return found

    return tell


def _gear(on: date, what: str) -> Entry:
    return Entry(on, dated(on), "wire", what)


def _trail(actor: Actor, keys: list[_Key], zone: str) -> Told:
    lines = list(Change.objects.filter(pk__in=_ids(keys)).select_related("who"))
    names = Names(lines)
    found = {}
    for line in lines:
        on, said = local(line.at, zone).date(), change_words(line, names)
        if said:
            found[line.pk] = Entry(on, dated(on), "change", said, who=line.who.name if line.who else "")
    return found


def _ids(keys: list[_Key]) -> list[int]:
    return [key.rows[0] for key in keys]


def _name(member: Member | None) -> str:
    return member.name if member else ""


_TELLERS: dict[str, Teller] = {
    "work": _work,
    "event": _events,
    "count": _counts,
    "look": _looks,
    "sign": _signs,
    "job": _jobs,
    "wire-on": _wires(on=True),
    "wire-off": _wires(on=False),
    "guy-on": _guys(on=True),
    "guy-off": _guys(on=False),
    "change": _trail,
}
