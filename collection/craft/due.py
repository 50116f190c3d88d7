"""What the programme asks of the trees between two days: jobs, rounds, questions and chores.

How the rows are read (our own reading, no source, unless the programme row names one):

* ``once`` rows make nothing by themselves. ``y`` rows make one job a season on each tree of a fitting
  stage; one logged inside the window, or up to 14 days before it, counts as done.
* ``Ny`` rows count from the last logged time: by the repotting table for REPOT, else by the middle
  of the interval. The job falls in the first window that ends at most 90 days (assumption) before
  the interval is up. A tree whose last time is unknown becomes a question that weighs 1/N.
  A larger pot given inside the window stands in for the repot of that season.
* ``Nd`` rows of stress 1 and more make one job for each repeat in the window.
* ``Nd`` rows of stress 0, and the once-a-season tasks PROTECT, RECORD and FEED_STOP, make rounds: one
  for each bench, task and day. Once-a-season rounds are dated on the day the window opens, even
  if that day is past, so that they stay the same round. Looks at wire take in only trees with wire.
* The last day of a feeding window makes a round to take the feed off, unless the tree's own
  FEED_STOP row covers that day.
* Decandling has two passes: the second 10 to 14 days after the first; until the first is logged
  from 10 days after the window opens to 14 days after it closes.
* A bench in shade or under glass moves its trees' windows by a week; what stays on the calendar stays.
* A weak tree gets water, light, pest and shelter rounds, and is looked at. A tree from the wild is
  not decandled.
* Windows that closed before today, or before the tree came, make nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from collection.craft import reference
from collection.craft.due_types import (
    SECOND_PASS,
    Chore,
    Due,
    DueJob,
    DueRound,
    Question,
    TreeInput,
    last_days,
)
from collection.craft.season import Climate, ProgrammeRow, Window, on_bench, size_of, window, with_sign
from collection.craft.tasks import CARE_OF_WEAK, LOOKING

__all__ = ["Chore", "Due", "DueJob", "DueRound", "Question", "TreeInput", "due", "last_days"]

ROUNDS_ONCE_A_SEASON = frozenset({"PROTECT", "RECORD", "FEED_STOP"})
EARLY_DAYS = 14
GRACE_DAYS = 90
YEAR_DAYS = 365.25
PASS_TWO_FROM, PASS_TWO_TO, PASS_TWO_OVERRUN = 10, 14, 14


@dataclass(frozen=True, slots=True)
class _Line:
    """One tree's share of a round."""

    row_key: str
    season_year: int
    occurrence: int
    closes: date
    tree: TreeInput


@dataclass(slots=True)
class _Season:
    climate: Climate
    today: date
    until: date
    stops: Sequence[ProgrammeRow]
    jobs: list[DueJob] = field(default_factory=list)
    lines: dict[tuple[int | None, str, date], list[_Line]] = field(default_factory=lambda: defaultdict(list))
    questions: list[Question] = field(default_factory=list)
    chores: list[Chore] = field(default_factory=list)
    windows: dict[tuple[str, int, str | None], Window] = field(default_factory=dict)

    def window(self, row: ProgrammeRow, year: int, height_cm: float | None = None) -> Window:
        """A row's window in a year, worked out once for all trees of a size."""
        key = (row.key, year, size_of(height_cm) if row.sizes else None)
        if key not in self.windows:
            self.windows[key] = window(row, self.climate, year, height_cm=height_cm)
        return self.windows[key]

    def years(self) -> range:
        """Season years that can reach the stretch: a window lasts up to a year and moves by up to 8 weeks."""
        return range(self.today.year - 2, self.until.year + 2)

    def meets(self, opens: date, closes: date) -> bool:
        """Whether a window is open on or after today and opens no later than the last day."""
        return opens <= self.until and closes >= self.today


