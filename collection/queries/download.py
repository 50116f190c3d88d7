"""The club's lists to take away: whoever brings them in again gets the same trees and people.

Headings are those the importer knows without a question; a test brings every list in again.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from collection.models import (
    Care,
    Club,
    Contact,
    Count,
    Declaration,
    Member,
    MemberSkill,
    SittingTask,
    Tree,
)
from collection.queries.access import Actor, club_of, must_plan
from collection.queries.labels import STAGE_NAMES
from collection.queries.sheets import Cell, Table

INCH_MM, POUND_KG = 25.4, 0.45359237
COUNTS = {
    "primary": "Main branches",
    "secondary": "Side branches",
    "fine": "Fine branches",
    "branches_total": "All branches",
    "cut_sites": "Cut sites",
    "shoots": "Shoots",
    "candles": "Candles",
}
SKILLS = {
    "water_feed": "Watering and feeding",
    "candles_needles": "Candles and needles",
    "trimming": "Trimming",
    "pruning": "Pruning",
    "wiring": "Wiring",
    "bending": "Bending",
    "repotting": "Repotting",
    "deadwood": "Deadwood",
    "grafting": "Grafting",
    "plant_health": "Plant health",
    "moving": "Moving",
    "show_record": "Show and record",
}
DECLARED = {
    "can_lift": "Can lift",
    "power_tools": "Power tools",
    "sprays": "Trained for sprays",
    "first_aid": "First aid",
    "wants_bends": "Wants bends",
}


@dataclass(frozen=True, slots=True)
class _Facts:
    """What the trees' own rows do not say, by tree."""

    care: Mapping[tuple[int, str], list[str]]
    counts: Mapping[tuple[int, str], float]
    repots: Mapping[int, date]
    inches: bool


def tree_table(actor: Actor) -> Table:
    """Trees on the register now, by accession number: six queries for any number of them.

    Sizes are in the club's unit and to the last digit. Columns the club's own file had and we do not
    know stand at the end.

    Raises:
        Refused: ``coordinators_only``.
    """
    must_plan(actor)
    club = club_of(actor)
    trees = list(
        Tree.objects.filter(club=club, archived_at=None)
        .select_related("site", "bench", "brought_by")
        .order_by("accession")
    )
    facts = _facts(club)
    # By name: a database may keep them in an order of its own.
    kept = sorted({heading for tree in trees for heading in tree.extra.get("kept", {})})
    columns = tree_columns(club.inches)
    rows = [(*(read(tree, facts) for read in columns.values()), *_kept(tree, kept)) for tree in trees]
    return Table("Trees", (*columns, *kept), tuple(rows))


def _kept(tree: Tree, headings: list[str]) -> list[str]:
    return [str(tree.extra.get("kept", {}).get(heading, "")) for heading in headings]


def tree_columns(inches: bool) -> dict[str, Callable[[Tree, _Facts], Cell]]:
    """Heading and reader of every column we know."""
    unit = "in" if inches else "mm"
    columns: dict[str, Callable[[Tree, _Facts], Cell]] = {
        "Accession number": lambda t, f: t.accession,
        "Name": lambda t, f: t.name,
        "Species": lambda t, f: t.species,
        "Common name": lambda t, f: t.common_name,
        "Group": lambda t, f: t.group,
        "Stage": lambda t, f: STAGE_NAMES[t.stage],
        "Style": lambda t, f: t.style,
        "Number of trees": lambda t, f: t.batch,
        f"Height ({unit})": lambda t, f: _length(t.height_mm, f),
        f"Spread ({unit})": lambda t, f: _length(t.spread_mm, f),
        f"Trunk thickness ({unit})": lambda t, f: _length(t.trunk_mm, f),
        "Pot": lambda t, f: t.pot,
        "Pot volume (l)": lambda t, f: _number(t.pot_litres),
        "Weight (lb)" if inches else "Weight (kg)": _weight,
        "Weighed": lambda t, f: t.mass_weighed,
        "Site": lambda t, f: t.site.name,
        "Bench": lambda t, f: t.bench.name if t.bench else "",
        "Owner": lambda t, f: ", ".join(f.care.get((t.pk, "owner"), ())),
        "Looked after by": lambda t, f: ", ".join(f.care.get((t.pk, "carer"), ())),
        "Acquired": lambda t, f: t.acquired_on,
        "Last repotted": lambda t, f: f.repots.get(t.pk),
        "Health": lambda t, f: t.condition,
        "May travel": lambda t, f: t.may_travel,
        "Brought by": lambda t, f: t.brought_by.name if t.brought_by else "",
        "No hard work until": lambda t, f: t.no_hard_work_until,
        "Why no hard work": lambda t, f: t.no_hard_work_why,
        "Leave alone until": lambda t, f: t.leave_alone_until,
        "Why left alone": lambda t, f: t.leave_alone_why,
    }
    for kind, heading in COUNTS.items():
        columns[heading] = lambda t, f, kind=kind: _number(f.counts.get((t.pk, kind)))  # type: ignore[misc]
    columns["Notes"] = lambda t, f: t.note
    return columns


