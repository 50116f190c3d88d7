"""How cut sites and hours grow with refinement: of one tree, and of the whole club."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from collection.craft import growth
from collection.craft.growth_work import BY_SITES, SiteWork, site_work
from collection.craft.labour_reference import PaceTable
from collection.craft.quantities import default_quantities
from collection.craft.season import ProgrammeRow
from collection.models import Club, Count, Tree
from collection.queries.access import Actor, club_of, tree_for
from collection.queries.errors import not_found
from collection.queries.labels import counted, dated, group_name, task_name
from collection.queries.opened import Line, Opened, hours, joined
from collection.queries.programme import paces_of, programme_of
from collection.queries.season_inputs import trees_of

DAYS_A_YEAR = 365.25
CURVE = "Sites = limit / (1 + (limit / counted - 1) / 2 ^ years): the logistic curve, a textbook result."
SET_UP_LEFT_OUT = "Hours are those of a practised hand. Set-up is left out."


@dataclass(frozen=True, slots=True)
class Counted:
    """Cut sites on a day; ``on`` is None where nobody has counted and a usual number stands in."""

    sites: float
    on: date | None
    guessed: bool = False

    @property
    def trust(self) -> str:
        """Where the number comes from."""
        if self.on is None:
            return "nobody has counted: a usual number, assumption"
        return f"{'a guess' if self.guessed else 'counted'}, {dated(self.on)}"


@dataclass(frozen=True, slots=True)
class GrowthYear:
    """What one calendar year brings; each figure opens."""

    year: int
    sites: Opened
    shoots: Opened
    hours: Opened


@dataclass(frozen=True, slots=True)
class CountAgain:
    """A later count beside what the first one foretold for its day."""

    on: date
    counted: float
    foretold: float
    ratio: float


@dataclass(frozen=True, slots=True)
class TreeGrowth:
    """A tree whose work goes by cut sites; without a count there are no years."""

    tree_id: int
    limit: growth.Limit
    tasks: tuple[str, ...]
    years: tuple[GrowthYear, ...]
    again: tuple[CountAgain, ...]
    first: Counted | None


@dataclass(frozen=True, slots=True)
class _Seen:
    """One tree as the forecast needs it."""

    tree: Tree
    counted: Counted
    work: tuple[SiteWork, ...]
    limit: growth.Limit
    base_year: int

    def sites_in(self, year: int) -> float:
        """Cut sites in a calendar year."""
        return growth.sites_after(self.counted.sites, max(0, year - self.base_year), self.limit.sites)

    def hours_in(self, year: int) -> float:
        """Hours of work that goes by them."""
        return self.sites_in(year) * sum(work.yearly_min for work in self.work) / 60


def growth_of(club: Club, tree: Tree) -> TreeGrowth | None:
    """The tree's growth; None where its work does not go by cut sites, or the tree is a batch."""
    work = _work_of([tree], programme_of(club.pk), paces_of(club.pk))[tree.pk]
    if not work or tree.batch:
        return None
    limit = growth.limit_for(_height(tree), tree.stage)
    counts = [count for count in _counts([tree.pk]).get(tree.pk, ()) if count.sites > 0]
    tasks = tuple(dict.fromkeys(one.task for one in work))
    if not counts:
        return TreeGrowth(tree.pk, limit, tasks, (), (), None)
    newest = counts[-1]
    assert newest.on is not None
    seen = _Seen(tree, newest, work, limit, newest.on.year)
    years = tuple(_year(seen, newest.on.year + ahead) for ahead in range(growth.SEASONS + 1))
    return TreeGrowth(tree.pk, limit, tasks, years, _again(counts, tree), counts[0])


def tree_growth(actor: Actor, tree_id: int) -> TreeGrowth | None:
    """The growth of one tree.

    Raises:
        Refused: ``not_found``.
    """
    return growth_of(club_of(actor), tree_for(actor, tree_id))


def club_growth(actor: Actor, *, today: date) -> tuple[tuple[int, Opened], ...]:
    """Hours a year of all work that goes by cut sites, this year and the five after it."""
    club = club_of(actor)
    trees = [tree for tree in trees_of(club.pk) if not tree.batch]
    seen = _all_seen(club, trees, today)
    if not seen:
        return ()
    return tuple(
        (year, _club_hours(seen, year)) for year in range(today.year, today.year + growth.SEASONS + 1)
    )


def growth_number(actor: Actor, kind: str, key: str, *, today: date) -> tuple[str, Opened]:
    """One figure of a forecast by its address, with whose it is.

    Raises:
        Refused: ``not_found``.
        ValueError: If the key is not one of ours.
    """
    if kind == "club-growth":
        for year, number in club_growth(actor, today=today):
            if year == int(key):
                return f"Work that grows with refinement in {year}", number
        raise not_found()
    tree_id, year = (int(part) for part in key.split("~"))
    found = tree_growth(actor, tree_id)
    for row in found.years if found else ():
        if row.year == year:
            return f"Growth in {year}", getattr(row, kind.removeprefix("growth-"))
    raise not_found()


def _height(tree: Tree) -> float | None:
    return tree.height_mm / 10 if tree.height_mm else None


def _work_of(
    trees: Iterable[Tree], rows: Sequence[ProgrammeRow], paces: PaceTable
) -> dict[int, tuple[SiteWork, ...]]:
    kept: dict[tuple[str, str, float | None], tuple[SiteWork, ...]] = {}
    found = {}
    for tree in trees:
        key = (tree.group, tree.stage, _height(tree))
        if key not in kept:
            kept[key] = site_work(rows, tree.group, tree.stage, height_cm=key[2], paces=paces)
        found[tree.pk] = kept[key]
    return found


