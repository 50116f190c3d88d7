"""What the club's register already holds, read in a handful of queries whatever its size."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from collection.craft.reasons import Reason
from collection.models import Bench, Care, Club, Count, Site, SittingTask, Tree
from collection.usecases.importing.values import Draft
from collection.usecases.importing.vocabulary import key

ENDING = re.compile(r"^(.*?)(\d+)$")


class Register:
    """Trees, sites and benches of a club by plain name."""

    def __init__(self, club: Club) -> None:
        self._club = club
        self._sites = {key(site.name): site for site in Site.objects.filter(club=club).order_by("pk")}
        self._benches = {key(b.name): b for b in Bench.objects.filter(club=club).select_related("site")}
        trees = Tree.objects.filter(club=club).select_related("site", "bench", "brought_by")
        self._trees = {key(tree.accession): tree for tree in trees}
        self._care: dict[tuple[int, str], set[int]] = defaultdict(set)
        for tree_id, role, member_id in Care.objects.filter(club=club).values_list(
            "tree_id", "role", "member_id"
        ):
            self._care[tree_id, role].add(member_id)
        self._counts: dict[tuple[int, str], float] = {}
        for tree_id, kind, amount in (
            Count.objects.filter(club=club).order_by("on", "pk").values_list("tree_id", "kind", "amount")
        ):
            self._counts[tree_id, kind] = amount
        self._repots: dict[int, set[date]] = defaultdict(set)
        zone = ZoneInfo(club.zone)
        done = SittingTask.objects.filter(club=club, task="REPOT")
        for tree_id, started in done.values_list("sitting__tree_id", "sitting__started"):
            self._repots[tree_id].add(started.astimezone(zone).date())

    def bench_sites(self) -> list[tuple[str, Site]]:
        """Every bench's name with its site."""
        return [(bench.name, bench.site) for bench in self._benches.values()]

    def has_site(self, plain: str) -> bool:
        """Whether a site of that plain name is there."""
        return plain in self._sites

    def has_bench(self, plain: str) -> bool:
        """Whether a bench of that plain name is there."""
        return plain in self._benches

    def ground_names(self) -> tuple[str, ...]:
        """Names of the club's own grounds in use."""
        grounds = (site for site in self._sites.values() if site.kind == Site.Kind.GROUND)
        return tuple(site.name for site in grounds if site.retired_at is None)

    def only_ground(self, if_none: str) -> str:
        """The club's only ground, ``if_none`` when it has none, "" when it has several."""
        names = self.ground_names()
        return (names or (if_none,))[0] if len(names) < 2 else ""

    def signatures(self) -> Counter[str]:
        """How many trees came from a row without a number, by what that row said."""
        return Counter(
            tree.extra["signature"] for tree in self._trees.values() if "signature" in (tree.extra or {})
        )

    def next_numbers(self) -> Iterator[str]:
        """Free accession numbers, one after the other, in the club's own manner: after T041 comes T042."""
        shapes = [match for tree in self._trees.values() if (match := ENDING.match(tree.accession))]
        prefix, width, number = "T", 3, 0
        if shapes:
            prefix = Counter(match[1] for match in shapes).most_common(1)[0][0]
            alike = [match[2] for match in shapes if match[1] == prefix]
            number, width = max(map(int, alike)), max(map(len, alike))
        while True:
            number += 1
            if key(text := f"{prefix}{number:0{width}d}") not in self._trees:
                yield text

    def compare(self, draft: Draft, numbered: bool, columns: Mapping[str, str]) -> None:
        """Mark a row as unchanged when its tree says the same, or add the problem that it differs."""
        tree = self._trees.get(key(draft.values.get("accession", "")))
        if not numbered or tree is None or draft.problems:
            return
        if tree.archived_at is not None:
            draft.wrong("accession", Reason.of("import_accession_past", value=tree.accession), tree.accession)
            return
        differing = self._differing(draft.values, tree, columns)
        if differing is None:
            draft.values["unchanged"] = True
            return
        name, there, here = differing
        reason = Reason.of(
            "import_differs", accession=tree.accession, field=f"trees.{name}", there=there, here=here
        )
        draft.wrong(name, reason, here)

    def _differing(
        self, values: Mapping[str, Any], tree: Tree, columns: Mapping[str, str]
    ) -> tuple[str, str, str] | None:
        for name, here, there in self._facts(values, tree, columns):
            if here != there:
                return name, _shown(there), _shown(here)
        return None

    def _facts(
        self, values: Mapping[str, Any], tree: Tree, columns: Mapping[str, str]
    ) -> Iterator[tuple[str, object, object]]:
        """(field, value in the row, value on the register) for everything the row says."""
        for name, column in columns.items():
            if name in values and not (name == "stage" and values.get("stage_assumed")):
                yield name, values[name], getattr(tree, column)
        if values.get("bench"):
            yield "bench", key(values["bench"]), key(tree.bench.name) if tree.bench else ""
        for role in ("owner", "carer"):
            if role in values:
                yield role, {member.pk for member in values[role]}, self._care[tree.pk, role]
        for name, value in values.items():
            if name.startswith("count_"):
                yield name, float(value), self._counts.get((tree.pk, name[6:]))
        if "last_repot" in values and values["last_repot"] not in self._repots[tree.pk]:
            yield "last_repot", values["last_repot"], max(self._repots[tree.pk], default=None)


def _shown(value: object) -> str:
    if isinstance(value, set):
        return f"{len(value)}"
    if isinstance(value, float):
        return f"{value:g}"
    return "" if value is None else str(value)