def _number(value: float | None) -> float | int | None:
    return int(value) if value is not None and float(value).is_integer() else value


def _length(mm: float | None, facts: _Facts) -> float | int | None:
    return _number(mm) if mm is None or not facts.inches else _number(mm / INCH_MM)


def _weight(tree: Tree, facts: _Facts) -> float | int | None:
    kg = tree.mass_kg
    return _number(kg) if kg is None or not facts.inches else _number(kg / POUND_KG)


def _facts(club: Club) -> _Facts:
    care: dict[tuple[int, str], list[str]] = {}
    rows = Care.objects.filter(club=club).order_by("member__name")
    for tree, role, name in rows.values_list("tree_id", "role", "member__name"):
        care.setdefault((tree, role), []).append(name)
    counts = {
        (tree, kind): amount
        for tree, kind, amount in Count.objects.filter(club=club)
        .order_by("on", "pk")
        .values_list("tree_id", "kind", "amount")
    }
    zone = ZoneInfo(club.zone)
    done = SittingTask.objects.filter(club=club, task="REPOT", sitting__corrected_by=None)
    repots = {
        tree: started.astimezone(zone).date()
        for tree, started in done.order_by("sitting__started").values_list(
            "sitting__tree_id", "sitting__started"
        )
    }
    return _Facts(care, counts, repots, club.inches)


def people_table(actor: Actor, *, contacts: bool) -> Table:
    """Everybody who is or was in the club, by name; how to reach them only when asked for.

    Raises:
        Refused: ``coordinators_only``.
    """
    must_plan(actor)
    members = list(Member.objects.filter(club_id=actor.club_id).order_by("name", "pk"))
    club = actor.club_id
    skills = _newest(MemberSkill.objects.filter(club_id=club).order_by("since", "pk"), "family", "level")
    declared = _newest(Declaration.objects.filter(club_id=club).order_by("given_on", "pk"), "kind", "answer")
    reach = {}
    if contacts:
        reach = {row.member_id: row for row in Contact.objects.filter(club_id=club)}
    headings = ["Name", "Role", "Joined", "Left on"]
    headings += ["E-mail", "Telephone"] if contacts else []
    headings += ["Wants mail", *SKILLS.values(), *DECLARED.values()]
    rows = []
    for member in members:
        row: list[Cell] = [member.name, str(member.get_role_display()), member.active_from, member.active_to]
        if contacts:
            found = reach.get(member.pk)
            row += [found.email, found.telephone] if found else ["", ""]
        row.append(member.wants_mail)
        row += [skills.get((member.pk, family), "") for family in SKILLS]
        row += [declared.get((member.pk, kind)) for kind in DECLARED]
        rows.append(tuple(row))
    return Table("People", tuple(headings), tuple(rows))


def _newest(rows: Any, name: str, value: str) -> dict[tuple[int, str], Any]:
    return {(row["member_id"], row[name]): row[value] for row in rows.values("member_id", name, value)}
