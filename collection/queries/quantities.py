"""How much there is to do on a tree: its newest counts, read for many trees at once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date

from django.db.models import Max

from collection.craft.labour_lines import settled
from collection.craft.labour_types import EstimateRequest, SetUps
from collection.craft.quantities import ORDERS, WIRING, Amount
from collection.craft.reference import groups
from collection.models import Branch, Count, Job, Tree

# An older count is named "last year's" beside the number it feeds (assumption).
STALE_DAYS = 400
# Rounds are walked along a bench: no turntable is fetched for them.
# Typical thickness of an order of branches, mm, as it is counted.
THICKNESS = {order: f"{order}_mm" for order in ORDERS}
# What is noted beside the counts and is no quantity of work.
BESIDE = frozenset(THICKNESS.values()) | {f"{order}_wired" for order in ORDERS}
ROUND_SET_UP = SetUps()
# Aluminium wire against the branch it holds (assumption; the thicker of the two metals is the stricter).
WIRE_TO_BRANCH = 0.45


def amounts_of(tree_ids: Iterable[int], today: date) -> dict[int, dict[str, Amount]]:
    """The newest count of each kind on each tree; one query."""
    found: dict[int, dict[str, Amount]] = defaultdict(dict)
    rows = Count.objects.filter(tree_id__in=list(tree_ids)).order_by("on", "id")
    for tree, kind, amount, on, guessed in rows.values_list("tree_id", "kind", "amount", "on", "guessed"):
        if kind in BESIDE:
            continue
        origin = "typed" if guessed else "counted" if (today - on).days <= STALE_DAYS else "last_year"
        found[tree][kind] = Amount(amount, origin, on)
    return found


def thickest_branches(tree_ids: Iterable[int]) -> dict[int, float]:
    """The thickest branch of each tree, mm: as drawn, else the typical main branch; two queries."""
    ids = list(tree_ids)
    counted = Count.objects.filter(tree_id__in=ids, kind=THICKNESS["primary"]).order_by("on", "id")
    typical = dict(counted.values_list("tree_id", "amount"))
    rows = Branch.objects.filter(tree_id__in=ids, diameter_mm__isnull=False)
    return typical | dict(rows.values_list("tree_id").annotate(thickest=Max("diameter_mm")))


def request_of(
    job: Job, amounts: Mapping[str, Amount], *, neglected: int = 0, thickest_mm: float | None = None
) -> EstimateRequest:
    """What the labour sum needs for a job on a tree, or on a round."""
    if job.tree is None:
        trees = len(job.round.lines.all()) if job.round else 1
        return EstimateRequest(
            job.task, {"trees": Amount(trees)}, set_ups=None if job.task == "SPRAY" else ROUND_SET_UP
        )
    tree = job.tree
    known = dict(amounts)
    total = known.pop("branches_total", None)
    if job.bend is not None:
        known["bend_mm"] = Amount(job.bend.diameter_mm)
    if tree.batch and job.task in ("REPOT", "UP_POT"):
        known["pots"] = Amount(tree.batch)
    found = EstimateRequest(
        task=job.task,
        quantities=known,
        group=tree.group,
        stage=tree.stage,
        height_cm=tree.height_mm / 10 if tree.height_mm else None,
        pot_litres=tree.pot_litres,
        mass_kg=tree.mass_kg,
        conditions=_conditions(tree, neglected),
        branch_total=total,
        group_limit_mm=groups()[tree.group].bend_limit_mm,
        thickest_wire_mm=thickest_mm * WIRE_TO_BRANCH if thickest_mm and job.task in WIRING else None,
        circumstances=frozenset(job.bend.inputs.get("circumstances", [])) if job.bend else frozenset(),
        summer=job.task == "NEEDLE_PLUCK" and _summer(job),
    )
    return settled(found)


def _conditions(tree: Tree, neglected: int) -> frozenset[str]:
    named = {"show_tree"} if tree.stage == "S" else set()
    if neglected:
        named.add("neglect_1" if neglected == 1 else "neglect_2")
    return frozenset(named)


def _summer(job: Job) -> bool:
    """Whether the window is the one at decandling: by its programme row, flipped or not."""
    return "-0601" in job.origin
