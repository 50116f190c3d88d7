"""Wire for the wiring jobs of a tree, branch by branch, and what a day's jobs need against the rack."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from collection.craft.quantities import ORDERS
from collection.craft.reference import groups
from collection.craft.wire import ShoppingLine, WireCut, shopping
from collection.craft.wire_metal import METALS
from collection.craft.wire_plan import ToWire, Wired, WirePlan, counted_plan, usual_branch, wire_plan
from collection.models import Assignment, Branch, Count, Plan, Tree, Wire, WireStock
from collection.queries.access import Actor, tree_for, workday_for
from collection.queries.errors import Refused
from collection.queries.opened import Opened
from collection.queries.quantities import THICKNESS
from collection.queries.sentences import say
from collection.queries.sums import opened_steps
from collection.queries.trees import title_of

# From how many mm a branch is of an order, as in the pace table; thinner ones are fine.
FROM_MM = {"primary": 8.0, "secondary": 3.0}
# Orders that each wiring task is about.
TASK_ORDERS = {"WIRE_STRUCT": ("primary",), "WIRE_DETAIL": ("secondary", "fine")}
ORDER_WORDS = {"primary": "main branch", "secondary": "side branch", "fine": "fine branch"}
METAL_SOURCE = (
    "Copper suits conifers and must be put on right first time. "
    "Aluminium suits soft bark and learners. Both are common practice, no source."
)


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of wire to cut, so many times; ``metres`` opens to its sum.

    Attributes:
        where: The branches it is for, in words.
        wires: 1, or 2 laid side by side.
        grams: Of all of them, with offcut.
    """

    where: str
    drawn: bool
    times: int
    gauge_mm: float
    wires: int
    metres: Opened
    grams: float
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToBuy:
    """One metal and gauge: wanted, on the rack, short; both weights open."""

    metal: str
    gauge_mm: float
    needed_m: float
    needed_g: Opened
    stock_g: float
    short_g: Opened
    short_m: float


@dataclass(frozen=True, slots=True)
class WireNeeded:
    """The wire for a tree in one metal."""

    tree_id: int
    accession: str
    title: str
    metal: str
    pieces: tuple[Piece, ...]
    left_out: tuple[str, ...]
    assumed: tuple[str, ...]
    to_buy: tuple[ToBuy, ...]
    metres: float
    grams: float


@dataclass(frozen=True, slots=True)
class _Known:
    """A tree with what is known of its branches."""

    tree: Tree
    drawn: tuple[Branch, ...]
    wired: frozenset[int]
    counts: Mapping[str, float]


def usual_metal(group: str) -> str:
    """The metal most hands would take for a species group: common practice, no source."""
    return "copper" if "conifer" in groups()[group].kind else "aluminium"


def wire_needed(actor: Actor, tree_id: int, *, metal: str = "") -> WireNeeded:
    """The wire for every branch of a tree that carries none yet.

    Args:
        metal: "aluminium", "copper" or "" for what suits the tree's group.

    Raises:
        Refused: ``not_found`` or ``metal_unknown``.
    """
    tree = tree_for(actor, tree_id)
    chosen = metal or usual_metal(tree.group)
    if chosen not in METALS:
        raise Refused("metal_unknown", field="metal", given=metal)
    [known] = _known([tree])
    stock = _stock(actor.club_id)
    drawn, counted = _plans(known, chosen, ORDERS, stock)
    pieces = [*_pieces(drawn, drawn=True), *_pieces(counted, drawn=False)]
    both = (*drawn.cuts, *counted.cuts)
    return WireNeeded(
        tree.pk,
        tree.accession,
        title_of(tree),
        chosen,
        tuple(pieces),
        tuple(_left_out(drawn)),
        tuple(_assumed(known, counted)),
        to_buy(both, stock),
        drawn.order_m + counted.order_m,
        drawn.grams + counted.grams,
    )


