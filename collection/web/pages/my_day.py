"""A person's own page of a day, for a phone in the garden."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace
from urllib.parse import urlencode

from django.urls import reverse

from collection.queries.day_plan import Seat
from collection.queries.kit_words import kit_for
from collection.queries.labels import day, in_words
from collection.queries.my_day import MyDay, MyJob
from collection.queries.speech import clock, listed
from collection.web.pages.parts import Action, Empty, Fact, Person, Tag, cautions_for, lead, page

STEPS = {
    "setup": "Set up the bench, fetch the tree.",
    "work": "Work.",
    "clean": "Clean down, tree back, write it up.",
    "break": "Break.",
}
ROLES = {"lead": "leads", "hand": "second pair of hands", "learner": "learns beside"}


def my_day_page(found: MyDay, today: date) -> SimpleNamespace:
    """Everything ``day/mine.html`` reads."""
    upcoming = next((job for job in found.jobs if not job.done), None)
    rows = [_entry(*span) for span in _shared(found)]
    rows += [_job(job, found, opened=job is upcoming, now=found.date == today) for job in found.jobs]
    rows.sort(key=lambda row: (row.at, row.job is not None))
    tasks = {job.seat.task for job in found.jobs if not job.done}
    return page(
        title=day(found.date),
        name=found.name,
        whole=SimpleNamespace(url=reverse("day", args=[found.workday_id]), words="Whole day"),
        lead=lead(_opening(found)),
        changed="Something changed since the plan went out. The coordinator knows." if found.changed else "",
        dark=found.sun.warnings,
        facts=_facts(found),
        rows=rows,
        next=_bar(upcoming, found) if upcoming else None,
        empty=None
        if found.jobs
        else Empty("No job has your name on it. Ask the lead for a round or a spare job."),
        cautions=cautions_for(tasks, lifting=any(job.seat.lift for job in found.jobs)),
        foot_left="This page needs a signal. Without one, write it down and record it later.",
        foot_right="",
    )


def _opening(found: MyDay) -> str:
    said = f"You are here {clock(found.arrives_min)} to {clock(found.leaves_min)}."
    if not found.jobs:
        return said
    jobs = len(found.jobs)
    said += f" {in_words(jobs)} {'job' if jobs == 1 else 'jobs'}"
    partners = sorted(
        {name for job in found.jobs for person, name, _ in job.seat.people if name != found.name}
    )
    pairs = sum(len(job.seat.people) > 1 for job in found.jobs)
    if pairs:
        said += f", {in_words(pairs).lower()} with {listed(partners)}"
    if all(job.done for job in found.jobs):
        said += ". All done. Thank you"
    return said + "."


def _facts(found: MyDay) -> list[Fact]:
    where = f"{found.site}, {found.address}" if found.address else found.site
    facts = (
        ("Where", where),
        ("Bring", found.bring),
        ("Lead", found.lead),
        ("First aider", found.first_aider),
        ("Sun", found.sun.said),
    )
    return [Fact(label, text) for label, text in facts if text]


def _shared(found: MyDay) -> list[tuple[int, int, str]]:
    """Times that everybody shares while the person is there; a break inside a job stands there already."""
    spans = [(found.opens_min, found.opens_min + found.briefing_min, "Briefing")]
    busy = [(job.seat.starts_min, job.seat.ends_min) for job in found.jobs]
    spans += [
        (start, end, "Break") for start, end in found.breaks if not any(a <= start < b for a, b in busy)
    ]
    last = found.closes_min - found.closing_min
    spans.append((last, found.closes_min, "Notes, water, count the kit"))
    return [
        span for span in spans
        if span[1] > span[0] and span[1] > found.arrives_min and span[0] < found.leaves_min
    ]  # fmt: skip


def _entry(start: int, end: int, words: str) -> SimpleNamespace:
    return SimpleNamespace(at=start, time=clock(start), words=words, job=None)


def _job(job: MyJob, found: MyDay, *, opened: bool, now: bool) -> SimpleNamespace:
    seat = job.seat
    when = f"{clock(seat.starts_min)} to {clock(seat.ends_min)}"
    return SimpleNamespace(
        at=seat.starts_min,
        time=clock(seat.starts_min),
        words=seat.title,
        job=SimpleNamespace(
            number=job.number,
            done=job.done,
            opened=opened,
            when=f"{when}, next" if opened and now else when,
            title=seat.title + (", goes on another day" if seat.part else ""),
            tag=Tag(seat.accession, reverse("tree", args=[seat.tree_id])),
            tree=f"{seat.tree_title}, {job.where}" if job.where else seat.tree_title,
            people=[Person("You" if name == found.name else name, ROLES[r]) for _, name, r in seat.people]
            if len(seat.people) > 1
            else [],
            steps=[_step(seat, found, *step) for step in seat.steps],
            kit=kit_for(seat.task),
            lift=seat.lift,
            note=job.note.note if job.note else "",
            note_by=f"{listed(job.note.who)} left this tree open and wrote:"
            if job.note and job.note.who
            else "",
            stop=_stop(seat, found),
            record=Action("Record this", record_url(found.workday_id, seat)),
        ),
    )


def _step(seat: Seat, found: MyDay, kind: str, start: int, end: int) -> SimpleNamespace:
    if kind == "held":
        who = "Both" if len(seat.people) == 2 else "All" if len(seat.people) > 2 else ""
        leads = seat.people[0][1]
        voice = "Only you give the word." if leads == found.name else f"Only {leads} gives the word."
        words = f"{who} hold until {clock(end)}." if who else f"Hold until {clock(end)}."
        return SimpleNamespace(time=clock(start), words=words, detail=voice if who else "", held=True)
    return SimpleNamespace(time=clock(start), words=STEPS[kind], detail="", held=False)


def _stop(seat: Seat, found: MyDay) -> str:
    """What to do when a bend creaks."""
    if seat.task != "HEAVY_BEND":
        return ""
    leads = seat.people[0][1]
    wait = "." if leads == found.name else f", wait for {leads}."
    return f'If it creaks: say "stop", hold still{wait}'


def _bar(job: MyJob, found: MyDay) -> SimpleNamespace:
    """The bar at the lower edge: the one thing to press."""
    return SimpleNamespace(
        actions=[
            Action(f"Record this: {job.seat.accession}", record_url(found.workday_id, job.seat), main=True)
        ]
    )


def record_url(workday_id: int, seat: Seat) -> str:
    """The sitting form, filled in with what was planned."""
    asked = {"tree": seat.tree_id, "day": workday_id, "job": seat.job_id, "part": seat.sitting}
    return f"{reverse('sitting-new')}?{urlencode(asked)}"
