"""Two past seasons, fortnight by fortnight, each step through a use case with the date it had then."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Q

from collection.craft.reference import tasks
from collection.craft.rule_types import Done, RuleSettings, TreeFacts
from collection.craft.rules import holds
from collection.craft.tasks import DEFOLIATION, Task
from collection.models import Job
from collection.queries.access import Actor
from collection.queries.gear import wire_on
from collection.usecases import sittings, trees, workdays
from collection.usecases.sample.files import ClubFiles
from collection.usecases.sample.hands import PRODUCTIVE, Hand, crew_for, who_says_yes, with_learner
from collection.usecases.sittings import TaskDone, Worked

# Least minutes worth starting a long job with, when the rest must wait for the next day (assumption).
LEAST_START_MIN = 60
# Nobody stops half-way on a tree this short before the story ends: the one open tree is told apart.
SETTLE_DAYS = 30
# Now and then somebody learns beside the one who knows, on work long enough to be worth it (assumption).
BESIDE_FROM_MIN = 50
BESIDE_SHARE = 0.3
HALF_MIN = 55.0
# Stands in the place of a job's number: the story ends before anybody goes on.
NOBODY_GOES_ON = -1
# Work nobody leaves half done: roots in the air, a leafless tree, a branch under the lever.
NEVER_HALF = frozenset({"REPOT", "UP_POT", "HEAVY_BEND", "DEFOL_FULL", "DECANDLE", "LIME"})
NOTE = (
    "Stopped at the second branch on the right. Left side and back are done and set: do not move them.\n"
    "The wire at the apex is only there to hold it for now.\n"
    "Next: the right side from the inside outwards, then the top. The lower left is weak, go easy there."
)
# What the story does not read of a job, and is slow to read.
HEAVY_COLUMNS = (
    "estimate__lines",
    "estimate__inputs",
    "estimate__notes",
    "estimate__crew_reasons",
    "tree__extra",
)
# Trees of which one will be left open at the end get no other work for this long before it.
KEPT_DAYS = 75


@dataclass(slots=True)
class Begun:
    """A job that was left open, and the practised minutes still to do on it."""

    job_id: int
    left_min: float


@dataclass(slots=True)
class Story:
    """The club while its past is told.

    Attributes:
        ids: Tree id by accession number.
        spared: Trees no hard work touches, so that a heavy bend may come next.
        worked_on: Last day of work on each tree; one crew a day, so that none waits for another.
        told: Sittings recorded so far, one for each tree worked on.
        bent: Days of heavy bends so far.
        walked: Minutes of a day until which somebody walks rounds.
    """

    files: ClubFiles
    actor: Actor
    today: date
    rng: random.Random
    hands: list[Hand]
    facts: dict[int, TreeFacts]
    settings: RuleSettings
    ids: dict[str, int]
    site_ids: dict[str, int]
    spared: frozenset[int]
    begun: dict[int, Begun] = field(default_factory=dict)
    worked_on: dict[int, date] = field(default_factory=dict)
    told: int = 0
    bent: list[date] = field(default_factory=list)
    walked: dict[tuple[int, date], float] = field(default_factory=dict)

    def at(self, on: date, minutes: float) -> datetime:
        """A moment of a day, minutes of work after the workday opens, in the club's zone.

        What goes on after the pause begins is later by the length of the pause.
        """
        rhythm = self.files.rhythm
        opens = datetime.combine(on, rhythm.opens, tzinfo=ZoneInfo(self.files.zone))
        late = rhythm.pause_min if minutes > rhythm.before_pause_min else 0
        return opens + timedelta(minutes=round(minutes) + late)

    def remember(self, tree_id: int, task: str, on: date, occurrence: int) -> None:
        """Add finished work to what the rules know of the tree."""
        facts = self.facts[tree_id]
        done = Done(task, on, "", occurrence)
        self.facts[tree_id] = replace(facts, history=(*facts.history, done))

    def hand(self, member_id: int) -> Hand:
        """The person of that id."""
        return next(hand for hand in self.hands if hand.member_id == member_id)


FirstOfAll = Callable[[Story, Sequence[Hand], date, int], None]


def hold_workday(
    story: Story, on: date, *, first: FirstOfAll | None = None, leave_one_open: bool = False
) -> int:
    """One past workday: sign-up, who came, what was done, and the day closed; returns the day.

    ``first`` is what those who came do before all else.
    """
    rhythm = story.files.rhythm
    expected = who_says_yes(story.hands, rhythm.hands, story.files.founder.name, story.rng)
    day_id = workdays.create_workday(
        actor=story.actor,
        site_id=story.site_ids[rhythm.site],
        on=on,
        opens=rhythm.opens,
        closes=rhythm.closes,
        breaks=[rhythm.pause],
        lead_id=story.actor.member_id,
        bring=rhythm.bring,
    )
    for hand in expected:
        workdays.offer_hours(actor=story.actor, workday_id=day_id, member_id=hand.member_id, answer="yes")
    came = [h for h in expected if h.name == story.files.founder.name or story.rng.random() < 0.87]
    for hand in came:
        hand.free_from, hand.left_min = 10.0, rhythm.span_min * PRODUCTIVE
    if first is not None:
        first(story, came, on, day_id)
    if leave_one_open:
        leave_open(story, came, on, day_id)
    work_through(story, came, on, day_id, story.site_ids[rhythm.site])
    workdays.mark_came(
        actor=story.actor, workday_id=day_id, member_ids=[h.member_id for h in came], today=on, held=True
    )
    return day_id


def leave_open(story: Story, came: Sequence[Hand], on: date, day_id: int) -> int:
    """One tree left half done, with a handover note, by somebody who came; returns the tree."""
    job = _half_job(story, on, came)
    tree_id = job.tree_id if job is not None and job.tree_id else story.ids[story.files.open_trees[0]]
    task = job.task if job is not None else "WIRE_OFF"
    hand = _readiest(came, tasks()[task])
    sittings.record(
        actor=story.actor,
        trees=[tree_id],
        tasks=[TaskDone(task, job_id=job.pk if job is not None else None, finished=False)],
        people=[Worked(hand.member_id, HALF_MIN, "lead")],
        started=story.at(on, hand.free_from),
        ended=story.at(on, hand.free_from + HALF_MIN),
        left_open=True,
        note=NOTE,
        workday_id=day_id,
        request_key=f"replay-open-{on.isoformat()}",
        wires_off=(),
    )
    hand.free_from += HALF_MIN
    hand.left_min -= HALF_MIN
    story.worked_on[tree_id] = on
    story.begun[tree_id] = Begun(NOBODY_GOES_ON, 0.0)
    story.told += 1
    return tree_id


def _readiest(came: Sequence[Hand], task: Task) -> Hand:
    """Whoever of those who came knows the task best."""
    return max(came, key=lambda hand: (hand.may_lead(task), hand.level(task.family), hand.name))


def _half_job(story: Story, on: date, came: Sequence[Hand]) -> Job | None:
    """Work on a tree kept for this, else the longest open job that may be left half done."""
    kept = do_not_disturb(story)
    jobs = [
        job
        for job in open_jobs(story, on, story.site_ids[story.files.rhythm.site])
        if job.task not in NEVER_HALF
        and job.estimate is not None
        and job.tree_id not in story.spared
        and any(hand.may_lead(tasks()[job.task]) for hand in came)
    ]
    longest = sorted(jobs, key=lambda job: -(job.estimate.mean_min if job.estimate else 0))
    return min(longest, key=lambda job: job.tree_id not in kept, default=None)


def home_spell(story: Story, hand: Hand, on: date, minutes: float, site_id: int) -> None:
    """Hours a person gives between workdays, alone, at a place where he may work."""
    hand.free_from, hand.left_min = story.rng.choice((0.0, 30.0, 240.0)), minutes
    work_through(story, [hand], on, None, site_id)


def work_through(story: Story, came: Sequence[Hand], on: date, day_id: int | None, site_id: int) -> None:
    """Take the open jobs of a place in the order in which they close, while people have time."""
    for job in open_jobs(story, on, site_id):
        if max(hand.left_min for hand in came) < 20:
            return
        if job.tree_id is not None and may_go_ahead(story, job, on):
            do_job(story, job, came, on, day_id)


def open_jobs(story: Story, on: date, site_id: int) -> list[Job]:
    """Jobs on trees of a place: what was left half done, then those whose window is open, closing first."""
    rows = Job.objects.filter(club_id=story.actor.club_id, tree__site_id=site_id, task__in=list(tasks()))
    due = Q(state=Job.State.OPEN, opens__lte=on, closes__gte=on)
    half_done = Q(pk__in=[begun.job_id for begun in story.begun.values()])
    jobs = rows.filter(due | half_done).select_related("tree", "estimate")
    jobs = jobs.defer(*HEAVY_COLUMNS)
    jobs = jobs.order_by("closes", "tree__accession", "task", "occurrence")
    return sorted(jobs, key=lambda job: job.tree_id not in story.begun)


def may_go_ahead(story: Story, job: Job, on: date) -> bool:
    """Whether no rule stops the job that day, and no work on the tree waits to be finished first."""
    tree_id, task = job.tree_id or 0, tasks()[job.task]
    begun = story.begun.get(tree_id)
    if story.worked_on.get(tree_id) == on:
        return False
    if begun is not None:
        return begun.job_id == job.pk
    if tree_id in story.spared and task.stress >= 2:
        return False
    if tree_id in do_not_disturb(story) and on > story.today - timedelta(days=KEPT_DAYS):
        return False
    if job.task == sittings.WIRE_OFF and wire_on(story.actor.club_id, [tree_id]):
        return False  # each wire of the story comes off on a day of its own
    if job.task in DEFOLIATION:
        see(story, tree_id, "leaves_hardened", on)
    found = holds(
        story.facts[tree_id],
        job.task,
        on,
        settings=story.settings,
        subject=job.subject,
        occurrence=job.occurrence,
    )
    return not any(hold.level == "hard" for hold in found)


def do_not_disturb(story: Story) -> frozenset[int]:
    """Trees of which one is left open on the last workday."""
    return frozenset(story.ids[accession] for accession in story.files.open_trees)


def see(story: Story, tree_id: int, sign: str, on: date) -> None:
    """Note a tree sign, once a season, for the register and for the rules."""
    facts = story.facts[tree_id]
    seen = facts.signs.get(sign)
    growing = story.settings.growing_year
    if seen is None or growing(seen) != growing(on):
        trees.see_sign(actor=story.actor, tree_id=tree_id, sign=sign, on=on)
        story.facts[tree_id] = replace(facts, signs={**facts.signs, sign: on})


def do_job(story: Story, job: Job, came: Sequence[Hand], on: date, day_id: int | None) -> None:
    """Find a crew, work as long as there is time, and write the sitting down."""
    if job.estimate is None or job.tree_id is None:
        return
    task = tasks()[job.task]
    begun = story.begun.get(job.tree_id)
    due_min = begun.left_min if begun else job.estimate.mean_min / max(job.crew, 1)
    crew = crew_for(came, task, job.crew, due_min)
    if not crew:
        return
    needed = crew[0].minutes(due_min, task, story.rng)
    if job.crew == 1 and needed >= BESIDE_FROM_MIN and story.rng.random() < BESIDE_SHARE:
        crew, needed = with_learner(crew, came, needed)
    there = min(time_left(story, crew, day_id), min(hand.left_min for hand in crew))
    overtime = 1.25 if job.task in NEVER_HALF else 1.1
    finished = needed <= there * overtime or (begun is not None and not may_stop_half_way(story, job, on))
    if not finished and (there < LEAST_START_MIN or not may_stop_half_way(story, job, on)):
        return
    spent = max(5, 5 * round(min(needed, there) / 5))
    write_sitting(story, job, task, crew, spent, on, day_id, finished=finished)
    if finished:
        story.begun.pop(job.tree_id, None)
    else:
        story.begun[job.tree_id] = Begun(job.pk, due_min * (1 - there / needed))


def time_left(story: Story, crew: Sequence[Hand], day_id: int | None) -> float:
    """Minutes from when the whole crew is free to the end of a workday; between workdays no end."""
    start = max(hand.free_from for hand in crew)
    return story.files.rhythm.span_min - start if day_id is not None else math.inf


def may_stop_half_way(story: Story, job: Job, on: date) -> bool:
    """Long work on the club's ground is split while its window leaves another workday, not near the end."""
    again = on + timedelta(weeks=story.files.rhythm.every_weeks)
    ground = story.site_ids[story.files.rhythm.site]
    at_ground = job.tree is not None and job.tree.site_id == ground
    may = at_ground and job.task not in NEVER_HALF
    return may and again <= job.closes and on < story.today - timedelta(days=SETTLE_DAYS)


