"""Every number people see, with what it came from."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from collection.craft.allowances import fine_work_standing
from collection.craft.labour_lines import WALK_ROUND
from collection.craft.reasons import Reason
from collection.models import Estimate, Job
from collection.planning.season_load import PRODUCTIVE, Spell, monday
from collection.queries.labels import (
    counted,
    dated,
    group_name,
    length,
    line_label,
    line_trust,
    short_day,
    task_name,
)
from collection.queries.opened import Line, Opened, hours, joined, minutes
from collection.queries.season import Due, Offered, Season, WindowRow
from collection.queries.sentences import say
from collection.queries.speech import listed

TRUST_WORDS = {
    "guess": "This is a guess: fewer than five logs, or nobody has counted.",
    "estimate": "This is an estimate from the club's own logs.",
    "measured": "This is measured: twenty or more of the club's own logs.",
}
REST_WORDS = {
    "personal": "personal",
    "fatigue": "basic fatigue",
    "standing": "standing",
    "attention": "fine work",
    "tedium": "tedious work",
}
# Weights of minutes known two ways: two parts by branches, one by metres (assumption).
SIDES = {"branches": ("By branches", 2 / 3), "metres": ("By metres of wire", 1 / 3)}


def estimate_number(row: Estimate, address: tuple[str, str] | None = None) -> Opened:
    """A stored estimate, opened to its lines; minutes of labour, all people together."""
    plain = [line for line in row.lines if not line["side"]]
    two_ways = [line for line in row.lines if line["side"]]
    lines = [
        Line(line_label(line), minutes(line_mean(line)), line_mean(line), line_trust(line)) for line in plain
    ]
    if two_ways:
        work = joined(
            "weighted",
            [sum(line_mean(x) for x in two_ways if x["side"] == side) for side in SIDES],
            [weight for _, weight in SIDES.values()],
        )
        lines.insert(0, Line("Wiring, from branches and metres, 2 to 1", minutes(work), work, "assumption"))
    value = row.mean_min
    shown = hours(value / 60)
    if row.crew > 1:
        each = hours(row.elapsed_min / 60)
        shown = f"{each} each"
    total = f"{value:.0f} min = {hours(value / 60)}"
    return Opened(
        text=shown,
        value=value,
        rule="sum",
        lines=tuple(lines),
        total=total,
        total_label="Likely, for a practised hand"
        + (f", {row.crew} people together" if row.crew > 1 else ""),
        notes=_estimate_notes(row),
        address=address or (("job", str(row.job_id)) if row.job_id else None),
    )


def line_mean(line: dict[str, float]) -> float:
    """Mean minutes of labour of a stored line, from its own figures."""
    per = (line["low_per"] + 4 * line["likely_per"] + line["high_per"]) / 6
    people = line["crew"] if line["together"] else 1
    return line["amount"] / line["per"] * line["multiplier"] * people * per


def _estimate_notes(row: Estimate) -> tuple[str, ...]:
    notes = [
        f"8 times in 10 it takes between {hours(row.p10_min / 60)} and {hours(row.p90_min / 60)}.",
        f"To be careful, plan {hours(row.cautious_min / 60)}: 8 times in 10 it is done by then.",
    ]
    if row.held_min:
        notes.append(f"Both must hold at once for {length(row.held_min)}.")
    if row.sittings > 1:
        notes.append(f"It needs {row.sittings} sittings.")
    notes += [say(Reason.from_json(reason)) for reason in row.crew_reasons]
    notes += [say(Reason.from_json(reason)) for reason in row.notes]
    notes += _rest_notes(row)
    notes.append(TRUST_WORDS[row.trust])
    notes.append("Each line is (low + 4 x likely + high) / 6 of its pace, times the amount.")
    return tuple(dict.fromkeys(notes))


def _rest_notes(row: Estimate) -> list[str]:
    """Rest is in no estimate: what the table asks on top of bench work, by which convention, part by part."""
    if {line["task"] for line in row.lines} <= WALK_ROUND:
        return []
    rest = fine_work_standing()
    parts = listed([f"{part.percent:g} {REST_WORDS[part.part]}" for part in rest.parts])
    with_rest = hours(rest.standard_min(row.mean_min) / 60)
    return [
        f"Rest is not counted. Fine work standing asks {rest.percent:g} % of basic time on top: {with_rest}.",
        f"That is {parts}, percent, from a textbook table.",
    ]


def job_number(job: Job) -> Opened | None:
    """A job's hours, or None while nobody has worked them out."""
    return estimate_number(job.estimate) if job.estimate else None


def due_label(piece: Due) -> str:
    """A piece of the load in words."""
    name = task_name(piece.task)
    if piece.tree_id is None:
        return f"{name}, {piece.label or 'no bench'}, {counted(piece.trees, 'tree', 'trees')}"
    return f"{piece.label} {name.lower()}" + (" (last time unknown)" if piece.question else "")


