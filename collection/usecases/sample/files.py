"""What stands in an invented club's folder beside the sheets that the importer reads."""

from __future__ import annotations

import csv
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parents[3] / "fixtures" / "sample"


@dataclass(frozen=True, slots=True)
class Place:
    """A site of the club: ground, home or show."""

    name: str
    kind: str
    address: str


@dataclass(frozen=True, slots=True)
class Rhythm:
    """How the club holds its workdays; weekday 0 is Monday, ``hands`` is how many people usually say yes.

    ``quiet`` are the first and last day (month, day) of the weeks round New Year without workdays.
    """

    site: str
    weekday: int
    every_weeks: int
    opens: time
    closes: time
    pause: tuple[time, time]
    quiet: tuple[tuple[int, int], tuple[int, int]]
    bring: str
    hands: int

    def __post_init__(self) -> None:
        if not 0 <= self.weekday <= 6 or self.every_weeks < 1 or self.hands < 2:
            raise ValueError("a rhythm needs a weekday from 0 to 6, a number of weeks and two people")
        if not self.opens <= self.pause[0] < self.pause[1] <= self.closes:
            raise ValueError("the pause of a workday lies inside its hours")

    def rests(self, on: date) -> bool:
        """Whether no workday is held on a day because it lies in the quiet weeks."""
        first, last = self.quiet
        return (on.month, on.day) >= first or (on.month, on.day) <= last

    @property
    def span_min(self) -> int:
        """Minutes from opening to closing, the pause left out."""
        return _minutes(self.closes) - _minutes(self.opens) - self.pause_min

    @property
    def pause_min(self) -> int:
        """Minutes of the pause."""
        return _minutes(self.pause[1]) - _minutes(self.pause[0])

    @property
    def before_pause_min(self) -> int:
        """Minutes from opening to the pause."""
        return _minutes(self.pause[0]) - _minutes(self.opens)


@dataclass(frozen=True, slots=True)
class Founder:
    """The first coordinator, who is in the club before any sheet is read."""

    name: str
    email: str
    joined: date
    skills: Mapping[str, str]
    says_yes: tuple[str, ...]
    says_no: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BendWish:
    """A bend somebody wants on a branch of a tree, in mm, and what else asks for people."""

    tree: str
    branch: str
    drop_mm: float
    radius_mm: float
    method: str
    circumstances: tuple[str, ...] = ()
    load_arm_mm: float | None = None
    hand_arm_mm: float | None = None
    guy_deg: float | None = None


@dataclass(frozen=True, slots=True)
class OwnRow:
    """Where the club's season differs from the reference: a row changed, or dropped, and why."""

    key: str
    why: str
    values: Mapping[str, str] = field(default_factory=dict)
    dropped: bool = False


@dataclass(frozen=True, slots=True)
class DrawnBranch:
    """A row of branches.csv, in mm; ``clock`` is None for the top of the tree."""

    tree: str
    label: str
    place: str
    clock: int | None
    height_mm: float
    diameter_mm: float
    length_mm: float
    side_branches: int


@dataclass(frozen=True, slots=True)
class WireStory:
    """A row of wires.csv: when a wire or guy went on, was looked at and came off, in days before loading."""

    tree: str
    kind: str
    label: str
    branch: str
    length_m: float
    gauge_mm: float
    metal: str
    fit: str
    on_days_ago: int
    off_days_ago: int | None
    looked_days_ago: tuple[int, ...]
    seen: str
    anchor: str

    def __post_init__(self) -> None:
        end = self.off_days_ago or 0
        if not all(self.on_days_ago > days >= end for days in self.looked_days_ago):
            raise ValueError(f"{self.tree} {self.label}: it is looked at between going on and coming off")


@dataclass(frozen=True, slots=True)
class ClubFiles:
    """One invented club: where it is, its places and habits, and its three sheets."""

    key: str
    name: str
    latitude: float
    longitude: float
    altitude_m: float
    zone: str
    last_frost: str
    first_frost: str
    founder: Founder
    volunteer: str
    sites: tuple[Place, ...]
    benches: tuple[tuple[str, str], ...]
    rhythm: Rhythm
    own_rows: tuple[OwnRow, ...]
    bends: tuple[BendWish, ...]
    open_trees: tuple[str, ...]
    branches: tuple[DrawnBranch, ...]
    wires: tuple[WireStory, ...]
    rack: tuple[tuple[str, float, float], ...]
    trees_sheet: Path
    people_sheet: Path
    hours_sheet: Path


