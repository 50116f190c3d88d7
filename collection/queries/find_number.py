"""Any shown number by its own address."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from collection.queries.access import Actor, job_for
from collection.queries.day_plan import seat_of
from collection.queries.errors import not_found
from collection.queries.growth import growth_number
from collection.queries.helpers import person_number
from collection.queries.labels import day, group_name, task_name
from collection.queries.numbers import (
    estimate_number,
    spell_number,
    week_cautious,
    week_likely,
    week_missing,
    week_offered,
    window_number,
)
from collection.queries.opened import Opened
from collection.queries.person import person_hours
from collection.queries.season import Season, season_of, windows_of

WEEK_KINDS = {
    "week-likely": ("Likely work", week_likely),
    "week-cautious": ("Cautious", week_cautious),
    "week-offered": ("Hours offered", week_offered),
    "week-missing": ("Hours missing", week_missing),
}

GROWTH_KINDS = frozenset({"growth-sites", "growth-shoots", "growth-hours", "club-growth"})


@dataclass(frozen=True, slots=True)
class Found:
    """A number with what its page says around it, and the way back."""

    title: str
    about: str
    number: Opened
    back: str
    back_args: tuple[object, ...]
    back_words: str


def find(actor: Actor, kind: str, key: str, *, today: date) -> Found:
    """The number at an address.

    Raises:
        Refused: ``not_found`` for an address that leads nowhere, and for another club's.
    """
    try:
        if kind == "job":
            return _job(actor, int(key))
        if kind in ("helper", "bend-lead"):
            return _points(actor, kind, key, today)
        if kind == "seat":
            return _seat(actor, key)
        if kind in GROWTH_KINDS:
            return _growth(actor, kind, key, today)
        if kind in WEEK_KINDS:
            return _week(season_of(actor, today=today), kind, date.fromisoformat(key))
        if kind == "short-weeks":
            return _spells(season_of(actor, today=today), key.split("~")[0])
        if kind == "person-hours":
            return _person(actor, key)
        if kind == "window":
            return _window(season_of(actor, today=today), key)
    except (KeyError, ValueError):
        raise not_found() from None
    raise not_found()


def _job(actor: Actor, job_id: int) -> Found:
    job = job_for(actor, job_id)
    if job.estimate is None:
        raise not_found()
    number = estimate_number(job.estimate)
    what = task_name(job.task)
    if job.tree is None:
        return Found(what, f"{what}, a round:", number, "season", (), "Back to the season")
    about = f"{what} on {job.tree.accession}:"
    return Found(f"{job.tree.accession} {what}", about, number, "tree", (job.tree.pk,), "Back to the tree")


def _person(actor: Actor, key: str) -> Found:
    member, year = (int(part) for part in key.split("~"))
    name, number = person_hours(actor, member, year)
    if number is None:
        raise not_found()
    about = f"{name}, on record in {year}:"
    return Found(f"Hours of {name} in {year}", about, number, "person", (member,), f"Back to {name}")


def _seat(actor: Actor, key: str) -> Found:
    plan, job, sitting = (int(part) for part in key.split("~"))
    seat = seat_of(actor, plan, job, sitting)
    if seat is None:
        raise not_found()
    about = f"{seat.title} on {seat.accession}, from {seat.people[0][1]}'s place in the plan:"
    return Found(
        f"{seat.accession} {seat.title}", about, seat.number, "tree", (seat.tree_id,), "Back to the tree"
    )


def _growth(actor: Actor, kind: str, key: str, today: date) -> Found:
    about, number = growth_number(actor, kind, key, today=today)
    if kind == "club-growth":
        return Found(about, f"{about}:", number, "season", (), "Back to the season")
    tree = int(key.split("~")[0])
    return Found(about, f"{about}:", number, "tree", (tree,), "Back to the tree")


def _points(actor: Actor, kind: str, key: str, today: date) -> Found:
    name, bend_id, number = person_number(actor, kind, key, today=today)
    what = "leading" if kind == "bend-lead" else "helping"
    about = f"Points of {name} for {what} at this bend:"
    return Found(f"{name}, points", about, number, "bend", (bend_id,), "Back to the bend")


def _week(season: Season, kind: str, week: date) -> Found:
    name, number = WEEK_KINDS[kind]
    if week not in set(season.load.index):
        raise not_found()
    about = f"{name}, week of {day(week)}:"
    return Found(
        f"{name}, week of {day(week)}", about, number(season, week), "season", (), "Back to the season"
    )


def _spells(season: Season, what: str) -> Found:
    number = spell_number(season, season.spells, what)
    return Found(
        number.total_label,
        f"{number.total_label} in the short weeks:",
        number,
        "season",
        (),
        "Back to the season",
    )


def _window(season: Season, key: str) -> Found:
    task, group, opens, closes = key.split("~")
    for row in windows_of(season.dues):
        if (row.task, row.group, row.opens.isoformat(), row.closes.isoformat()) == (
            task,
            group,
            opens,
            closes,
        ):
            about = f"{group_name(group)}: {task_name(task).lower()}, {row.trees} trees:"
            return Found(
                f"{group_name(group)}: {task_name(task).lower()}",
                about,
                window_number(row),
                "season",
                (),
                "Back to the season",
            )
    raise not_found()
