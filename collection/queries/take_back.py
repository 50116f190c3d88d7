"""Which rows that a file made nobody has touched since, so that they can be taken back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.apps import apps
from django.db import models
from django.db.models import Q
from django.utils import timezone

from collection.models import (
    Accepted,
    Assignment,
    Care,
    Change,
    Contact,
    Count,
    Declaration,
    Habit,
    Job,
    Member,
    MemberSkill,
    Offer,
    RoundTree,
    Sitting,
    SittingTask,
    Tree,
    TreeEvent,
    Upload,
)
from collection.queries.access import Actor, must_plan
from collection.queries.errors import Refused, not_found
from collection.queries.what_moves import with_hands_in

UNDO_FOR = timedelta(days=30)
CHUNK = 500
Stays = dict[int, str]


@dataclass(frozen=True, slots=True)
class Standing:
    """What can still be taken back of a file.

    Attributes:
        goes: Ids by table that nobody touched since.
        stays: (name, code of the reason) of rows that stay.
        gone: Rows that are not there any more.
    """

    goes: dict[str, list[int]]
    stays: tuple[tuple[str, str], ...]
    gone: int


def accepted_for(actor: Actor, accepted_id: int) -> Accepted:
    """The record that a file was taken in by the actor's club.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_plan(actor)
    row = Accepted.objects.filter(club_id=actor.club_id, pk=accepted_id).select_related("by").first()
    if row is None:
        raise not_found()
    return row


def must_be_undoable(row: Accepted) -> None:
    """Refuse what was taken back already, or came in too long ago.

    Raises:
        Refused: ``import_undone``, ``import_undo_running`` or ``import_undo_late``.
    """
    if row.undone_at is not None:
        raise Refused("import_undone", kind="conflict")
    if still_coming(row):
        raise Refused("import_undo_running", kind="conflict")
    if not row.made or row.at < timezone.now() - UNDO_FOR:
        raise Refused("import_undo_late", kind="conflict", days=UNDO_FOR.days)


def still_coming(row: Accepted) -> bool:
    """Whether more of the file's rows are on their way."""
    return row.half and Upload.objects.filter(accepted=row, state=Upload.State.TAKING).exists()


def standing(row: Accepted) -> Standing:
    """Look at every row the file made: a dozen queries for each five hundred of them."""
    goes: dict[str, list[int]] = {}
    stays: list[tuple[str, str]] = []
    gone = 0
    for table, judge in JUDGES.items():
        for ids in _chunks(row.made.get(table, [])):
            there = dict(_named(table, ids))
            touched = judge(list(there), row.at)
            goes.setdefault(table, []).extend(pk for pk in there if pk not in touched)
            stays += [(there[pk], touched[pk]) for pk in there if pk in touched]
            gone += len(ids) - len(there)
    return Standing({table: ids for table, ids in goes.items() if ids}, tuple(stays), gone)


def _chunks(ids: Sequence[int]) -> Iterator[Sequence[int]]:
    for start in range(0, len(ids), CHUNK):
        yield ids[start : start + CHUNK]


def _named(table: str, ids: Sequence[int]) -> Iterator[tuple[int, str]]:
    rows: Any = apps.get_model("collection", table)._default_manager.filter(pk__in=ids)
    if table in ("offer", "habit"):
        rows = rows.select_related("member")
        return ((row.pk, row.member.name) for row in rows)
    return ((row.pk, str(row)) for row in rows)


def _mark(stays: Stays, ids: Iterable[int | None], code: str) -> None:
    for pk in ids:
        if pk is not None:
            stays.setdefault(pk, code)