def names() -> tuple[str, ...]:
    """The folders of the invented clubs, the larger club first."""
    found = [folder.parent for folder in FOLDER.glob("*/club.json")]
    return tuple(
        folder.name for folder in sorted(found, key=lambda folder: -(folder / "people.csv").stat().st_size)
    )


def read(club: str) -> ClubFiles:
    """Everything about one invented club.

    Raises:
        ValueError: If there is no such club, or its files contradict themselves.
    """
    folder = FOLDER / club
    if club not in names():
        raise ValueError(f"there is no sample club {club!r}; there are {', '.join(names())}")
    said = json.loads((folder / "club.json").read_text(encoding="utf-8"))
    plain = ("name", "latitude", "longitude", "altitude_m", "zone", "last_frost", "first_frost")
    return ClubFiles(
        key=club,
        **{name: said[name] for name in (*plain, "volunteer")},
        founder=_founder(said["coordinator"]),
        sites=tuple(Place(**site) for site in said["sites"]),
        benches=tuple((bench["site"], bench["name"]) for bench in said["benches"]),
        rhythm=_rhythm(said["workday"]),
        own_rows=tuple(OwnRow(**row) for row in said["own_rows"]),
        bends=tuple(_bend(bend) for bend in said["bends"]),
        open_trees=tuple(said["open_trees"]),
        branches=tuple(_branch(row) for row in _rows(folder / "branches.csv")),
        wires=tuple(_wire(row) for row in _rows(folder / "wires.csv")),
        rack=tuple(
            (row["metal"], float(row["gauge_mm"]), float(row["grams"])) for row in _rows(folder / "rack.csv")
        ),
        trees_sheet=folder / said["trees"],
        people_sheet=folder / said["people"],
        hours_sheet=folder / said["hours"],
    )


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def _founder(said: dict[str, Any]) -> Founder:
    return Founder(
        name=said["name"],
        email=said["email"],
        joined=date(said["joined"], 1, 1),
        skills=said["skills"],
        says_yes=tuple(said["says_yes"]),
        says_no=tuple(said["says_no"]),
    )


def _rhythm(said: dict[str, Any]) -> Rhythm:
    start, end = (time.fromisoformat(text) for text in said["break"])
    return Rhythm(
        site=said["site"],
        weekday=said["weekday"],
        every_weeks=said["every_weeks"],
        opens=time.fromisoformat(said["opens"]),
        closes=time.fromisoformat(said["closes"]),
        pause=(start, end),
        quiet=(_month_day(said["quiet"][0]), _month_day(said["quiet"][1])),
        bring=said["bring"],
        hands=said["hands"],
    )


def _bend(said: dict[str, Any]) -> BendWish:
    return BendWish(**{**said, "circumstances": tuple(said.get("circumstances", ()))})


def _branch(row: dict[str, str]) -> DrawnBranch:
    return DrawnBranch(
        tree=row["tree"],
        label=row["branch"],
        place=row["place"],
        clock=int(row["clock"]) if row["clock"] else None,
        height_mm=float(row["height_mm"]),
        diameter_mm=float(row["diameter_mm"]),
        length_mm=float(row["length_mm"]),
        side_branches=int(row["side_branches"]),
    )


def _wire(row: dict[str, str]) -> WireStory:
    return WireStory(
        tree=row["tree"],
        kind=row["kind"],
        label=row["label"],
        branch=row["branch"],
        length_m=float(row["length_m"] or 0),
        gauge_mm=float(row["gauge_mm"]),
        metal=row["metal"],
        fit=row["fit"],
        on_days_ago=int(row["on_days_ago"]),
        off_days_ago=int(row["off_days_ago"]) if row["off_days_ago"] else None,
        looked_days_ago=tuple(int(days) for days in row["looked_days_ago"].split()),
        seen=row["seen"],
        anchor=row["anchor"],
    )


def _month_day(text: str) -> tuple[int, int]:
    month, day = text.split("-")
    return int(month), int(day)


def _minutes(at: time) -> int:
    return at.hour * 60 + at.minute
