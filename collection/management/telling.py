"""The main job of a club as lines of text, every figure read back through the queries."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from collection.management.telling_bends import next_bend
from collection.queries.access import Actor, club_of
from collection.queries.clock import today_in
from collection.queries.clubs import holdings
from collection.queries.day_plan import Seat
from collection.queries.labels import day, in_words, short_day, task_name
from collection.queries.numbers import weeks_of
from collection.queries.season import Season, season_of
from collection.queries.speech import clock, listed
from collection.queries.trees import hands_sentence, when_of
from collection.queries.workdays import Day, day_of, jobs_for_later, next_workday

BAR_H = 2.0
MOST_REASONS = 8


def today_of(actor: Actor) -> date:
    """The date in the club's zone."""
    return today_in(club_of(actor).zone)


def name_of(actor: Actor) -> str:
    """The club's name."""
    return club_of(actor).name


def next_day(actor: Actor) -> int | None:
    """The next workday."""
    return next_workday(actor, today_of(actor))


def has_fresh_plan(actor: Actor, workday_id: int) -> bool:
    """The day has a plan that still fits its facts."""
    plan = day_of(actor, workday_id).plan
    return plan is not None and plan.state == "ready"


def club(actor: Actor) -> Iterator[str]:
    """Everything the demo tells of one club."""
    name = name_of(actor)
    yield ""
    yield name
    yield "=" * len(name)
    yield from _holdings(actor)
    season = season_of(actor, today=today_of(actor))
    yield from _load(season)
    workday = next_day(actor)
    if workday is not None:
        yield from day_lines(actor, workday)
    yield from next_bend(actor, today_of(actor))


def day_lines(actor: Actor, workday_id: int) -> Iterator[str]:
    """The plan of a day, what is not placed and why, and who last worked its trees."""
    found = day_of(actor, workday_id)
    yield from _plan(actor, found)
    yield from _last(found)


def _holdings(actor: Actor) -> Iterator[str]:
    held = holdings(actor)
    for kind, file_name, rows in held.files:
        yield f"  {rows} rows of {kind} taken in from {file_name}"
    yield (
        f"  {held.trees} trees, {held.people} people. "
        f"The season brings {held.jobs} jobs and {held.rounds} rounds."
    )
    yield f"  {held.sittings} sittings on record."


def _load(season: Season) -> Iterator[str]:
    yield ""
    yield "Season load, hours a week (# likely work, | hours offered)"
    for week, (_, row) in zip(weeks_of(season), season.load.iterrows(), strict=True):
        likely, offered = float(row["likely_h"]), float(row["offered_h"])
        short = f"  SHORT by {row['missing_h']:.1f} h" if row["missing_h"] >= 0.1 else ""
        yield (
            f"  {short_day(week):>10}  work {likely:6.1f}  cautious {row['cautious_h']:6.1f}  "
            f"offered {offered:6.1f}  {_bar(likely, offered)}{short}"
        )
    for spell in season.spells:
        weeks = ", ".join(short_day(week) for week in spell.mondays)
        count = len(spell.mondays)
        sums = f"{spell.likely_h:.1f} h of work, {spell.offered_h:.1f} h offered"
        sums += f", {spell.missing_h:.1f} h missing"
        yield f"  {in_words(count)} short {'week' if count == 1 else 'weeks'}: {weeks}. {sums}."
        yield "    Most of it: " + "; ".join(_most_of(season, spell.mondays))
    if not season.spells:
        yield "  No week is short."


def _most_of(season: Season, weeks: tuple[date, ...]) -> list[str]:
    """The three tasks that take most of some weeks, with their hours."""
    spent: dict[str, float] = {}
    for week in weeks:
        for piece, part in season.in_week(week):
            name = task_name(piece.task).lower()
            spent[name] = spent.get(name, 0.0) + part / 60
    most = sorted(spent.items(), key=lambda pair: (-pair[1], pair[0]))[:3]
    return [f"{name} {hours:.1f} h" for name, hours in most]


def _bar(likely: float, offered: float) -> str:
    marks = ["#"] * round(likely / BAR_H)
    at = round(offered / BAR_H)
    marks += [" "] * (at + 1 - len(marks))
    marks[at] = "|"
    return "".join(marks)[:40]


def _plan(actor: Actor, found: Day) -> Iterator[str]:
    yield ""
    here = [comer for comer in found.comers if comer.here]
    yield (
        f"Next workday: {day(found.date)}, {clock(found.opens_min)} to {clock(found.closes_min)}, "
        f"{found.site}, {len(here)} people"
    )
    if found.plan is not None and found.plan.state == "ready" and not found.plan.seats:
        yield f"  The plan is ready, but no job could be placed. Do trees stand at {found.site} on that day?"
        yield "  Choose the place of the day with new_workday --site NAME, as your list of trees calls it."
    elif found.plan is None or not found.plan.seats:
        yield "  No plan yet."
        return
    for seat in sorted(found.plan.seats, key=lambda s: (s.starts_min, s.accession)):
        yield from _seat(seat)
    yield from _unplaced(actor, found)


def _seat(seat: Seat) -> Iterator[str]:
    names = " with ".join(name for _, name, _ in seat.people)
    pair = "  [two people together]" if len(seat.people) == 2 else ""
    pair = f"  [{len(seat.people)} people together]" if len(seat.people) > 2 else pair
    part = ", goes on another day" if seat.part else ""
    yield (
        f"  {clock(seat.starts_min):>5} to {clock(seat.ends_min):>5}  {names}: "
        f"{seat.accession} {seat.tree_title}, {seat.title.lower()}{part}{pair}"
    )
    if seat.held:
        hold = f"{clock(seat.held[0])} to {clock(seat.held[1])}"
        yield f"                  both hold from {hold}, {seat.people[0][1]} leads"


def _unplaced(actor: Actor, found: Day) -> Iterator[str]:
    assert found.plan is not None
    jobs = found.plan.unplaced
    if jobs:
        yield f"  Not placed, {len(jobs)}:"
    for job in jobs[:MOST_REASONS]:
        hours = f", {job.number.text}" if job.number else ""
        yield f"    {job.accession} {job.title.lower()}{hours}: {' '.join(job.why)}"
    if len(jobs) > MOST_REASONS:
        yield f"    and {len(jobs) - MOST_REASONS} more, on the day's page."
    if later := jobs_for_later(actor, found.id):
        yield f"    {later} more jobs are in season and can wait for another day."


def _last(found: Day) -> Iterator[str]:
    yield ""
    yield "Last hands on the trees of that day"
    for accession, _, hands in found.last:
        if hands is None:
            yield f"  {accession}: nobody yet"
            continue
        left = "  LEFT OPEN: " + " ".join(hands.note.split()) if hands.left_open else ""
        who = listed(hands.who) if hands.who else "not known who"
        yield f"  {accession}: {who}, {when_of(hands)}, {hands_sentence(hands)}{left}"