def due(
    trees: Sequence[TreeInput],
    rows: Sequence[ProgrammeRow],
    climate: Climate,
    *,
    today: date,
    until: date,
) -> Due:
    """The work that is open now or opens before a day.

    Args:
        trees: The club's trees; numbers differ.
        rows: The club's programme; keys differ. ``reference.all_rows()`` for a new club.
        climate: Where the club is.
        today: Windows that closed before are left out.
        until: Windows that open later are left out; inclusive.

    Returns:
        Jobs, rounds, questions and chores, each sorted. The same input gives an equal result.

    Raises:
        ValueError: If ``until`` lies before ``today``, two trees share a number, two rows share a key
            or a row names a task that is not in the catalogue.
    """
    _refuse_nonsense(trees, rows, today, until)
    season = _Season(climate, today, until, [row for row in rows if row.task == "FEED_STOP"])
    for row in rows:
        if row.every.kind == "once":
            continue
        if not row.task:
            _add_chores(season, row)
            continue
        for tree in trees:
            if _asks(row, tree):
                _add_tree(season, row, tree)
    return Due(
        jobs=tuple(sorted(season.jobs, key=lambda job: (job.opens, job.closes, job.key))),
        rounds=tuple(
            sorted(
                _rounds(season),
                key=lambda found: (found.on, found.bench is not None, found.bench or 0, found.task),
            )
        ),
        questions=tuple(
            sorted(season.questions, key=lambda asked: (asked.tree, asked.row_key, asked.season_year))
        ),
        chores=tuple(sorted(season.chores, key=lambda chore: (chore.opens, chore.row_key))),
    )


def _refuse_nonsense(
    trees: Sequence[TreeInput], rows: Sequence[ProgrammeRow], today: date, until: date
) -> None:
    if until < today:
        raise ValueError(f"the last day {until} lies before the first day {today}")
    if len({tree.id for tree in trees}) != len(trees):
        raise ValueError("two trees have the same number")
    if len({row.key for row in rows}) != len(rows):
        raise ValueError("two rows of the programme have the same key")
    for row in rows:
        if row.task and row.task not in reference.tasks():
            raise ValueError(f"row {row.key}: there is no task {row.task!r}")


def _asks(row: ProgrammeRow, tree: TreeInput) -> bool:
    """Whether a row asks for its task on this tree at all."""
    if row.group not in ("", tree.group) or tree.stage not in row.stages:
        return False
    if tree.weak and row.task not in CARE_OF_WEAK | LOOKING:
        return False
    if tree.collected and (row.task, "collected") in reference.never_done():
        return False
    return row.task != "WIRE_CHECK" or tree.has_wire or row.all_trees


def _windows(season: _Season, row: ProgrammeRow, tree: TreeInput) -> Iterator[tuple[int, Window]]:
    """The row's windows for a tree, by season; those that wait for a sign are left out."""
    for year in season.years():
        dated = on_bench(season.window(row, year, tree.height_cm), row, tree.weeks_later)
        seen = tree.signs.get(row.sign) if row.sign else None
        found = with_sign(dated, seen, wait=row.wait_for_sign, early=row.sign_opens_early)
        came = tree.created is None or found.closes >= tree.created
        if came and not found.sign_only:
            yield year, found


def _add_tree(season: _Season, row: ProgrammeRow, tree: TreeInput) -> None:
    for year, found in _windows(season, row, tree):
        if row.task == "DECANDLE":
            _add_decandling(season, row, tree, year, found)
        elif season.meets(found.opens, found.closes):
            _add_window(season, row, tree, year, found)


def _add_window(season: _Season, row: ProgrammeRow, tree: TreeInput, year: int, found: Window) -> None:
    stress = reference.tasks()[row.task].stress
    if row.every.kind == "years":
        _add_every_few_years(season, row, tree, year, found)
    elif row.every.kind == "days" and stress == 0:
        _add_rounds(season, row, tree, year, found)
    elif row.every.kind == "days":
        _add_repeats(season, row, tree, year, found)
    elif row.task in ROUNDS_ONCE_A_SEASON:
        _add_line(season, row.task, _Line(row.key, year, 1, found.closes, tree), found.opens)
    elif not _done_in(found, tree.last_done.get(row.task)):
        season.jobs.append(_job(row, tree, year, 1, found))


def _job(row: ProgrammeRow, tree: TreeInput, year: int, occurrence: int, found: Window) -> DueJob:
    return DueJob(
        tree=tree.id,
        task=row.task,
        row_key=row.key,
        season_year=year,
        occurrence=occurrence,
        opens=found.opens,
        closes=found.closes,
        stress=reference.tasks()[row.task].stress,
        count=tree.count,
    )