def _trees(ids: list[int], at: datetime) -> Stays:
    stays: Stays = {}
    worked = Sitting.objects.filter(tree__in=ids).exclude(remembered=True, request_key__startswith="import-")
    _mark(stays, worked.values_list("tree_id", flat=True), "import_stays_worked")
    jobs = Job.objects.filter(tree__in=ids)
    busy = with_hands_in(jobs.values_list("pk", flat=True))
    by_hand = jobs.filter(Q(pk__in=busy) | ~Q(origin__regex=r"^(G[0-9][0-9]|ALL)-"))
    _mark(stays, by_hand.values_list("tree_id", flat=True), "import_stays_planned")
    changed = Tree.objects.filter(pk__in=ids).filter(Q(version__gt=1) | ~Q(archived_at=None))
    _mark(stays, changed.values_list("pk", flat=True), "import_stays_changed")
    _mark(stays, _related(Tree, ids, TREE_BORN), "import_stays_changed")
    events = TreeEvent.objects.filter(tree__in=ids).exclude(kind="in")
    _mark(stays, events.values_list("tree_id", flat=True), "import_stays_changed")
    counted = Count.objects.filter(tree__in=ids, at__gt=at)
    _mark(stays, counted.values_list("tree_id", flat=True), "import_stays_changed")
    _mark(stays, _care_changed(ids, at), "import_stays_changed")
    return stays


def _care_changed(ids: list[int], at: datetime) -> Iterator[int]:
    care = dict(Care.objects.filter(tree__in=ids).values_list("pk", "tree_id"))
    told = Change.objects.filter(table="care", row__in=care)
    yield from (care[row] for row in told.values_list("row", flat=True))
    ended = Change.objects.filter(table="care", before__tree_id__in=ids, at__gt=at)
    yield from ended.values_list("before__tree_id", flat=True)


def _people(ids: list[int], at: datetime) -> Stays:
    stays: Stays = {}
    changed = Member.objects.filter(pk__in=ids).filter(Q(version__gt=1) | ~Q(account=None))
    _mark(stays, changed.values_list("pk", flat=True), "import_stays_changed")
    contacts = Contact.objects.filter(member__in=ids, version__gt=1)
    _mark(stays, contacts.values_list("member_id", flat=True), "import_stays_changed")
    for model in (MemberSkill, Declaration):
        known: Any = model._default_manager.filter(member__in=ids)
        own = dict(known.values_list("pk", "member_id"))
        since = Change.objects.filter(table=model._meta.model_name, row__in=own, at__gt=at)
        _mark(stays, (own[row] for row in since.values_list("row", flat=True)), "import_stays_changed")
    _mark(stays, _related(Member, ids, PERSON_BORN), "import_stays_used")
    return stays


def _offers(ids: list[int], at: datetime) -> Stays:
    stays: Stays = {}
    rows = Offer.objects.filter(pk__in=ids)
    _mark(stays, rows.filter(version__gt=1).values_list("pk", flat=True), "import_stays_changed")
    over = rows.filter(workday__state__in=["held", "cancelled"])
    _mark(stays, over.values_list("pk", flat=True), "import_stays_planned")
    placed = set(
        Assignment.objects.filter(plan__sent_out=True, member__offers__in=ids).values_list(
            "plan__workday_id", "member_id"
        )
    )
    for pk, day, member in rows.values_list("pk", "workday_id", "member_id"):
        if (day, member) in placed:
            stays.setdefault(pk, "import_stays_planned")
    return stays


def _habits(ids: list[int], at: datetime) -> Stays:
    changed = Habit.objects.filter(pk__in=ids, version__gt=1)
    return dict.fromkeys(changed.values_list("pk", flat=True), "import_stays_changed")


def _related(model: type[models.Model], ids: list[int], born: frozenset[type[models.Model]]) -> Iterator[int]:
    """Rows that something points at which the file did not make; tables to come are asked too."""
    for link in model._meta.get_fields(include_hidden=True):
        child: Any = link.related_model
        if not link.auto_created or link.concrete or link.many_to_many or child in born:
            continue
        name = link.field.name  # type: ignore[union-attr]
        rows: Any = child._default_manager.filter(**{f"{name}__in": ids})
        yield from rows.values_list(f"{name}_id", flat=True)


# What a tree or a person may have without anybody having touched it: looked at by itself, or the season's.
TREE_BORN: frozenset[type[models.Model]] = frozenset(
    {TreeEvent, Care, Count, Job, RoundTree, Sitting, SittingTask}
)
PERSON_BORN: frozenset[type[models.Model]] = frozenset({Contact, MemberSkill, Declaration})
JUDGES: dict[str, Callable[[list[int], datetime], Stays]] = {
    "tree": _trees,
    "member": _people,
    "offer": _offers,
    "habit": _habits,
}
