"""Rows of a sheet as trees: what is missing, what is there already, and writing the rest."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from math import pi
from typing import Any
from zoneinfo import ZoneInfo

from collection.craft.reasons import Reason
from collection.models import Bench, Care, Change, Club, Count, Site, Sitting, SittingTask, Tree, TreeEvent
from collection.queries.access import Actor
from collection.usecases.edit import change_of
from collection.usecases.importing import species
from collection.usecases.importing.made import Made
from collection.usecases.importing.numbers import CannotRead
from collection.usecases.importing.people_names import Directory
from collection.usecases.importing.tree_register import Register
from collection.usecases.importing.values import Draft
from collection.usecases.importing.vocabulary import key

GROUND = "Club ground"
STAGE_IF_EMPTY = "B"
HOME_WORDS = frozenset({"home", "zuhause", "casa", "chez", "garden", "garten", "maison"})
COLUMNS = {
    "name": "name",
    "species": "species",
    "common_name": "common_name",
    "group": "group",
    "stage": "stage",
    "style": "style",
    "batch": "batch",
    "height": "height_mm",
    "spread": "spread_mm",
    "trunk": "trunk_mm",
    "pot_litres": "pot_litres",
    "pot": "pot",
    "mass": "mass_kg",
    "mass_weighed": "mass_weighed",
    "acquired_on": "acquired_on",
    "condition": "condition",
    "may_travel": "may_travel",
    "brought_by": "brought_by",
    "no_hard_work_until": "no_hard_work_until",
    "no_hard_work_why": "no_hard_work_why",
    "leave_alone_until": "leave_alone_until",
    "leave_alone_why": "leave_alone_why",
    "note": "note",
}
BATCH = 500


@dataclass(slots=True)
class Checked:
    """Rows sorted by what would happen to them, and what would be made."""

    ready: list[Draft] = field(default_factory=list)
    unchanged: list[Draft] = field(default_factory=list)
    makes: list[Reason] = field(default_factory=list)


def check(drafts: Sequence[Draft], club: Club, today: date) -> Checked:
    """Look every row up in the club's register; problems are added to the drafts. Writes nothing."""
    register = Register(club)
    directory = Directory(club)
    for draft in drafts:
        _settle_group(draft)
        _settle_stage(draft)
        _settle_people(draft, directory)
        _settle_batch(draft)
        _settle_girth(draft)
    _settle_places(drafts, register)
    numbered = any("accession" in draft.values for draft in drafts)
    if numbered:
        _refuse_missing_and_doubled(drafts)
    else:
        _give_numbers(drafts, register)
    checked = Checked()
    for draft in drafts:
        register.compare(draft, numbered, COLUMNS)
        if not draft.problems:
            (checked.unchanged if draft.values.get("unchanged") else checked.ready).append(draft)
    checked.makes = _makes(checked.ready, register, numbered)
    return checked


def _settle_group(draft: Draft) -> None:
    values = draft.values
    texts = [str(values[name]) for name in ("species", "common_name", "name") if values.get(name)]
    column = draft.columns.get("group")
    if "group" not in values and all(problem.column != column for problem in draft.problems):
        _find_group(draft, texts)
    written = values.get("species", "")
    spoken = written and not values.get("common_name") and not species.is_latin(written)
    if spoken and species.groups_named(written):
        values["common_name"] = values.pop("species")


def _find_group(draft: Draft, texts: list[str]) -> None:
    if not texts:
        draft.wrong("species", Reason.of("import_species_missing"))
        return
    trouble: CannotRead | None = None
    for text in texts:
        try:
            draft.values["group"] = species.group_of(text)
            return
        except CannotRead as error:
            if trouble is None or error.reason.code == "import_species_two_groups":
                trouble = error
    if trouble is not None:
        draft.wrong("species", trouble.reason, texts[0])


def _settle_stage(draft: Draft) -> None:
    if "stage" not in draft.values:
        draft.values["stage"] = STAGE_IF_EMPTY
        draft.values["stage_assumed"] = True


def _settle_batch(draft: Draft) -> None:
    batch = draft.values.pop("batch", None)
    if batch == 0:
        draft.wrong("batch", Reason.of("import_no_trees"), "0")
    elif batch is not None and batch > 1:
        draft.values["batch"] = batch


def _settle_girth(draft: Draft) -> None:
    """The way around the trunk becomes its thickness, unless the row says that too."""
    girth = draft.values.pop("girth", None)
    if girth is not None and "trunk" not in draft.values:
        draft.values["trunk"] = round(girth / pi, 1)
        draft.values["girth_mm"] = girth
        draft.columns["trunk"] = draft.columns["girth"]