def _done_in(found: Window, done: date | None) -> bool:
    return done is not None and found.opens - timedelta(days=EARLY_DAYS) <= done <= found.closes


def _add_every_few_years(
    season: _Season, row: ProgrammeRow, tree: TreeInput, year: int, found: Window
) -> None:
    years = reference.repot_years(tree.group, tree.stage) if row.task == "REPOT" else row.every.middle
    if row.task == "REPOT" and _done_in(found, tree.last_done.get("UP_POT")):
        return
    last = tree.last_done.get(row.task)
    if last is None:
        season.questions.append(Question(tree.id, row.task, row.key, year, found, 1 / years, tree.count))
        return
    up = last + timedelta(days=round(years * YEAR_DAYS))
    if last < found.opens and up <= found.closes + timedelta(days=GRACE_DAYS):
        season.jobs.append(_job(row, tree, year, 1, found))


def _repeats(row: ProgrammeRow, found: Window) -> Iterator[tuple[int, Window]]:
    """The repeats in a window: number from 1, first day, and the day before the next."""
    step = timedelta(days=round(row.every.middle))
    number, opens = 1, found.opens
    while opens <= found.closes:
        yield number, Window(opens, min(opens + step - timedelta(days=1), found.closes))
        number, opens = number + 1, opens + step


def _add_repeats(season: _Season, row: ProgrammeRow, tree: TreeInput, year: int, found: Window) -> None:
    done = tree.last_done.get(row.task)
    for number, part in _repeats(row, found):
        logged = done is not None and part.opens <= done <= part.closes
        if season.meets(part.opens, part.closes) and not logged:
            season.jobs.append(_job(row, tree, year, number, part))


def _add_rounds(season: _Season, row: ProgrammeRow, tree: TreeInput, year: int, found: Window) -> None:
    for number, part in _repeats(row, found):
        if season.today <= part.opens <= season.until:
            _add_line(season, row.task, _Line(row.key, year, number, part.closes, tree), part.opens)
    ends = found.closes
    if row.task == "FEED_START" and season.today <= ends <= season.until and not _stopped(season, tree, ends):
        _add_line(season, "FEED_STOP", _Line(row.key, year, 1, ends, tree), ends)


def _stopped(season: _Season, tree: TreeInput, on: date) -> bool:
    """Whether the tree's own row to take the feed off covers a day."""
    return any(
        found.opens <= on <= found.closes
        for row in season.stops
        if _asks(row, tree)
        for _, found in _windows(season, row, tree)
    )


def _add_line(season: _Season, task: str, line: _Line, on: date) -> None:
    season.lines[(line.tree.bench, task, on)].append(line)


def _add_decandling(season: _Season, row: ProgrammeRow, tree: TreeInput, year: int, found: Window) -> None:
    first, second = tree.last_done.get("DECANDLE"), tree.last_done.get(SECOND_PASS)
    overrun = Window(found.opens, found.closes + timedelta(days=PASS_TWO_OVERRUN))
    first = first if _done_in(overrun, first) else None
    if first is None and season.meets(found.opens, found.closes):
        season.jobs.append(_job(row, tree, year, 1, found))
    after = first or found.opens
    last = overrun.closes if first is None else first + timedelta(days=PASS_TWO_TO)
    opens = after + timedelta(days=PASS_TWO_FROM)
    again = Window(opens, max(opens, last))
    if not _done_in(overrun, second) and season.meets(again.opens, again.closes):
        season.jobs.append(_job(row, tree, year, 2, again))


def _add_chores(season: _Season, row: ProgrammeRow) -> None:
    for year in season.years():
        found = season.window(row, year)
        if season.meets(found.opens, found.closes):
            season.chores.append(Chore(row.key, year, found.opens, found.closes, row.note))


def _rounds(season: _Season) -> Iterator[DueRound]:
    for (bench, task, on), lines in season.lines.items():
        first = min(lines, key=lambda line: (line.row_key, line.season_year))
        trees = {line.tree.id: line.tree.count for line in lines}
        yield DueRound(
            bench=bench,
            task=task,
            row_keys=tuple(sorted({line.row_key for line in lines})),
            on=on,
            closes=min(line.closes for line in lines),
            trees=tuple(sorted(trees)),
            season_year=first.season_year,
            occurrence=first.occurrence,
            count=sum(trees.values()),
        )
