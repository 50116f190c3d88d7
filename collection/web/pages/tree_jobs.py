"""Jobs on a tree's page, what nobody knows yet, and one job by itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.craft.due_types import Question
from collection.queries.access import Actor
from collection.queries.labels import dated, day
from collection.queries.question_words import question
from collection.queries.tree_jobs import Held, JobSheet, LeftOut, SheetJob
from collection.web.forms.jobs import BeforeForm, NotThisYearForm, PriorityForm
from collection.web.pages.parts import Action, Tag, hidden, lead, number_of, page, people_in

STATE_WORDS = {
    "open": "It is open.",
    "done": "It is done.",
    "missed": "Its window closed before it was done.",
    "withdrawn": "It was taken back.",
    "not_this_year": "It is left out this year.",
}


def job_row(job: SheetJob, tree_id: int, actor: Actor) -> SimpleNamespace:
    """A job in the list of a tree's page."""
    when = f"{dated(job.opens)} to {dated(job.closes)}"
    if job.planned_on:
        when = f"Planned for {day(job.planned_on)}: {' and '.join(job.people)}. Window {when}"
    if job.priority != 3:
        when += f". Priority {job.priority} of 5"
    held = [held_line(one, tree_id) for one in job.held]
    if job.moved:
        said = f"The window has moved to {dated(job.moved[0])} to {dated(job.moved[1])}."
        held.append(SimpleNamespace(text=said, url="", words=""))
    return SimpleNamespace(
        title=job.title,
        when=when,
        hours=number_of(job.number) if job.number else None,
        note="likely",
        held=held,
        people=people_in(job.people, job.crew) if job.crew > 1 else [],
        ways=_ways(job, actor),
        actions=window_actions(job) if job.moved and actor.plans else [],
    )


def held_line(held: Held, tree_id: int) -> SimpleNamespace:
    """Why a job waits, with the way to where it can be put right."""
    if held.code == "needs_consent":
        return SimpleNamespace(
            text=held.text, url=reverse("tree-people", args=[tree_id]), words="People and consent"
        )
    return SimpleNamespace(text=held.text, url="", words="")


def _ways(job: SheetJob, actor: Actor) -> list[Action]:
    found = []
    if job.bend_id:
        found.append(Action("Open the bend", reverse("bend", args=[job.bend_id]), small=True))
    if job.bend_to_sign and actor.plans:
        bend_id, version = job.bend_to_sign
        at, read = reverse("bend-sign", args=[bend_id]), hidden(version=version)
        found.append(Action("Sign the bend off", at, post=True, small=True, hidden=read))
    words = "Change this job" if actor.plans else "See this job"
    found.append(Action(words, reverse("job", args=[job.id]), plain=True, small=True))
    return found


def window_actions(job: SheetJob) -> list[Action]:
    """The choice when the programme has moved a window."""
    assert job.moved is not None
    at = reverse("job-window", args=[job.id])
    new = hidden(choice="new", version=job.version, opens=job.moved[0], closes=job.moved[1])
    old = hidden(choice="old", version=job.version, opens=job.opens, closes=job.closes)
    return [
        Action("Take the new window", at, post=True, small=True, hidden=new),
        Action("Keep the old one", at, post=True, plain=True, small=True, hidden=old),
    ]


def left_out_row(job: LeftOut, actor: Actor) -> SimpleNamespace:
    """A job that is not done this year."""
    who = f", {job.who}" if job.who else ""
    when = f" on {dated(job.on)}" if job.on else ""
    return SimpleNamespace(
        title=job.title,
        why=f"Left out{when}{who}: {job.reason}" if job.reason else f"Left out{when}{who}.",
        actions=[again(job)] if actor.plans else [],
    )


def again(job: LeftOut) -> Action:
    """The way back onto the list."""
    at = reverse("job-this-year", args=[job.id])
    return Action(
        "Do it this year after all", at, post=True, plain=True, small=True, hidden=hidden(version=job.version)
    )


def question_rows(questions: Sequence[Question], tree_id: int, *, may_answer: bool) -> list[SimpleNamespace]:
    """What nobody knows, each with the way to answer it."""
    at = reverse("tree-before", args=[tree_id])
    return [
        SimpleNamespace(
            text=question(one.task),
            actions=[Action("Answer", f"{at}?task={one.task}", small=True)] if may_answer else [],
        )
        for one in questions
    ]


def job_page(
    sheet: JobSheet, actor: Actor, today: date, filled: Mapping[str, Form] | None = None
) -> SimpleNamespace:
    """Everything ``job/job.html`` reads; ``filled`` holds a form that was refused."""
    here = reverse("tree", args=[sheet.tree_id])
    job = sheet.job
    return page(
        title=sheet.title,
        tags=[Tag(sheet.accession, here)],
        lead=lead(f"{sheet.tree_title}. Window {dated(sheet.opens)} to {dated(sheet.closes)}."),
        state=STATE_WORDS[sheet.state] + (f" {sheet.reason}" if sheet.reason else ""),
        hours=number_of(job.number) if job and job.number else None,
        held=[held_line(one, sheet.tree_id) for one in job.held] if job else [],
        moved=f"The window has moved to {dated(job.moved[0])} to {dated(job.moved[1])}."
        if job and job.moved
        else "",
        window=window_actions(job) if job and job.moved and actor.plans else [],
        ways=[Action("Open the bend", reverse("bend", args=[job.bend_id]))] if job and job.bend_id else [],
        again=[again(sheet.left_out)] if sheet.left_out and actor.plans else [],
        forms=_forms(sheet, actor, today, filled or {}),
        back=SimpleNamespace(url=here, words="Back to the tree"),
        foot_left="",
        foot_right="",
    )


def _forms(sheet: JobSheet, actor: Actor, today: date, filled: Mapping[str, Form]) -> list[SimpleNamespace]:
    if sheet.job is None:
        return []
    first = {"version": sheet.version}
    rows: list[tuple[str, str, str, str, Form]] = []
    if actor.plans:
        rows = [
            (
                "priority",
                "How pressing",
                "The most pressing jobs come first in a day's plan.",
                "Set this priority",
                PriorityForm(initial=first | {"priority": sheet.priority}, auto_id="pressing-%s"),
            ),
            (
                "not-this-year",
                "Not this year",
                "It leaves the list until next season. You can put it back.",
                "Leave it out this year",
                NotThisYearForm(initial=first, auto_id="not-%s"),
            ),
        ]
    if sheet.may_remember:
        rows.append(
            (
                "done-before",
                "Done before",
                "Work that was done before the club kept records.",
                "It was done then",
                BeforeForm(initial=first, today=today, task=sheet.task, auto_id="before-%s"),
            )
        )
    return [
        SimpleNamespace(
            title=title,
            about=about,
            url=reverse(f"job-{name}", args=[sheet.id]),
            form=filled.get(name, form),
            words=words,
        )
        for name, title, about, words, form in rows
    ]