def _settle_people(draft: Draft, directory: Directory) -> None:
    for name in ("owner", "carer"):
        text = draft.values.pop(name, "")
        if not text:
            continue
        try:
            draft.values[name] = directory.owners(text)
        except CannotRead as error:
            draft.wrong(name, error.reason, text)
    text = draft.values.pop("brought_by", "")
    if text:
        try:
            draft.values["brought_by"] = directory.find(text)
        except CannotRead as error:
            draft.wrong("brought_by", error.reason, text)


def _settle_places(drafts: Sequence[Draft], register: Register) -> None:
    """Site and bench of each row, by plain name; a bench stands in one site only."""
    homes = {key(name): key(site.name) for name, site in register.bench_sites()}
    spelt = {key(site.name): site.name for _, site in register.bench_sites()}
    for draft in drafts:
        site, bench = draft.values.get("site", ""), draft.values.get("bench", "")
        known = homes.get(key(bench), "") if bench else ""
        if not site:
            site = spelt[known] if known else register.only_ground(GROUND)
        if not site:
            draft.wrong("site", Reason.of("import_which_site", sites=register.ground_names()))
            continue
        if bench and homes.setdefault(key(bench), key(site)) != key(site):
            draft.wrong("bench", Reason.of("import_bench_elsewhere", bench=bench, site=site), bench)
            continue
        spelt.setdefault(key(site), site)
        draft.values["site"] = site


def _refuse_missing_and_doubled(drafts: Sequence[Draft]) -> None:
    first: dict[str, Draft] = {}
    for draft in drafts:
        number = draft.values.get("accession", "")
        if not number:
            draft.wrong("accession", Reason.of("import_accession_missing"))
            continue
        other = first.setdefault(key(number), draft)
        if other is not draft:
            _doubled(draft, other, number)
            told = any(problem.code == "import_doubled" for problem in other.problems)
            if draft.row.cells != other.row.cells and not told:
                _doubled(other, draft, number)


def _doubled(draft: Draft, other: Draft, number: str) -> None:
    reason = Reason.of("import_doubled", value=number, sheet=other.row.sheet, place=other.row.place)
    draft.wrong("accession", reason, number)


def _give_numbers(drafts: Sequence[Draft], register: Register) -> None:
    """Rows without any number column get the next free numbers, unless the same row came before."""
    known = register.signatures()
    free = register.next_numbers()
    for draft in drafts:
        signature = _signature(draft)
        draft.values["signature"] = signature
        if known[signature] > 0:
            known[signature] -= 1
            draft.values["unchanged"] = True
        elif not draft.problems:
            draft.values["accession"] = next(free)


def _signature(draft: Draft) -> str:
    """What a row says, whatever its place: the same row taken in again is the same tree."""
    cells = sorted(f"{name}={text}" for name, text in _original(draft).items())
    return hashlib.sha256("\n".join(cells).encode()).hexdigest()[:24]


def _original(draft: Draft) -> dict[str, str]:
    return dict(draft.values["cells"])


def _makes(ready: Sequence[Draft], register: Register, numbered: bool) -> list[Reason]:
    counts = sum(len(counts_of(draft)) for draft in ready)
    makes = [Reason.of("import_makes_trees", trees=len(ready), counts=counts)]
    for code, name, there in (
        ("import_makes_site", "site", register.has_site),
        ("import_makes_bench", "bench", register.has_bench),
    ):
        named = {key(draft.values[name]): draft.values[name] for draft in ready if draft.values.get(name)}
        makes += [Reason.of(code, name=spelt) for plain, spelt in sorted(named.items()) if not there(plain)]
    assumed = sum(1 for draft in ready if draft.values.get("stage_assumed"))
    if assumed:
        makes.append(Reason.of("import_stage_assumed", trees=assumed))
    girths = [draft.values for draft in ready if "girth_mm" in draft.values]
    if girths:
        around, thick = girths[0]["girth_mm"], girths[0]["trunk"]
        makes.append(Reason.of("import_girth_turned", trees=len(girths), around=around, thick=thick))
    if not numbered and ready:
        first, last = ready[0].values["accession"], ready[-1].values["accession"]
        makes.append(Reason.of("import_numbers_given", trees=len(ready), first=first, last=last))
    return makes


def counts_of(draft: Draft) -> dict[str, int]:
    """Counts of a row by kind: "primary", "secondary", "fine", "branches_total"."""
    return {name[6:]: value for name, value in draft.values.items() if name.startswith("count_")}