def week_likely(season: Season, week: date) -> Opened:
    """The work that falls in a week, piece by piece."""
    lines = tuple(
        Line(due_label(piece), minutes(part), part / 60, _window(piece))
        for piece, part in season.in_week(week)
    )
    value = sum(line.value for line in lines)
    return Opened(
        hours(value),
        value,
        "sum",
        lines,
        hours(value),
        "Likely work",
        (
            "Each job is spread evenly over the days left in its window.",
            "Hours are those of a practised hand, all people together, set-up included.",
        ),
        ("week-likely", week.isoformat()),
    )


def _window(piece: Due) -> str:
    said = f"{short_day(piece.work.opens)} to {dated(piece.work.closes)}"
    return f"{said}, its share as a guess" if piece.question else said


def week_offered(season: Season, week: date) -> Opened:
    """The hours offered for a week, person by person."""
    lines = tuple(offer_line(offer) for offer in season.offered_in(week))
    value = sum(line.value for line in lines)
    return Opened(
        hours(value),
        value,
        "sum",
        lines,
        hours(value),
        "Hours offered",
        (
            "Hours x turn-out x 0.81 productive / pace of the level. All three are assumptions.",
            "Turn-out is 0.85 for a yes to a dated day and 0.6 for a habit.",
        ),
        ("week-offered", week.isoformat()),
    )


def offer_line(offer: Offered) -> Line:
    """One person's hours and what they are worth."""
    said = f"{offer.name}, {short_day(offer.on)}, {length(offer.minutes)}"
    sum_ = f"x {offer.turn_out} x {PRODUCTIVE} / {offer.multiplier} ({offer.level})"
    return Line(said, hours(offer.worth_min / 60), offer.worth_min / 60, sum_)


def week_missing(season: Season, week: date) -> Opened:
    """Likely work less hours offered."""
    likely, offered = week_likely(season, week), week_offered(season, week)
    lines = (
        Line("Likely work", likely.text, likely.value, "opens in the same row"),
        Line("Hours offered", offered.text, offered.value, "opens in the same row"),
    )
    value = max(0.0, likely.value - offered.value)
    return Opened(
        hours(value),
        value,
        "difference",
        lines,
        hours(value),
        "Hours missing",
        ("Work above the hours offered; never below nought.",),
        ("week-missing", week.isoformat()),
    )


def week_cautious(season: Season, week: date) -> Opened:
    """The figure the week's work stays below 8 times in 10."""
    parts = season.in_week(week)
    mean = sum(part for _, part in parts) / 60
    own = sum((p / d.work.mean_min * d.work.own_sd_min / 60) ** 2 for d, p in parts if d.work.mean_min) ** 0.5
    shared = sum(p * d.work.shared_cv for d, p in parts) / 60
    value = joined("p80", [mean, own, shared], [])
    return Opened(
        hours(value),
        value,
        "p80",
        (
            Line("Likely work", hours(mean), mean),
            Line("Spread of the jobs themselves", hours(own), own, "from the pace table"),
            Line("Spread that people and trees share", hours(shared), shared, "assumption"),
        ),
        hours(value),
        "Cautious",
        ("8 times in 10 the work stays below this.",),
        ("week-cautious", week.isoformat()),
    )


def spell_number(season: Season, spells: Sequence[Spell], what: str) -> Opened:
    """Work, hours offered or hours missing over short weeks, week by week."""
    pick = {"likely": week_likely, "offered": week_offered, "missing": week_missing}[what]
    label = {"likely": "Work", "offered": "Hours offered", "missing": "Hours missing"}[what]
    weeks = [week for spell in spells for week in spell.mondays]
    lines = tuple(
        Line(f"Week of {short_day(week)}", found.text, found.value)
        for week in weeks
        for found in [pick(season, week)]
    )
    value = sum(line.value for line in lines)
    key = f"{what}~{weeks[0].isoformat()}~{weeks[-1].isoformat()}" if weeks else f"{what}~~"
    return Opened(hours(value), value, "sum", lines, hours(value), label, (), ("short-weeks", key))


def window_number(row: WindowRow) -> Opened:
    """The hours of one kind of work in one window, tree by tree."""
    lines = tuple(
        Line(due_label(piece), hours(piece.work.mean_min / 60), piece.work.mean_min / 60)
        for piece in row.jobs
    )
    key = f"{row.task}~{row.group}~{row.opens.isoformat()}~{row.closes.isoformat()}"
    return Opened(
        f"{row.hours:.1f}",
        row.hours,
        "sum",
        lines,
        hours(row.hours),
        f"{group_name(row.group)}: {task_name(row.task).lower()}",
        ("Each tree's own sum is on the tree's page.",),
        ("window", key),
    )


def weeks_of(season: Season) -> list[date]:
    """The Mondays of the season's weeks."""
    first = monday(season.today)
    return [first + timedelta(weeks=n) for n in range(season.weeks)]
