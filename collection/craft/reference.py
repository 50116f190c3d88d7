"""The reference tables under ``fixtures/reference`` as frozen values, each read once."""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path

from collection.craft.rule_types import Budget, ClashRule, OrderRule, RuleSettings
from collection.craft.season import Climate, MonthDay, ProgrammeRow, Repeat, wake_shift_days
from collection.craft.tasks import Group, Task

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "reference"
SIZES = ("large", "medium", "small")


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """The rows of a table as text, in the order of the file.

    Args:
        name: File name without its ending, such as ``programme``.

    Raises:
        ValueError: If there is no such table.
    """
    path = FOLDER / f"{name}.csv"
    if not path.exists():
        raise ValueError(f"there is no reference table {name!r} in {FOLDER.name}")
    with path.open(encoding="utf-8", newline="") as lines:
        return tuple(csv.DictReader(lines))


@cache
def tasks() -> dict[str, Task]:
    """The task catalogue by code: 33 of the trade and the look-over."""
    return {
        row["code"]: Task(
            code=row["code"],
            name=row["name"],
            family=row["family"],
            driver=row["driver"],
            stress=int(row["stress"]),
            people=int(row["people"]),
            second_past_threshold=row["second_past_threshold"] == "yes",
            least_skill=row["least_skill"],
            needs_training=row["needs_training"] == "yes",
            label=row["label"],
            source=row["source"],
            note=row["note"],
        )
        for row in table("tasks")
    }


@cache
def groups() -> dict[str, Group]:
    """The species groups by code, G01 to G15."""
    return {
        row["code"]: Group(
            code=row["code"],
            name=row["name"],
            species=row["species"],
            kind=row["kind"],
            flushes=row["flushes"],
            bend_limit_mm=float(row["bend_limit_mm"]),
            foliage_off_most=float(row["foliage_off_most"]),
            root_off_most=float(row["root_off_most"]),
            shelter_below_c=float(row["shelter_below_c"]),
            growing_from_month=int(row["growing_from_month"]),
            growing_to_month=int(row["growing_to_month"]),
            budget_kind=row["budget_kind"],
            rest_column=row["rest_column"],
            repot_column=row["repot_column"],
            label=row["label"],
            source=row["source"],
            note=row["note"],
        )
        for row in table("groups")
    }


def _sizes(row: dict[str, str]) -> tuple[tuple[str, MonthDay, MonthDay], ...]:
    return tuple(
        (size, MonthDay.parse(row[f"{size}_opens"]), MonthDay.parse(row[f"{size}_closes"]))
        for size in SIZES
        if row[f"{size}_opens"]
    )


@cache
def programme() -> tuple[ProgrammeRow, ...]:
    """The season table, 182 rows, northern baseline dates."""
    return tuple(
        ProgrammeRow(
            key=row["key"],
            group=row["group"],
            task=row["task"],
            opens=MonthDay.parse(row["opens"]),
            closes=MonthDay.parse(row["closes"]),
            stages=row["stages"],
            every=Repeat.parse(row["every"]),
            anchor=row["anchor"],
            label=row["label"],
            source=row["source"],
            note=row["note"],
            sign=row["sign"],
            sign_opens_early=row["sign_use"] == "opens early",
            sizes=_sizes(row),
        )
        for row in table("programme")
    )


@cache
def fixed_rows() -> tuple[ProgrammeRow, ...]:
    """The fixed rows for all groups: stocktake (two windows), kit, winter look; four windows in all."""
    found = []
    for row in table("prose_rows"):
        spans = row["windows"].split()
        for span in spans:
            first, last = span.split("..")
            found.append(
                ProgrammeRow(
                    key=row["key"] if len(spans) == 1 else f"{row['key']}-{first.replace('-', '')}",
                    group="",
                    task=row["task"],
                    opens=MonthDay.parse(first),
                    closes=MonthDay.parse(last),
                    stages=row["stages"],
                    every=Repeat.parse(row["every"]),
                    anchor=row["anchor"],
                    label=row["label"],
                    source=row["source"],
                    note=row["note"],
                    all_trees=row["task"] == "WIRE_CHECK",
                )
            )
    return tuple(found)