@dataclass(frozen=True, slots=True)
class DayTree:
    """A tree that is wired on a day: what for, how much of which metal, and branches left out."""

    tree_id: int
    accession: str
    title: str
    tasks: tuple[str, ...]
    metal: str
    metres: float
    grams: float
    left_out: int


@dataclass(frozen=True, slots=True)
class DayWire:
    """The wire for a day's jobs, tree by tree, against the rack; ``planned`` is False before a plan."""

    workday_id: int
    date: date
    planned: bool
    trees: tuple[DayTree, ...]
    to_buy: tuple[ToBuy, ...]


def day_wire(actor: Actor, workday_id: int) -> DayWire:
    """What the wiring jobs of a day need: those of the plan that was sent out, else of the newest one.

    Raises:
        Refused: ``not_found``.
    """
    day = workday_for(actor, workday_id)
    plans = Plan.objects.filter(workday=day, state__in=[Plan.State.READY, Plan.State.OUT_OF_DATE])
    plans = plans if actor.plans else plans.filter(sent_out=True)
    plan = plans.order_by("-sent_out", "-number").first()
    seats = Assignment.objects.filter(plan=plan, job__task__in=TASK_ORDERS, job__tree__isnull=False)
    tasks: dict[int, list[str]] = {}
    for tree_id, task in seats.order_by("job__tree__accession", "id").values_list(
        "job__tree_id", "job__task"
    ):
        tasks.setdefault(tree_id, []).append(task)
    trees = {tree.pk: tree for tree in Tree.objects.filter(pk__in=tasks)}
    stock, rows, cuts = _stock(actor.club_id), [], list[WireCut]()
    for known in _known([trees[pk] for pk in tasks]):
        tree, metal = known.tree, usual_metal(known.tree.group)
        done = tuple(dict.fromkeys(tasks[tree.pk]))
        both = _plans(known, metal, [order for task in done for order in TASK_ORDERS[task]], stock)
        cuts += [cut for plan_ in both for cut in plan_.cuts]
        rows.append(
            DayTree(
                tree.pk,
                tree.accession,
                title_of(tree),
                done,
                metal,
                sum(plan_.order_m for plan_ in both),
                sum(plan_.grams for plan_ in both),
                sum(len(plan_.left_out) for plan_ in both),
            )
        )
    return DayWire(day.pk, day.date, plan is not None, tuple(rows), to_buy(cuts, stock))


def to_buy(cuts: Iterable[WireCut], stock_g: Mapping[tuple[str, float], float]) -> tuple[ToBuy, ...]:
    """What the pieces need against the rack, by metal and gauge."""
    return tuple(_line(line) for line in shopping(cuts, stock_g))


def _line(line: ShoppingLine) -> ToBuy:
    mass, short = line.lines
    return ToBuy(
        line.metal,
        line.gauge_mm,
        line.needed_m,
        opened_steps(f"{line.needed_g:,.0f} g", [mass]),
        line.stock_g,
        opened_steps(f"{line.short_g:,.0f} g", [mass, short]),
        line.short_m,
    )


def _stock(club_id: int) -> dict[tuple[str, float], float]:
    rows = WireStock.objects.filter(club_id=club_id).values_list("metal", "gauge_mm", "grams")
    return {(metal, gauge): grams for metal, gauge, grams in rows}


def _known(trees: Sequence[Tree]) -> list[_Known]:
    """What is known of the branches of these trees; three queries, however many trees."""
    ids = [tree.pk for tree in trees]
    drawn: dict[int, list[Branch]] = {pk: [] for pk in ids}
    for branch in Branch.objects.filter(tree_id__in=ids).order_by("label", "id"):
        drawn[branch.tree_id].append(branch)
    wired: dict[int, set[int]] = {pk: set() for pk in ids}
    on = Wire.objects.filter(tree_id__in=ids, off=None, branch__isnull=False)
    for tree_id, branch_id in on.values_list("tree_id", "branch_id"):
        wired[tree_id].add(branch_id or 0)
    counts: dict[int, dict[str, float]] = {pk: {} for pk in ids}
    rows = Count.objects.filter(tree_id__in=ids).order_by("on", "id")
    for tree_id, kind, amount in rows.values_list("tree_id", "kind", "amount"):
        counts[tree_id][kind] = amount
    return [_Known(tree, tuple(drawn[tree.pk]), frozenset(wired[tree.pk]), counts[tree.pk]) for tree in trees]


