"""The season page: the answer in a sentence, the drawing, the tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from types import SimpleNamespace

from django.urls import reverse

from collection.planning.season_load import Spell
from collection.queries.access import Actor
from collection.queries.labels import (
    counted,
    dated,
    day,
    group_name,
    in_words,
    short_day,
    task_name,
)
from collection.queries.numbers import (
    spell_number,
    week_cautious,
    week_likely,
    week_missing,
    week_offered,
    weeks_of,
    window_number,
)
from collection.queries.opened import Opened
from collection.queries.requests import Request
from collection.queries.season import Due, Season, WindowRow, windows_of
from collection.queries.speech import month_day
from collection.web.drawings.ribbon import WeekLoad, draw_ribbon
from collection.web.drawings.ribbon_windows import WindowBar
from collection.web.pages.growth import club_growth_part
from collection.web.pages.parts import (
    Action,
    Empty,
    Number,
    Piece,
    Tag,
    lead,
    number_of,
    page,
    people_in,
)
from collection.web.pages.requests import asked_rows

SOON = timedelta(days=21)
MOST_ROWS = 8
WAITS = "The season is being worked out again. Until then you see the last one."
# Windows with less work than this are in the table and not in the drawing.
DRAWN_FROM_H = 1.0


def season_page(
    season: Season,
    actor: Actor,
    *,
    last_frost: str,
    now: str,
    waits: bool = False,
    requests: Iterable[Request] = (),
    growth: Sequence[tuple[int, Opened]] = (),
) -> SimpleNamespace:
    """Everything ``season.html`` reads."""
    windows = windows_of(season.dues)
    bars = [
        WindowBar(f"{group_name(w.group)}: {task_name(w.task).lower()}", _detail(w), w.opens, w.closes)
        for w in _drawn(windows, season)
    ]
    return page(
        title=f"The next {season.weeks} weeks",
        lead=opening(season),
        status=WAITS if waits else "",
        poll_url=reverse("season-state") if waits else "",
        ribbon=draw_ribbon(_loads(season), bars) if season.dues else None,
        caption=_caption(season),
        weeks=[_week_row(season, week) for week in weeks_of(season)],
        windows=[_window_row(w, season.today) for w in windows],
        pair_jobs=[_pair_row(d, actor) for d in _pairs(season)],
        opens_next=[_window_row(w, season.today) for w in _next(windows, season.today)],
        closing=[_closing(w) for w in _closing_soon(season, windows)],
        rounds=[_round_row(season, d) for d in _rounds(season)],
        questions=_questions(season),
        growth=club_growth_part(growth) if growth else None,
        asked=asked_rows(requests),
        notes=(
            "Daily watering is not counted.",
            "Travel, meetings and workshops are not counted.",
            "A tree whose last repotting is not known counts in part, as a guess.",
        ),
        empty=_empty(season, actor),
        actions=_actions(actor, waits=waits),
        foot_left="Club weeks start on Monday. Last frost: "
        + (f"{month_day(last_frost)}." if last_frost else "never."),
        foot_right=f"Worked out {now}",
    )


def _next(windows: Sequence[WindowRow], today: date) -> list[WindowRow]:
    later = [w for w in windows if w.opens > today]
    return sorted(later, key=lambda w: (w.opens, w.closes))[:MOST_ROWS]


def _loads(season: Season) -> list[WeekLoad]:
    columns = ("likely_h", "cautious_h", "offered_h", "missing_h")
    rows = zip(weeks_of(season), season.load.iterrows(), strict=True)
    return [WeekLoad(week, *(float(row[name]) for name in columns)) for week, (_, row) in rows]


def opening(season: Season) -> tuple[Piece, ...]:
    """How many weeks are short, what they need, what is offered, what is missing."""
    spells = season.spells
    if not season.dues:
        return lead("Nothing is due yet.")
    if not spells:
        return lead("No week is short. The hours people have offered cover the work that is due.")
    count = sum(len(spell.mondays) for spell in spells)
    need, offered, missing = (spell_number(season, spells, what) for what in ("likely", "offered", "missing"))
    return lead(
        f"{in_words(count)} {'week is' if count == 1 else 'weeks are'} short{_when(spells)}. "
        f"{'It needs' if count == 1 else 'They need'} ",
        number_of(need, inline=False),
        " of work and people have offered ",
        number_of(offered, inline=False),
        ", so ",
        Piece(f"{missing.value:.1f} hours are missing", missing=True),
        ". ",
        *_adds_up(missing.address),
    )


def _adds_up(address: tuple[str, str] | None) -> tuple[Piece, ...]:
    if address is None:
        return ()
    return (Piece(number=Number("How it adds up", reverse("number", args=address))),)


def _when(spells: tuple[Spell, ...]) -> str:
    months = list(dict.fromkeys(f"{week:%B}" for spell in spells for week in spell.mondays))
    if len(months) == 1:
        return f" in {months[0]}"
    return f", from {months[0]} to {months[-1]}" if len(months) <= 3 else ""


def _caption(season: Season) -> tuple[str, ...]:
    load = season.load
    careful = float((load["cautious_h"] - load["offered_h"]).clip(lower=0).sum())
    said = [
        "Solid: likely hours of work in each week. Dots: the cautious figure. "
        "Hatched: hours nobody has offered. Heavy line: hours people have offered."
    ]
    if careful > 0.05:
        said.append(f"On the cautious figure, {careful:.0f} h would be missing.")
    return tuple(said)


def _detail(window: WindowRow) -> str:
    shown = f"{window.hours:.1f} h" if window.hours >= 1 else f"{window.hours * 60:.0f} min"
    return f"{counted(window.trees, 'tree', 'trees')}, {shown}"


def _drawn(windows: list[WindowRow], season: Season) -> list[WindowRow]:
    """The same work on one group drawn once: neighbouring windows of one task and group as one."""
    joined: dict[tuple[str, str], WindowRow] = {}
    for w in windows:
        key = (w.task, w.group)
        old = joined.get(key)
        if old is None or (w.opens - old.closes).days > 30:
            joined.setdefault(key, w)
            continue
        jobs = (*old.jobs, *w.jobs)
        joined[key] = WindowRow(
            w.task,
            w.group,
            min(old.opens, w.opens),
            max(old.closes, w.closes),
            len({j.tree_id for j in jobs}),
            old.hours + w.hours,
            jobs,
        )
    return [w for w in joined.values() if w.closes >= season.today and w.hours >= DRAWN_FROM_H]


def _week_row(season: Season, week: date) -> SimpleNamespace:
    missing = week_missing(season, week)
    return SimpleNamespace(
        week=short_day(week),
        likely=number_of(week_likely(season, week), inline=False),
        cautious=number_of(week_cautious(season, week), inline=False),
        offered=number_of(week_offered(season, week), inline=False),
        missing=number_of(missing, inline=False),
        short=missing.value >= 0.1,
    )


def _window_row(window: WindowRow, today: date) -> SimpleNamespace:
    over = ", closed: overdue" if window.closes < today else ""
    return SimpleNamespace(
        opens=dated(window.opens),
        closes=dated(window.closes) + over,
        work=f"{group_name(window.group)}: {task_name(window.task).lower()}",
        trees=window.trees,
        hours=number_of(window_number(window), inline=False),
    )


def _pairs(season: Season) -> list[Due]:
    soon = season.today + timedelta(weeks=16)
    rows = [d for d in season.dues if d.crew > 1 and d.tree_id and not d.question and d.work.opens <= soon]
    return rows[:MOST_ROWS]


def _pair_row(piece: Due, actor: Actor) -> SimpleNamespace:
    url = reverse("tree", args=[piece.tree_id])
    return SimpleNamespace(
        tag=Tag(piece.label, url),
        species=group_name(piece.group),
        what=task_name(piece.task),
        when=f"{short_day(piece.work.opens)} to {dated(piece.work.closes)}",
        hours=Number(f"{piece.work.mean_min / 60:.1f} h", reverse("number", args=["job", str(piece.job_id)])),
        people=people_in((), piece.crew),
        action=Action("Open the tree", url),
        note="",
    )


def _closing_soon(season: Season, windows: list[WindowRow]) -> list[WindowRow]:
    """The days within three weeks on which the hardest and largest work closes, each with all that closes."""
    soon = [w for w in windows if season.today <= w.closes <= season.today + SOON]
    most = sorted(soon, key=lambda w: (-max(piece.stress for piece in w.jobs), -w.hours))[:4]
    days = {w.closes for w in most}
    return sorted((w for w in soon if w.closes in days), key=lambda w: w.closes)


def _closing(window: WindowRow) -> SimpleNamespace:
    first = window.jobs[0]
    one = window.trees == 1
    return SimpleNamespace(
        when=f"Closes {day(window.closes)}",
        sentence=f"{group_name(window.group)}: {task_name(window.task).lower()} on {_detail(window)}.",
        tag=Tag(first.label, reverse("tree", args=[first.tree_id])) if one else None,
    )


def _rounds(season: Season) -> list[Due]:
    soon = season.today + SOON
    rows = [d for d in season.dues if d.tree_id is None and season.today <= d.work.opens <= soon]
    return sorted(rows, key=lambda d: (d.work.opens, d.label, d.task))[:12]


def _round_row(season: Season, piece: Due) -> SimpleNamespace:
    return SimpleNamespace(
        when=short_day(piece.work.opens),
        what=task_name(piece.task),
        bench=piece.label or "not on a bench",
        trees=piece.trees,
        hours=Number(f"{piece.work.mean_min:.0f} min", reverse("number", args=["job", str(piece.job_id)])),
    )


def _questions(season: Season) -> list[SimpleNamespace]:
    by_task: dict[str, list[Due]] = {}
    for piece in season.dues:
        if piece.question:
            by_task.setdefault(piece.task, []).append(piece)
    return [
        SimpleNamespace(
            sentence=f"When was the last {task_name(task).lower()}? It is not known for "
            f"{counted(len(pieces), 'tree', 'trees')}.",
            tags=[Tag(p.label, reverse("tree", args=[p.tree_id])) for p in pieces[:12]],
        )
        for task, pieces in sorted(by_task.items())
    ]


def _actions(actor: Actor, *, waits: bool) -> list[Action]:
    actions = [
        Action("How long will it take", reverse("estimate"), plain=True),
        Action("Season programme", reverse("programme"), plain=True),
        Action("Heavy bends", reverse("bends"), plain=True),
        Action("Rounds", reverse("rounds"), plain=True),
    ]
    if actor.plans and not waits:
        again = reverse("season-again")
        actions.append(Action("Work the season out again", again, post=True))
    return actions


def _empty(season: Season, actor: Actor) -> Empty | None:
    if season.dues:
        return None
    if actor.plans:
        return Empty(
            "The weeks of work will be drawn here once trees are on the register.",
            "Black pine: bud thinning, 9 trees, 15 October to 28 February.",
            Action("Getting started", reverse("club-start"), main=True),
        )
    return Empty(
        "The weeks of work will be drawn here once trees are on the register.",
        "Black pine: bud thinning, 9 trees, 15 October to 28 February.",
        Action("See the trees", reverse("trees")),
    )
