"""Trees that people are to be told of: windows that open or close, trees they left open.

Never one notice a tree: the trees of one task and one window are gathered for each person, by bench.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import Any

from django.db.models import Exists, OuterRef, Q, QuerySet

from collection.models import Assignment, Job, Sitting
from collection.queries.clock import local
from collection.queries.mail_times import midnight
from collection.queries.notice_facts import Asking, Fact, keepers
from collection.queries.notice_kinds import NoticeKind
from collection.queries.real_work import real_work
from collection.queries.trees import title_of

# A window is told four weeks before it opens; hard work seven days before it closes (assumptions).
OPENS_DAYS = 28
CLOSES_DAYS = 7
HARD = 3
# A handover note is worth telling for so long (assumption).
OPEN_TREE_DAYS = 60
# What has a round or a notice of its own.
NOT_TOLD = ("LOOK_OVER", "WIRE_CHECK")
NOTE_LENGTH = 160


def opening(asked: Asking) -> Iterator[Fact]:
    """Windows that open within four weeks, to whoever keeps the trees, or else to the coordinator."""
    last = asked.today + timedelta(days=OPENS_DAYS)
    jobs = list(_open_jobs(asked).filter(opens__gt=asked.today, opens__lte=last).order_by("opens", "id"))
    told_to = keepers(asked, {job.tree_id for job in jobs if job.tree_id})
    gathered: dict[tuple[int, str, date], list[Job]] = defaultdict(list)
    for job in jobs:
        for member in told_to.get(job.tree_id or 0) or asked.planners:
            gathered[member, job.task, job.opens].append(job)
    for (member, task, opens), mine in gathered.items():
        yield Fact(
            NoticeKind.WINDOW_OPENS,
            member,
            f"task:{task}",
            opens.isoformat(),
            midnight(opens - timedelta(days=OPENS_DAYS), asked.club.zone),
            midnight(opens, asked.club.zone),
            _window_values(task, mine, told_to) | {"opens": opens.isoformat()},
        )


def closing(asked: Asking) -> Iterator[Fact]:
    """Hard work whose window closes within seven days and that nobody is down for, also to coordinators."""
    last = asked.today + timedelta(days=CLOSES_DAYS)
    rows = _open_jobs(asked).filter(stress=HARD, opens__lte=asked.today)
    rows = rows.filter(closes__gte=asked.today, closes__lte=last)
    placed = Assignment.objects.filter(
        job=OuterRef("pk"),
        confirmed=True,
        plan__workday__date__gte=asked.today,
        plan__workday__state__in=["open", "sent"],
    )
    jobs = list(rows.exclude(Exists(placed)).order_by("closes", "id"))
    told_to = keepers(asked, {job.tree_id for job in jobs if job.tree_id})
    gathered: dict[tuple[int, str, date], list[Job]] = defaultdict(list)
    for job in jobs:
        for member in {*told_to.get(job.tree_id or 0, ()), *asked.planners}:
            gathered[member, job.task, job.closes].append(job)
    for (member, task, closes), mine in sorted(gathered.items()):
        yield Fact(
            NoticeKind.WINDOW_CLOSES,
            member,
            f"task:{task}",
            closes.isoformat(),
            midnight(closes - timedelta(days=CLOSES_DAYS), asked.club.zone),
            midnight(closes + timedelta(days=1), asked.club.zone),
            _window_values(task, mine, told_to) | {"closes": closes.isoformat()},
        )


def left_open(asked: Asking) -> Iterator[Fact]:
    """Trees whose last sitting left them open, to those who worked in it."""
    worked = real_work(Sitting.objects.filter(corrected_by=None, remembered=False))
    later = worked.filter(tree=OuterRef("tree")).filter(
        Q(ended__gt=OuterRef("ended")) | Q(ended=OuterRef("ended"), pk__gt=OuterRef("pk"))
    )
    rows = Sitting.objects.filter(club=asked.club, left_open=True, corrected_by=None, remembered=False)
    rows = rows.filter(tree__archived_at=None).exclude(Exists(later))
    for sitting in rows.select_related("tree").prefetch_related("people").order_by("ended", "id"):
        ended = local(sitting.ended, asked.club.zone).date()
        first, last = ended + timedelta(days=1), ended + timedelta(days=OPEN_TREE_DAYS)
        if not first <= asked.today < last:
            continue
        for person in sorted(p.member_id for p in sitting.people.all()):
            if person in asked.people:
                yield Fact(
                    NoticeKind.TREE_OPEN,
                    person,
                    f"tree:{sitting.tree_id}",
                    f"sitting {sitting.pk}",
                    midnight(first, asked.club.zone),
                    midnight(last, asked.club.zone),
                    {
                        "tree": sitting.tree.accession,
                        "title": title_of(sitting.tree),
                        "on": ended.isoformat(),
                        "note": _short(sitting.note),
                    },
                )


def _open_jobs(asked: Asking) -> QuerySet[Job]:
    rows = Job.objects.filter(club=asked.club, state=Job.State.OPEN, tree__isnull=False)
    rows = rows.filter(tree__archived_at=None).exclude(task__in=NOT_TOLD)
    return rows.select_related("tree__bench", "tree__site")


def _window_values(task: str, jobs: Iterable[Job], told_to: dict[int, tuple[int, ...]]) -> dict[str, Any]:
    """Task and trees by bench; ``unkept`` when nobody keeps any of them."""
    benches: dict[str, dict[str, None]] = {}
    kept = False
    for job in jobs:
        assert job.tree is not None
        tree = job.tree
        kept = kept or bool(told_to.get(tree.pk))
        name = tree.bench.name if tree.bench else tree.site.name
        benches.setdefault(name, {})[tree.accession] = None
    return {
        "task": task,
        "benches": [[name, sorted(trees)] for name, trees in sorted(benches.items())],
        "unkept": not kept,
    }


def _short(note: str) -> str:
    words = " ".join(note.split())
    return words if len(words) <= NOTE_LENGTH else words[: NOTE_LENGTH - 4].rsplit(" ", 1)[0] + " ..."