def write_sitting(
    story: Story,
    job: Job,
    task: Task,
    crew: Sequence[Hand],
    spent: float,
    on: date,
    day_id: int | None,
    *,
    finished: bool,
) -> None:
    """Record one sitting on a tree and move the clock of everybody in it."""
    start = max(hand.free_from for hand in crew)
    tree_id = job.tree_id or 0
    sittings.record(
        actor=story.actor,
        trees=[tree_id],
        tasks=[TaskDone(job.task, job_id=job.pk, finished=finished)],
        people=[Worked(h.member_id, spent, "lead" if h is crew[0] else "hand") for h in crew],
        started=story.at(on, start),
        ended=story.at(on, start + spent),
        left_open=not finished,
        note="" if finished else left_off(task, spent),
        workday_id=day_id,
        request_key=f"replay-{on.isoformat()}-{story.told}",
    )
    for hand in crew:
        hand.free_from = start + spent
        hand.left_min -= spent
    story.worked_on[tree_id] = on
    if finished:
        story.remember(tree_id, job.task, on, job.occurrence)
    story.told += 1


def left_off(task: Task, spent: float) -> str:
    """A handover note of three lines."""
    return (
        f"Stopped after {spent:.0f} minutes of {task.name}. The lower half is done.\n"
        "Nothing is loose, leave the finished side as it is.\n"
        "Next: go on from the middle upwards, the top last."
    )