def _order_of(branch: Branch) -> str:
    """By thickness; a branch nobody measured grew from the trunk or from a branch."""
    if branch.diameter_mm is None:
        return "primary" if branch.parent_id is None else "secondary"
    return next((order for order, least in FROM_MM.items() if branch.diameter_mm >= least), "fine")


def _plans(
    known: _Known, metal: str, orders: Sequence[str], stock: Mapping[tuple[str, float], float]
) -> tuple[WirePlan, WirePlan]:
    """For the branches that are drawn, and for those that were only counted."""
    stocked = sorted(gauge for kind, gauge in stock if kind == metal)
    thick = {branch.pk: branch.diameter_mm for branch in known.drawn}
    drawn = [branch for branch in known.drawn if _order_of(branch) in orders]
    plan = wire_plan(
        [
            ToWire(
                branch.label,
                branch.length_mm,
                branch.diameter_mm,
                str(branch.parent_id or ""),
                thick.get(branch.parent_id or 0),
                branch.height_mm,
            )
            for branch in drawn
            if branch.pk not in known.wired
        ],
        metal,
        stocked=stocked,
    )
    of_order = {order: sum(_order_of(b) == order for b in known.drawn) for order in orders}
    left = {
        order: max(0, int(known.counts.get(order, 0)) - of_order[order])
        for order in orders
        if not known.counts.get(f"{order}_wired")
    }
    sizes = {order: known.counts[THICKNESS[order]] for order in orders if known.counts.get(THICKNESS[order])}
    counted = counted_plan(left, metal, height_mm=known.tree.height_mm, thick_mm=sizes, stocked=stocked)
    return plan, counted


def _pieces(plan: WirePlan, *, drawn: bool) -> Iterable[Piece]:
    for one in plan.wired:
        choice = one.cut.choice
        steps = [line for line in one.cut.lines if line.rule not in ("wire_order", "wire_mass")]
        last = next(line for line in one.cut.lines if line.rule == "wire_order")
        yield Piece(
            _where(one, drawn=drawn),
            drawn,
            one.times,
            choice.gauge_mm,
            choice.wires,
            opened_steps(f"{one.cut.order_m:.2f} m", [*steps, last]),
            one.cut.grams * one.times,
            tuple(say(reason) for reason in one.cut.reasons),
        )


def _where(one: Wired, *, drawn: bool) -> str:
    if drawn:
        return " and ".join(one.labels)
    words = ORDER_WORDS[one.labels[0]]
    return f"two {words}es" if len(one.cut.lengths_mm) == 2 else f"one {words}"


def _left_out(plan: WirePlan) -> Iterable[str]:
    for label, reason in plan.left_out:
        said = say(reason)
        yield said if label in said else f"{label}: {said}"


def _assumed(known: _Known, counted: WirePlan) -> Iterable[str]:
    """What was assumed of branches nobody drew, in words."""
    for order in dict.fromkeys(one.labels[0] for one in counted.wired):
        usual = usual_branch(order)
        thick = known.counts.get(THICKNESS[order])
        size = f"{thick:g} mm thick, as counted" if thick else f"{usual.diameter_mm:g} mm thick"
        yield (
            f"A {ORDER_WORDS[order]} nobody drew is taken as {size}, "
            f"and {100 * usual.share:.0f} % of the tree's height long. That is an assumption."
        )
    for order, reason in counted.left_out:
        yield f"{ORDER_WORDS[order].capitalize()}es: {say(reason)}"