def write(drafts: Sequence[Draft], club: Club, actor: Actor, today: date, source: str) -> Made:
    """Put the rows on the register, inside the caller's transaction; returns what they became."""
    places = _Places(club, actor)
    trees = [_tree(draft, club, places, source) for draft in drafts]
    Tree.objects.bulk_create(trees, batch_size=BATCH)
    pairs = list(zip(trees, drafts, strict=True))
    TreeEvent.objects.bulk_create((_arrival(tree, club, actor, today) for tree, _ in pairs), batch_size=BATCH)
    Care.objects.bulk_create(_care(pairs, club), batch_size=BATCH)
    Count.objects.bulk_create(_counts(pairs, club, actor, today), batch_size=BATCH)
    _write_repots(pairs, club, actor, source)
    Change.objects.bulk_create((_change(tree, actor) for tree in trees), batch_size=BATCH)
    made = Made(len(trees))
    made.add((*places.made, *trees))
    return made


class _Places:
    """Sites and benches by plain name, made when they are missing."""

    def __init__(self, club: Club, actor: Actor) -> None:
        self._club, self._actor = club, actor
        self.made: list[Site | Bench] = []
        self._sites = {key(site.name): site for site in Site.objects.filter(club=club)}
        self._benches = {key(bench.name): bench for bench in Bench.objects.filter(club=club)}

    def site(self, name: str) -> Site:
        if key(name) not in self._sites:
            kind = Site.Kind.HOME if HOME_WORDS & set(key(name).split()) else Site.Kind.GROUND
            site = Site.objects.create(club=self._club, name=name, kind=kind)
            change_of(site, self._actor, before={}, after={"name": name, "kind": str(kind)}).save()
            self._sites[key(name)] = site
            self.made.append(site)
        return self._sites[key(name)]

    def bench(self, name: str, site: Site) -> Bench:
        if key(name) not in self._benches:
            bench = Bench.objects.create(club=self._club, site=site, name=name)
            change_of(bench, self._actor, before={}, after={"name": name, "site": site.pk}).save()
            self._benches[key(name)] = bench
            self.made.append(bench)
        return self._benches[key(name)]


def _tree(draft: Draft, club: Club, places: _Places, source: str) -> Tree:
    values = draft.values
    site = places.site(values["site"])
    fields: dict[str, Any] = {COLUMNS[name]: values[name] for name in COLUMNS if name in values}
    extra: dict[str, Any] = {
        "file": source,
        "sheet": draft.row.sheet,
        "row": draft.row.place,
        "columns": _original(draft),
    }
    if draft.extra:
        extra["kept"] = draft.extra
    if values.get("stage_assumed"):
        extra["stage_assumed"] = True
    if "signature" in values:
        extra["signature"] = values["signature"]
    bench = places.bench(values["bench"], site) if values.get("bench") else None
    return Tree(club=club, accession=values["accession"], site=site, bench=bench, extra=extra, **fields)


def _arrival(tree: Tree, club: Club, actor: Actor, today: date) -> TreeEvent:
    return TreeEvent(club=club, tree=tree, kind="in", on=tree.acquired_on or today, by_id=actor.member_id)


def _care(pairs: Iterable[tuple[Tree, Draft]], club: Club) -> list[Care]:
    return [
        Care(club=club, tree=tree, member=member, role=role)
        for tree, draft in pairs
        for role in ("owner", "carer")
        for member in dict.fromkeys(draft.values.get(role, ()))
    ]


def _counts(pairs: Iterable[tuple[Tree, Draft]], club: Club, actor: Actor, today: date) -> list[Count]:
    return [
        Count(club=club, tree=tree, on=today, kind=kind, amount=amount, by_id=actor.member_id)
        for tree, draft in pairs
        for kind, amount in counts_of(draft).items()
    ]


def _write_repots(pairs: Iterable[tuple[Tree, Draft]], club: Club, actor: Actor, source: str) -> None:
    """The last repotting is work remembered from before the club kept records: a date, no minutes."""
    zone = ZoneInfo(club.zone)
    sittings = []
    for tree, draft in pairs:
        if day := draft.values.get("last_repot"):
            noon = datetime.combine(day, time(12), tzinfo=zone)
            sittings.append(
                Sitting(
                    club=club,
                    tree=tree,
                    started=noon,
                    ended=noon,
                    remembered=True,
                    request_key=f"import-{hashlib.sha256(source.encode()).hexdigest()[:40]}",
                    recorded_by_id=actor.member_id,
                )
            )
    Sitting.objects.bulk_create(sittings, batch_size=BATCH)
    SittingTask.objects.bulk_create(
        (SittingTask(club=club, sitting=sitting, task="REPOT") for sitting in sittings), batch_size=BATCH
    )


def _change(tree: Tree, actor: Actor) -> Change:
    after = {"accession": tree.accession, "group": tree.group, "stage": tree.stage}
    return change_of(tree, actor, before={}, after=after)
