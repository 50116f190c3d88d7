"""The wire clock: how the day of a first look was found, and what the club's own looks say of it."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from collection.craft.bite import EARLY, LONGEST_DAYS, bites, growing_weeks, look_date, wire_factors
from collection.craft.bite_fit import Refit, Seen, refit
from collection.models import Branch, Club, Look, Tree, Wire
from collection.queries.access import Actor, club_of
from collection.queries.labels import group_name
from collection.queries.opened import Line, Opened

# From these parts of a tree's height a branch is the apex, which swells first, and so on (assumption).
APEX_FROM, UPPER_FROM, MIDDLE_FROM = 0.9, 2 / 3, 1 / 3
# Before so many wires were seen to mark, the club's looks are shown and do not yet move a date (assumption).
FEWEST_MARKS = 5
POSITION_WORDS = {
    "apex": "the apex",
    "upper": "a high branch",
    "middle": "the middle",
    "lower": "a low branch",
}
WEEKS = (
    "A week counts whole from May to September, 0.3 in April and October, and not at all in winter. "
    "South of the equator it is half a year later."
)
CAPPED = "These weeks reach past a year. No wire is left that long without a look."
OTHERWISE = "Its day to look was set otherwise: by hand, by a look since, or before the clock moved."


def position_of(tree: Tree, branch: Branch | None) -> str:
    """Where a branch sits, by its height as a part of the tree's; the tree's top counts as apex."""
    if branch is None or branch.height_mm is None or not tree.height_mm:
        return "middle"
    part = branch.height_mm / tree.height_mm
    if part >= APEX_FROM:
        return "apex"
    return "upper" if part >= UPPER_FROM else "middle" if part >= MIDDLE_FROM else "lower"


def first_look(wire: Wire, club: Club, today: date) -> Opened:
    """The growing weeks after which a wire is first looked at, opened to what they come from."""
    tree, clock = wire.tree, bites()[wire.tree.group]
    position = position_of(tree, wire.branch)
    by = wire_factors(position, wire.metal, wire.fit, tree.stage)
    factor = used_factor(club_clock(club, tree.group))
    lines = [
        Line(f"Wire bites on {group_name(tree.group).lower()} from", f"{clock.bites_from_weeks:g} weeks",
             clock.bites_from_weeks, f"{clock.label}: {clock.source}"),
        Line("By the club's own looks", f"x {factor:.2f}", factor, _looks_trust(factor)),
        Line("Look when this part has gone", f"x {EARLY:g}", EARLY, "assumption"),
        Line(f"It sits on {POSITION_WORDS[position]}", f"x {by['position']:g}", by["position"], "assumption"),
        Line(f"{wire.metal.capitalize()}, {wire.fit}", f"x {by['fit']:g}", by["fit"], "assumption"),
        Line("Stage of the tree", f"x {by['stage']:g}", by["stage"], "assumption"),
    ]  # fmt: skip
    value = math.prod(line.value for line in lines)
    gone = growing_weeks(wire.on, today, southern=club.latitude < 0)
    text = f"{value:.1f} growing weeks"
    clock_says = clock_day(tree, wire.branch, wire.metal, wire.fit, wire.on, factor)
    notes = [f"{gone:.1f} growing weeks have gone since it went on.", WEEKS]
    if (clock_says - wire.on).days >= LONGEST_DAYS:
        notes.append(CAPPED)
    if wire.look_on != clock_says:
        notes.append(OTHERWISE)
    return Opened(text, value, "weighted", tuple(lines), text, "First look after", tuple(notes))


def clock_day(tree: Tree, branch: Branch | None, metal: str, fit: str, on: date, factor: float) -> date:
    """The day of a wire's first look by its group's clock, which the club's looks move by ``factor``."""
    return look_date(
        tree.group,
        on,
        southern=tree.club.latitude < 0,
        position=position_of(tree, branch),
        metal=metal,
        fit=fit,
        stage=tree.stage,
        factor=factor,
    )


def _looks_trust(factor: float) -> str:
    return "learned" if factor != 1 else f"not used before {FEWEST_MARKS} wires were seen to mark"


def used_factor(found: Refit) -> float:
    """By what the club's looks move the clock; 1 before enough wires were seen to mark."""
    return found.factor if found.marked >= FEWEST_MARKS else 1.0


def club_clock(club: Club, group: str) -> Refit:
    """A group's clock fitted to what the club saw on its wires; one query."""
    return _clocks(club, group).get(group) or refit(bites()[group], ())


def club_clocks(actor: Actor) -> tuple[tuple[str, Refit], ...]:
    """The clock of every group that the club has looked at, with the group's name; one query."""
    found = _clocks(club_of(actor))
    return tuple(sorted((group_name(group), one) for group, one in found.items()))


def _clocks(club: Club, group: str = "") -> dict[str, Refit]:
    rows = Look.objects.filter(club=club, wire__isnull=False).select_related("wire__tree", "wire__branch")
    if group:
        rows = rows.filter(wire__tree__group=group)
    looks: dict[int, list[Look]] = defaultdict(list)
    for look in rows.order_by("on", "id"):
        looks[look.wire_id or 0].append(look)
    seen: dict[str, list[Seen]] = defaultdict(list)
    for of_wire in looks.values():
        wire = of_wire[0].wire
        assert wire is not None
        seen[wire.tree.group].append(_seen(wire, of_wire, southern=club.latitude < 0))
    return {name: refit(bites()[name], found) for name, found in seen.items()}


def _seen(wire: Wire, looks: Iterable[Look], *, southern: bool) -> Seen:
    """The bite of one wire between the last look without a mark and the first with one."""
    times = math.prod(
        wire_factors(position_of(wire.tree, wire.branch), wire.metal, wire.fit, wire.tree.stage).values()
    )
    clean = 0.0
    for look in looks:
        weeks = growing_weeks(wire.on, look.on, southern=southern)
        if look.seen == "marking":
            # Marked in a winter in which nothing grew since the look before: no interval to learn from.
            return Seen(clean, weeks if weeks > clean else None, times)
        clean = max(clean, weeks)
    return Seen(clean, None, times)