@cache
def all_rows() -> tuple[ProgrammeRow, ...]:
    """Season table and fixed rows together: what a new club starts with."""
    return programme() + fixed_rows()


def _groups_named(text: str) -> frozenset[str]:
    if text == "all":
        return frozenset(groups())
    found: set[str] = set()
    for first, last in re.findall(r"G(\d\d)(?:-G(\d\d))?", text):
        found |= {f"G{number:02d}" for number in range(int(first), int(last or first) + 1)}
    return frozenset(found)


@cache
def order_rules() -> dict[str, OrderRule]:
    """P1 to P17 by key."""
    return {
        row["key"]: OrderRule(
            key=row["key"],
            first=row["first"],
            then=row["then"],
            groups=_groups_named(row["groups"]),
            min_days=int(row["min_days"]),
            max_days=int(row["max_days"]) if row["max_days"] else None,
            level=row["level"],
            label=row["label"],
            source=row["source"],
            note=row["note"],
        )
        for row in table("order_rules")
    }


@cache
def clash_rules() -> dict[str, ClashRule]:
    """X1 to X14 by key."""
    return {
        row["key"]: ClashRule(
            key=row["key"],
            a=row["a"],
            b=row["b"],
            gap=row["gap"],
            gap_conifer_days=int(row["gap_conifer_days"]) if row["gap_conifer_days"] else None,
            gap_other_days=int(row["gap_other_days"]) if row["gap_other_days"] else None,
            limit=float(row["limit"]) if row["limit"] else None,
            level=row["level"],
            exception=row["exception"],
            label=row["label"],
            source=row["source"],
            note=row["note"],
        )
        for row in table("clash_rules")
    }


@cache
def budgets() -> dict[str, Budget]:
    """The stress budget by kind of tree: conifer, deciduous, fig_elm_trident, weak."""
    return {
        row["kind"]: Budget(row["kind"], int(row["points"]), int(row["majors"]), int(row["window_days"]))
        for row in table("stress_budget")
    }


@cache
def rest_days() -> dict[tuple[str, str], int]:
    """Recovery days by (job, column); DEFOL stands for both kinds of defoliation."""
    return {(row["job"], row["column"]): int(row["days"]) for row in table("rest") if row["days"]}


@cache
def never_done() -> frozenset[tuple[str, str]]:
    """Pairs of (job, column) the recovery table rules out altogether."""
    return frozenset((row["job"], row["column"]) for row in table("rest") if row["meaning"] == "never")


def repot_years(group: str, stage: str) -> float:
    """Middle of the repotting interval, years.

    Args:
        group: G01 to G15.
        stage: R, B, F or S.

    Raises:
        ValueError: If there is no such group or stage.
    """
    if group not in groups():
        raise ValueError(f"there is no species group {group!r}")
    column = groups()[group].repot_column
    for row in table("repot_interval"):
        if (row["stage"], row["column"]) == (stage, column):
            return (float(row["low_years"]) + float(row["high_years"])) / 2
    raise ValueError(f"the stage is one of R, B, F, S, not {stage!r}")


def rule_settings(
    climate: Climate | None = None,
    *,
    azalea_rests_after_repot: bool = True,
    expert_signed: bool = False,
    long_season: bool = False,
) -> RuleSettings:
    """The rules with the reference figures and a club's choices.

    Args:
        climate: The club's place; None for the northern baseline.
        azalea_rests_after_repot: Whether X11 applies.
        expert_signed: Whether an expert signed this very work off.
        long_season: Whether a second full defoliation of trident fits in the season.
    """
    weeks = climate.weeks_later.get("W", 0) if climate else 0
    return RuleSettings(
        tasks=tasks(),
        groups=groups(),
        order=order_rules(),
        clash=clash_rules(),
        budgets=budgets(),
        rest=rest_days(),
        never=never_done(),
        southern=climate.is_southern if climate else False,
        wake_shift_days=wake_shift_days(climate) + 7 * weeks if climate else 0,
        azalea_rests_after_repot=azalea_rests_after_repot,
        expert_signed=expert_signed,
        long_season=long_season,
    )
