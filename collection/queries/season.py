"""The season's load over the whole collection against the hours people offer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import pandas as pd

from collection.craft.due import due
from collection.craft.due_types import Question
from collection.craft.labour import estimate
from collection.craft.labour_types import EstimateRequest
from collection.models import Club, Habit, Job, Offer, Tree
from collection.planning.season_load import (
    Hours,
    Spell,
    Work,
    monday,
    practised_minutes,
    season_load,
    shares,
    short_spells,
)
from collection.queries.access import Actor, club_of
from collection.queries.people import active, levels, usual_level
from collection.queries.programme import climate_of, paces_of, programme_of
from collection.queries.quantities import amounts_of
from collection.queries.season_inputs import tree_inputs

WEEKS = 26
# Part of the offers that come true (assumption, until the club has its own figure).
TURN_OUT_DATED = 0.85
TURN_OUT_HABIT = 0.6


@dataclass(frozen=True, slots=True)
class Due:
    """A piece of the load: a job, a round, or a question that weighs its share."""

    work: Work
    task: str
    group: str
    trees: int
    label: str
    job_id: int | None
    tree_id: int | None
    stress: int = 0
    crew: int = 1
    question: bool = False


@dataclass(frozen=True, slots=True)
class Offered:
    """Hours of one person on one day, and what they are worth."""

    on: date
    name: str
    minutes: float
    turn_out: float
    multiplier: float
    level: str
    worth_min: float


@dataclass(frozen=True)
class Season:
    """Everything the season page and the demo tell, from one reading of the rows."""

    today: date
    weeks: int
    dues: tuple[Due, ...]
    offers: tuple[Offered, ...]
    questions: tuple[Question, ...]

    @cached_property
    def load(self) -> pd.DataFrame:
        """Week by week: likely, cautious, offered, missing hours (see ``season_load``)."""
        hours = [Hours(offer.on, offer.worth_min) for offer in self.offers]
        return season_load([d.work for d in self.dues], hours, today=self.today, weeks=self.weeks)

    @cached_property
    def spells(self) -> tuple[Spell, ...]:
        """Runs of short weeks."""
        return short_spells(self.load)

    def in_week(self, week: date) -> list[tuple[Due, float]]:
        """What makes a week's work: each piece and its minutes in that week."""
        index = (week - monday(self.today)).days // 7
        if not self.dues:
            return []
        part = shares([d.work for d in self.dues], self.today, self.weeks)[:, index]
        found = [(d, d.work.mean_min * float(p)) for d, p in zip(self.dues, part, strict=True) if p > 0]
        return sorted(found, key=lambda pair: -pair[1])

    def offered_in(self, week: date) -> list[Offered]:
        """Whose hours make a week's offer."""
        return [o for o in self.offers if o.on >= self.today and monday(o.on) == week]


def season_of(actor: Actor, *, today: date, weeks: int = WEEKS) -> Season:
    """Read the club's open work and offers, in a constant number of queries."""
    club = club_of(actor)
    until = monday(today) + timedelta(weeks=weeks) - timedelta(days=1)
    found, asked = _questions(club, today, until)
    return Season(
        today=today,
        weeks=weeks,
        dues=(*_job_works(club.pk, until), *found),
        offers=tuple(_offers(club.pk, today, until)),
        questions=asked,
    )


def _job_works(club_id: int, until: date) -> list[Due]:
    rows = Job.objects.filter(club_id=club_id, state=Job.State.OPEN, opens__lte=until)
    rows = rows.select_related("tree", "round", "round__bench", "estimate").order_by("closes", "id")
    works = []
    for job in rows:
        if job.estimate is None or (job.tree is not None and job.tree.archived_at):
            continue
        works.append(_due_of(job))
    return works


def _due_of(job: Job) -> Due:
    found = job.estimate
    assert found is not None
    trees = 1
    if job.round is not None:
        amounts = [line["amount"] for line in found.lines if line["kind"] == "trees"]
        trees = int(amounts[0]) if amounts else 1
    where = (
        job.tree.accession if job.tree else (job.round.bench.name if job.round and job.round.bench else "")
    )
    return Due(
        work=Work(
            key=job.pk,
            opens=job.opens,
            closes=job.closes,
            mean_min=found.mean_min,
            own_sd_min=found.sd_min,
            shared_cv=found.shared_log_sd,
        ),
        task=job.task,
        group=job.tree.group if job.tree else "",
        trees=trees,
        label=where,
        job_id=job.pk,
        tree_id=job.tree_id,
        stress=job.stress,
        crew=job.crew,
    )


