"""Wires, guys and yearly counts of the past, each on its own day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from collection.craft.growth import limit_for, sites_after
from collection.models import Count, Tree
from collection.usecases import sittings, trees
from collection.usecases.counts import record_counts
from collection.usecases.sample.files import WireStory
from collection.usecases.sample.past import Story
from collection.usecases.sittings import TaskDone, Worked

# Minutes for laying on and for cutting off a metre of wire (assumption: the middle of the pace table).
ON_MIN_PER_M = {"thick": 9.0, "thin": 14.0}
OFF_MIN_PER_M = 4.0
THICK_FROM_MM = 3.0
# Minutes before a workday opens at which wiring begins, and room for each piece of it.
EARLY_MIN, TURN_MIN = -200, 40
# Branches of a counted tree grow in number by about a tenth a year (assumption).
YEARLY_GROWTH = 1.1
STOCKTAKE_DAYS_AGO = (560, 195)
# Cut sites to a fine branch, and how near a tree comes to what is foretold (invented).
SITES_PER_FINE = 0.78
SITES_NEAR = (0.95, 1.06, 0.88, 1.0, 0.92)


@dataclass(slots=True)
class Gear:
    """What is on the trees while the story is told, and the events still to come, oldest first.

    ``worked`` counts the wiring of each day, so that one comes after the other.
    """

    branch_ids: dict[tuple[str, str], int]
    events: list[tuple[date, int, str, WireStory]]
    wire_ids: dict[tuple[str, str], int] = field(default_factory=dict)
    worked: dict[date, int] = field(default_factory=dict)


def planned(story: Story, branch_ids: dict[tuple[str, str], int]) -> Gear:
    """Every wire's events in order of days; on one day a wire comes off before another goes on."""
    events = [event for wire in story.files.wires for event in _events(wire, story.today)]
    return Gear(
        branch_ids, sorted(events, key=lambda event: (event[0], event[1], event[3].tree, event[3].label))
    )


def _events(wire: WireStory, today: date) -> Iterator[tuple[date, int, str, WireStory]]:
    yield today - timedelta(days=wire.on_days_ago), 1, "on", wire
    for days in wire.looked_days_ago:
        yield today - timedelta(days=days), 2, "look", wire
    if wire.off_days_ago is not None:
        yield today - timedelta(days=wire.off_days_ago), 0, "off", wire


def tell_until(story: Story, gear: Gear, on: date) -> None:
    """Let everything happen that lies before or on a day."""
    while gear.events and gear.events[0][0] <= on:
        day, _, kind, wire = gear.events.pop(0)
        if wire.kind == "guy":
            if kind == "on":
                _guy_on(story, gear, wire, day)
        elif kind == "on":
            _wire_on(story, gear, wire, day)
        elif kind == "look":
            _looked(story, gear, wire, day)
        else:
            _wire_off(story, gear, wire, day)


def _wire_on(story: Story, gear: Gear, wire: WireStory, day: date) -> None:
    tree_id = story.ids[wire.tree]
    gear.wire_ids[wire.tree, wire.label] = trees.put_wire_on(
        actor=story.actor,
        tree_id=tree_id,
        label=wire.label,
        branch_id=gear.branch_ids.get((wire.tree, wire.branch)),
        length_m=wire.length_m,
        gauge_mm=wire.gauge_mm,
        metal=wire.metal,
        fit=wire.fit,
        on=day,
    )
    size = "thick" if wire.gauge_mm >= THICK_FROM_MM else "thin"
    done = TaskDone("WIRE_DETAIL", amount=wire.length_m, unit=f"wire_{size}_m")
    _sat(story, gear, tree_id, done, wire.length_m * ON_MIN_PER_M[size], day)


def _wire_off(story: Story, gear: Gear, wire: WireStory, day: date) -> None:
    tree_id = story.ids[wire.tree]
    done = TaskDone("WIRE_OFF", amount=wire.length_m, unit="wire_m")
    off = [gear.wire_ids[wire.tree, wire.label]]
    _sat(story, gear, tree_id, done, wire.length_m * OFF_MIN_PER_M + 5, day, wires_off=off)


def _looked(story: Story, gear: Gear, wire: WireStory, day: date) -> None:
    """The last look before a wire came off saw what the file says; looks before it saw a snug wire."""
    last = wire.off_days_ago is not None and day == story.today - timedelta(days=wire.looked_days_ago[-1])
    seen = wire.seen if last or wire.seen != "marking" else "snug"
    trees.look(actor=story.actor, wire_id=gear.wire_ids[wire.tree, wire.label], on=day, seen=seen)


def _guy_on(story: Story, gear: Gear, wire: WireStory, day: date) -> None:
    trees.add_guy(
        actor=story.actor,
        tree_id=story.ids[wire.tree],
        label=wire.label,
        branch_id=gear.branch_ids.get((wire.tree, wire.branch)),
        gauge_mm=wire.gauge_mm,
        metal=wire.metal,
        anchor=wire.anchor,
        on=day,
        look_on=day + timedelta(days=14),
    )


def _sat(
    story: Story,
    gear: Gear,
    tree_id: int,
    done: TaskDone,
    usual_min: float,
    day: date,
    *,
    wires_off: Sequence[int] | None = None,
) -> None:
    """Wiring is done early, before anybody else's hours begin."""
    number = gear.worked[day] = gear.worked.get(day, 0) + 1
    start = EARLY_MIN + number * TURN_MIN
    able = [hand for hand in story.hands if hand.level("wiring") >= 2]
    hand = story.rng.choice(able)
    spent = max(5, 5 * round(usual_min * hand.pace / 5))
    sittings.record(
        actor=story.actor,
        trees=[tree_id],
        tasks=[done],
        people=[Worked(hand.member_id, spent, "lead")],
        started=story.at(day, start),
        ended=story.at(day, start + spent),
        request_key=f"replay-wire-{day.isoformat()}-{number}",
        wires_off=wires_off,
    )
    story.remember(tree_id, done.task, day, 1)
    story.told += 1


def stocktakes(story: Story) -> list[date]:
    """Days on which branches are counted anew."""
    return [story.today - timedelta(days=days) for days in STOCKTAKE_DAYS_AGO]


def count_again(story: Story, on: date) -> int:
    """Count a third of the trees anew, and cut sites of every two-flush pine; returns trees counted."""
    rows = Tree.objects.filter(club_id=story.actor.club_id, batch=None).order_by("accession")
    counted = 0
    for number, tree in enumerate(rows):
        known = dict(Count.objects.filter(tree=tree).order_by("on", "pk").values_list("kind", "amount"))
        if "fine" not in known:
            continue
        counts = _cut_sites(tree, known, number)
        if not (number + on.year) % 3:
            fine = round(known["fine"] * YEARLY_GROWTH)
            counts |= {"secondary": round(known.get("secondary", fine / 3)), "fine": fine}
        if not counts:
            continue
        record_counts(actor=story.actor, tree_id=tree.pk, on=on, counts=counts)
        counted += 1
    return counted


def _cut_sites(tree: Tree, known: Mapping[str, float], number: int) -> dict[str, float]:
    """Cut sites of a two-flush pine: from its fine branches at first, then about as the curve foretells."""
    if tree.group != "G01" or tree.stage not in "FS":
        return {}
    near = SITES_NEAR[number % len(SITES_NEAR)]
    if "cut_sites" not in known:
        return {"cut_sites": round(known["fine"] * SITES_PER_FINE * near)}
    limit = limit_for(tree.height_mm / 10 if tree.height_mm else None, tree.stage).sites
    return {"cut_sites": round(sites_after(known["cut_sites"], 1, limit) * near)}
