"""Heavy bends of an invented club: those of the past seasons, and the one that comes next with its lead."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from collection.craft.reference import groups, tasks
from collection.craft.rules import holds
from collection.craft.season import window
from collection.models import Bend, Job, Tree, Workday
from collection.planning.helpers import find_helpers
from collection.queries.access import club_of
from collection.queries.bend_case import wanted
from collection.queries.people import declared
from collection.queries.programme import climate_of, programme_of
from collection.usecases import bends, offers, workdays
from collection.usecases.sample.coming import days_ahead
from collection.usecases.sample.files import BendWish
from collection.usecases.sample.founding import branch_of
from collection.usecases.sample.hands import Hand
from collection.usecases.sample.past import Story, do_not_disturb, write_sitting

BENDING = "HEAVY_BEND"
# A club of this size makes a heavy bend every few weeks while windows are open (assumption).
WEEKS_BETWEEN, MOST = 5, 9
# Minutes of a bend at a practised hand's pace, and how far above the limit of one person branches are.
PRACTISED_MIN = 150.0
ABOVE_LIMIT_MM = (2, 10)
# A day for the bend alone is looked for so far into its window.
LATEST_DAY = timedelta(days=120)


def bend_on_day(story: Story, came: Sequence[Hand], on: date, day_id: int) -> None:
    """Now and then the experts who came bend something heavy with somebody beside them."""
    last = max(story.bent, default=None)
    if len(story.bent) >= MOST or (last and on - last < timedelta(weeks=WEEKS_BETWEEN)):
        return
    draw = random.Random(f"{story.files.key} bends {on.isoformat()}")
    crew = _crew(came, draw)
    tree = _tree_for(story, on) if crew else None
    if tree is None:
        return
    limit = groups()[tree.group].bend_limit_mm
    job_id = bends.want_bend(
        actor=story.actor,
        tree_id=tree.pk,
        diameter_mm=limit + draw.randint(*ABOVE_LIMIT_MM),
        method="Wrap, doubled wire, hand",
        opens=on,
        closes=on + timedelta(days=14),
    )
    _sign(story, job_id, on)
    job = Job.objects.select_related("tree", "estimate").get(pk=job_id)
    spent = 5 * round(crew[0].minutes(PRACTISED_MIN, tasks()[BENDING], draw) / 5)
    spent = min(spent, int(min(hand.left_min for hand in crew)))
    write_sitting(story, job, tasks()[BENDING], crew, spent, on, day_id, finished=True)
    story.bent.append(on)


def _crew(came: Sequence[Hand], draw: random.Random) -> list[Hand]:
    """An expert and somebody who is learning bends at least; both can hold and have the time."""
    free = [hand for hand in came if hand.lifts and hand.left_min >= PRACTISED_MIN]
    leads = [hand for hand in free if hand.may_lead(tasks()[BENDING])]
    if not leads:
        return []
    lead = draw.choice(leads)
    beside = [hand for hand in free if hand is not lead and hand.level(tasks()[BENDING].family) > 0]
    return [lead, draw.choice(beside)] if beside else []


def _tree_for(story: Story, on: date) -> Tree | None:
    """The first tree on the ground whose window for bends is open and that no rule holds."""
    ground = story.site_ids[story.files.rhythm.site]
    rows = Tree.objects.filter(club_id=story.actor.club_id, site_id=ground, archived_at=None)
    open_groups = set(_groups_open(story, on))
    kept = story.spared | do_not_disturb(story)
    for tree in rows.order_by("accession"):
        facts = story.facts[tree.pk]
        if tree.pk in kept or facts.weak or story.worked_on.get(tree.pk) == on or tree.pk in story.begun:
            continue
        if (facts.group, facts.stage) not in open_groups or any(d.task == BENDING for d in facts.history):
            continue
        found = holds(facts, BENDING, on, settings=story.settings, subject="", occurrence=1)
        if not any(hold.level == "hard" for hold in found):
            return tree
    return None


def _groups_open(story: Story, on: date) -> Iterator[tuple[str, str]]:
    """Groups and stages whose window for heavy bends is open on a day."""
    climate = climate_of(club_of(story.actor))
    for row in programme_of(story.actor.club_id):
        if row.task == BENDING:
            for year in (on.year - 1, on.year):
                found = window(row, climate, year)
                if found.opens <= on <= found.closes:
                    yield from ((row.group, stage) for stage in row.stages)


def wish_for_bend(story: Story) -> int:
    """Want the heavy bend whose window is open or opens next, and sign it off; returns its job."""
    job_id = -1
    for opens, closes, wish in sorted(_bend_windows(story), key=lambda found: (found[0], found[2].tree))[:1]:
        tree_id = story.ids[wish.tree]
        branch = branch_of(tree_id, wish.branch)
        if branch is None or branch.diameter_mm is None:
            raise ValueError(f"{wish.tree} has no drawn branch {wish.branch} with a thickness")
        job_id = bends.want_bend(
            actor=story.actor,
            tree_id=tree_id,
            branch_id=branch.pk,
            diameter_mm=branch.diameter_mm,
            length_mm=branch.length_mm,
            drop_mm=wish.drop_mm,
            radius_mm=wish.radius_mm,
            method=wish.method,
            circumstances=wish.circumstances,
            load_arm_mm=wish.load_arm_mm,
            hand_arm_mm=wish.hand_arm_mm,
            guy_deg=wish.guy_deg,
            opens=opens,
            closes=closes,
        )
        _sign(story, job_id, story.today)
    return job_id


def _sign(story: Story, job_id: int, on: date) -> None:
    bend = Bend.objects.get(jobs=job_id)
    bends.sign_off(actor=story.actor, bend_id=bend.pk, version=bend.version, today=on)


def _bend_windows(story: Story) -> Iterator[tuple[date, date, BendWish]]:
    """Windows of the wished bends that still hold the next workday, or come after it."""
    club = Tree.objects.select_related("club").filter(club_id=story.actor.club_id)[0].club
    climate, programme = climate_of(club), programme_of(club.pk)
    soonest = days_ahead(story.today, story.files.rhythm)[0]
    for wish in story.files.bends:
        facts = story.facts[story.ids[wish.tree]]
        for row in programme:
            if row.task != "HEAVY_BEND" or row.group != facts.group or facts.stage not in row.stages:
                continue
            for year in range(story.today.year - 1, story.today.year + 2):
                found = window(row, climate, year)
                if found.closes >= soonest:
                    yield max(found.opens, story.today), found.closes, wish


def call_bend_day(story: Story, job_id: int) -> None:
    """See that a workday lies in the bend's window, that the people it needs come, and who leads."""
    job = Job.objects.get(pk=job_id)
    day = Workday.objects.filter(club_id=story.actor.club_id, state=Workday.State.OPEN)
    first = day.filter(date__gte=job.opens, date__lte=job.closes).order_by("date").first()
    day_id = first.pk if first else _day_in(story, job)
    if day_id is None:
        return
    on = Workday.objects.get(pk=day_id).date
    said = set(Workday.objects.get(pk=day_id).offers.values_list("member_id", flat=True))
    lifters = declared([hand.member_id for hand in story.hands], "can_lift", on)
    bending = tasks()[BENDING].family
    comes = [hand for hand in story.hands if hand.member_id in lifters and hand.level(bending) > 0]
    comes += [hand for hand in story.hands if hand.member_id not in lifters][:1]
    for hand in comes:
        if hand.member_id not in said:
            offers.offer_hours(actor=story.actor, workday_id=day_id, member_id=hand.member_id, answer="yes")
    _set_lead(story, job)


def _day_in(story: Story, job: Job) -> int | None:
    """A workday put on the list for the bend, on the club's usual weekday."""
    rhythm = story.files.rhythm
    first = max(job.opens, story.today + timedelta(days=3))
    on = first + timedelta(days=(rhythm.weekday - first.weekday()) % 7)
    while rhythm.rests(on):
        on += timedelta(days=7)
    if on > min(job.closes, story.today + LATEST_DAY):
        return None
    return workdays.create_workday(
        actor=story.actor,
        site_id=story.site_ids[rhythm.site],
        on=on,
        opens=rhythm.opens,
        closes=rhythm.closes,
        breaks=[rhythm.pause],
        lead_id=story.actor.member_id,
        bring=rhythm.bring,
    )


def _set_lead(story: Story, job: Job) -> None:
    bend = Bend.objects.get(jobs=job)
    answer = find_helpers(wanted(story.actor, bend.pk, today=story.today).case)
    if answer.lead is not None:
        bends.set_lead(
            actor=story.actor,
            bend_id=bend.pk,
            version=bend.version,
            member_id=answer.lead.person,
            today=story.today,
        )
