"""Wires and guy wires that somebody is to look at: within the week, and on the look date itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta

from collection.craft.tasks import WIRING
from collection.models import Guy, SittingMember, Wire
from collection.queries.mail_times import midnight
from collection.queries.notice_facts import Asking, Fact, keepers
from collection.queries.notice_kinds import NoticeKind
from collection.queries.trees import title_of

# A look is told a week before its date (assumption), and holds until somebody has looked.
LOOK_DAYS = 7
LONGEST_DAYS = 365
LINK_LASTS = timedelta(days=60)
PUTS_WIRE_ON = sorted(WIRING | {"HEAVY_BEND", "GUY"})


def looks(asked: Asking) -> Iterator[Fact]:
    """Looks due, to whoever keeps the tree, or else wired it last, or else to the coordinator."""
    last = asked.today + timedelta(days=LOOK_DAYS)
    due = [row for row in _due(asked) if row.look_on is not None and row.look_on <= last]
    told_to = keepers(asked, {row.tree_id for row in due})
    wired = _who_wired(asked, {row.tree_id for row in due} - {t for t, who in told_to.items() if who})
    for row in due:
        people = told_to.get(row.tree_id) or wired.get(row.tree_id) or asked.planners
        for member in people:
            yield from _told(asked, row, member)


def _due(asked: Asking) -> list[Wire | Guy]:
    last = asked.today + timedelta(days=LOOK_DAYS)
    found: list[Wire | Guy] = []
    for table in (Wire, Guy):
        rows = table._default_manager.filter(club=asked.club, off=None, look_on__lte=last)
        rows = rows.filter(tree__archived_at=None).select_related("tree", "branch")
        found += rows.order_by("look_on", "id")
    return found


def _told(asked: Asking, row: Wire | Guy, member: int) -> Iterator[Fact]:
    assert row.look_on is not None
    name = "wire" if isinstance(row, Wire) else "guy"
    zone, look_on = asked.club.zone, row.look_on
    values = {
        name: row.pk,
        "version": row.version,
        "tree": row.tree.accession,
        "title": title_of(row.tree),
        "branch": (row.branch.place or row.branch.label) if row.branch else "",
        "label": row.label,
        "guy_wire": name == "guy",
        "on": row.on.isoformat(),
        "look_on": look_on.isoformat(),
        "until": (asked.now + LINK_LASTS).isoformat(),
    }
    kinds = [(NoticeKind.WIRE_LOOK, look_on - timedelta(days=LOOK_DAYS))]
    if look_on <= asked.today:
        kinds.append((NoticeKind.WIRE_TODAY, look_on))
    for kind, due_on in kinds:
        yield Fact(
            kind,
            member,
            f"{name}:{row.pk}",
            look_on.isoformat(),
            midnight(due_on, zone),
            midnight(look_on + timedelta(days=LONGEST_DAYS), zone),
            values,
        )


def _who_wired(asked: Asking, trees: Sequence[int] | set[int]) -> dict[int, tuple[int, ...]]:
    """Who worked in the last sitting that put wire on each tree, where they are still members."""
    rows = SittingMember.objects.filter(
        club=asked.club,
        sitting__tree_id__in=list(trees),
        sitting__corrected_by=None,
        sitting__tasks__task__in=PUTS_WIRE_ON,
    ).distinct()
    newest: dict[int, tuple[int, list[int]]] = {}
    for tree, sitting, member in rows.order_by("sitting__ended", "sitting_id", "id").values_list(
        "sitting__tree_id", "sitting_id", "member_id"
    ):
        if tree not in newest or newest[tree][0] != sitting:
            newest[tree] = (sitting, [])
        newest[tree][1].append(member)
    return {tree: tuple(m for m in people if m in asked.people) for tree, (_, people) in newest.items()}