def _counts(tree_ids: Iterable[int]) -> dict[int, tuple[Counted, ...]]:
    found: dict[int, tuple[Counted, ...]] = {}
    rows = Count.objects.filter(tree_id__in=list(tree_ids), kind="cut_sites").order_by("on", "id")
    for tree, amount, on, guessed in rows.values_list("tree_id", "amount", "on", "guessed"):
        found[tree] = (*found.get(tree, ()), Counted(amount, on, guessed))
    return found


def _all_seen(club: Club, trees: Sequence[Tree], today: date) -> list[_Seen]:
    work = _work_of(trees, programme_of(club.pk), paces_of(club.pk))
    counts = _counts(tree.pk for tree in trees)
    seen = []
    for tree in trees:
        if not work[tree.pk]:
            continue
        newest = counts[tree.pk][-1] if tree.pk in counts else _usual(tree)
        base = newest.on.year if newest.on else today.year
        limit = growth.limit_for(_height(tree), tree.stage)
        seen.append(_Seen(tree, newest, work[tree.pk], limit, base))
    return seen


def _usual(tree: Tree) -> Counted:
    amount = default_quantities(BY_SITES[0], tree.group, tree.stage)["cut_sites"]
    return Counted(amount.value, None)


def _year(seen: _Seen, year: int) -> GrowthYear:
    key = f"{seen.tree.pk}~{year}"
    sites = _sites(seen, year, ("growth-sites", key))
    return GrowthYear(
        year, sites, _shoots(sites.value, ("growth-shoots", key)), _hours(seen, year, ("growth-hours", key))
    )


def _sites(seen: _Seen, year: int, address: tuple[str, str]) -> Opened:
    ahead, limit = max(0, year - seen.base_year), seen.limit
    lines = (
        Line("Cut sites counted", f"{seen.counted.sites:.0f}", seen.counted.sites, seen.counted.trust),
        Line("Most that such a tree carries", f"{limit.sites:.0f}", limit.sites, _limit_trust(limit)),
        Line("What a free site becomes in a year", "2", growth.A_YEAR, "common practice, no source"),
        Line("Years from the count", str(ahead), float(ahead)),
    )
    value = joined("logistic", [line.value for line in lines], [])
    return Opened(
        f"{value:.0f}",
        value,
        "logistic",
        lines,
        f"{value:.0f} cut sites",
        f"Cut sites in {year}",
        (CURVE,),
        address,
    )


def _limit_trust(limit: growth.Limit) -> str:
    return f"{limit.label}, {limit.source}"


def _shoots(sites: float, address: tuple[str, str]) -> Opened:
    lines = (
        Line("Cut sites", f"{sites:.0f}", sites, "opens beside this"),
        Line(
            "Shoots to a cut site in autumn",
            f"{growth.SHOOTS_PER_SITE:g}",
            growth.SHOOTS_PER_SITE,
            "assumption",
        ),
    )
    value = joined("weighted", [line.value for line in lines], [1.0, 1.0])
    return Opened(
        f"{value:.0f}", value, "weighted", lines, f"{value:.0f} shoots", "Shoots in autumn", (), address
    )


def _hours(seen: _Seen, year: int, address: tuple[str, str]) -> Opened:
    sites = seen.sites_in(year)
    lines = tuple(
        Line(
            f"{task_name(work.task)}, {sites:.0f} cut sites, {work.minutes_per_site:.2f} min each"
            + (f", {work.times} times" if work.times > 1 else ""),
            hours(work.yearly_min * sites / 60),
            work.yearly_min * sites / 60,
            f"{work.label}, {work.source}",
        )
        for work in seen.work
    )
    value = sum(line.value for line in lines)
    return Opened(
        hours(value),
        value,
        "sum",
        lines,
        hours(value),
        f"Hours in {year}",
        (SET_UP_LEFT_OUT, "Each pace is (low + 4 x likely + high) / 6 of its row."),
        address,
    )


def _club_hours(seen: Sequence[_Seen], year: int) -> Opened:
    groups: dict[str, list[_Seen]] = {}
    for one in seen:
        groups.setdefault(one.tree.group, []).append(one)
    lines = tuple(_group_line(group, groups[group], year) for group in sorted(groups))
    value = sum(line.value for line in lines)
    notes = (
        "Each tree's own sum is on its page, once its cut sites are counted.",
        SET_UP_LEFT_OUT,
        "Trees grow within their height and stage; the limit of each is an assumption.",
    )
    return Opened(
        hours(value), value, "sum", lines, hours(value), f"Hours in {year}", notes, ("club-growth", str(year))
    )


def _group_line(group: str, trees: Sequence[_Seen], year: int) -> Line:
    value = sum(one.hours_in(year) for one in trees)
    usual = sum(one.counted.on is None for one in trees)
    trust = f"{counted(usual, 'tree', 'trees')} with a usual number, not counted" if usual else "counted"
    return Line(f"{group_name(group)}, {counted(len(trees), 'tree', 'trees')}", hours(value), value, trust)


def _again(counts: Sequence[Counted], tree: Tree) -> tuple[CountAgain, ...]:
    days = [(count, count.on) for count in counts if count.on]
    first = days[0][1]
    years = [((on - first).days / DAYS_A_YEAR, count.sites) for count, on in days]
    rows = growth.compared(years, _height(tree), tree.stage)
    return tuple(
        CountAgain(on, row.counted, row.foretold, row.ratio)
        for row, (_, on) in zip(rows, days[1:], strict=True)
    )