def _questions(club: Club, today: date, until: date) -> tuple[list[Due], tuple[Question, ...]]:
    """Trees whose last repot (or the like) nobody knows: each weighs its share, as a guess."""
    rows = [row for row in programme_of(club.pk) if row.every.kind == "years"]
    found = due(tree_inputs(club.pk), rows, climate_of(club), today=today, until=until).questions
    trees = Tree.objects.in_bulk({question.tree for question in found})
    amounts = amounts_of(trees, today)
    table = paces_of(club.pk)
    works = []
    for question in found:
        tree = trees[question.tree]
        height = tree.height_mm / 10 if tree.height_mm else None
        request = EstimateRequest(
            question.task,
            amounts.get(tree.pk, {}) if "branches_total" not in amounts.get(tree.pk, {}) else {},
            group=tree.group,
            stage=tree.stage,
            height_cm=height,
            pot_litres=tree.pot_litres,
        )
        guess = estimate(request, table)
        work = Work(
            key=-question.tree,
            opens=question.window.opens,
            closes=question.window.closes,
            mean_min=guess.mean_min * question.weight,
            own_sd_min=guess.sd_min * question.weight,
            shared_cv=guess.shared_log_sd,
        )
        works.append(
            Due(work, question.task, tree.group, question.count, tree.accession, None, tree.pk, question=True)
        )
    return works, found


def _offers(club_id: int, today: date, until: date) -> Iterable[Offered]:
    people = active(club_id, today)
    names = {person.pk: person.name for person in people}
    known = levels(names, today)
    skills = paces_of(club_id).skills
    level = {person: usual_level(known[person]) for person in names}
    dated = Offer.objects.filter(club_id=club_id, answer="yes", member_id__in=names)
    dated = dated.filter(workday__date__gte=today, workday__date__lte=until)
    dated = (
        dated.exclude(workday__state="cancelled").select_related("workday").order_by("workday__date", "id")
    )
    for offer in dated:
        start, end = offer.arrives or offer.workday.opens, offer.leaves or offer.workday.closes
        minutes = (end.hour - start.hour) * 60 + end.minute - start.minute
        yield _worth(offer.workday.date, offer.member_id, minutes, TURN_OUT_DATED, names, level, skills)
    for habit in Habit.objects.filter(club_id=club_id, member_id__in=names).order_by("id"):
        for on in habit_days(habit, today, until):
            yield _worth(on, habit.member_id, habit.minutes, TURN_OUT_HABIT, names, level, skills)


def _worth(
    on: date,
    member: int,
    minutes: float,
    turn_out: float,
    names: dict[int, str],
    level: dict[int, str],
    skills: Mapping[str, float],
) -> Offered:
    multiplier = skills[level[member]]
    worth = practised_minutes(minutes, turn_out, multiplier)
    return Offered(on, names[member], minutes, turn_out, multiplier, level[member], worth)


def habit_days(habit: Habit, today: date, until: date) -> Iterable[date]:
    """The days from ``today`` to ``until`` on which a member usually gives hours."""
    first = max(today, habit.starts)
    on = first + timedelta(days=(habit.weekday - first.weekday()) % 7)
    while on <= min(until, habit.ends or until):
        if ((monday(on) - monday(habit.starts)).days // 7) % habit.every_weeks == 0:
            yield on
        on += timedelta(days=7)


@dataclass(frozen=True, slots=True)
class WindowRow:
    """Work of one kind on one group: how many trees, how long, from when to when."""

    task: str
    group: str
    opens: date
    closes: date
    trees: int
    hours: float
    jobs: tuple[Due, ...]


def windows_of(dues: Sequence[Due]) -> list[WindowRow]:
    """Tree work gathered by task, group and window, closing first."""
    gathered: dict[tuple[str, str, date, date], list[Due]] = {}
    for piece in dues:
        if piece.tree_id is not None and not piece.question:
            key = (piece.task, piece.group, piece.work.opens, piece.work.closes)
            gathered.setdefault(key, []).append(piece)
    rows = [
        WindowRow(
            task,
            group,
            opens,
            closes,
            len({piece.tree_id for piece in pieces}),
            sum(piece.work.mean_min for piece in pieces) / 60,
            tuple(pieces),
        )
        for (task, group, opens, closes), pieces in gathered.items()
    ]
    return sorted(rows, key=lambda row: (row.closes, row.opens, row.task, row.group))
