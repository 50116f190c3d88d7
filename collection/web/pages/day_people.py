"""People on a day's page: the own answer, who comes, who has not answered."""

from __future__ import annotations

from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.answers import Answer, Comer, Silent
from collection.queries.labels import in_words
from collection.queries.speech import clock, listed
from collection.queries.workdays import Day
from collection.web.pages.parts import Action, hidden

ANSWER_WORDS = {"yes": "You said yes", "perhaps": "You said perhaps", "no": "You said no"}
# As many names are shown at once; more are folded.
NAMES_SHOWN = 6


def own_answer(found: Day, form: Form) -> SimpleNamespace:
    """The question "Do you come?" with what was said so far."""
    return SimpleNamespace(
        title="Do you come?",
        said=_said(found.mine, found),
        notes=_notes(found),
        url=reverse("day-answer", args=[found.id]),
        form=form,
        words="Keep my answer",
        main=found.mine is None and found.state == "open",
        folded=found.mine is not None and not form.is_bound,
        change="Change my answer",
    )


def _said(mine: Answer | None, found: Day) -> str:
    if mine is None:
        return ""
    said = ANSWER_WORDS[mine.answer]
    if mine.answer != "no" and (mine.arrives_min, mine.leaves_min) != (found.opens_min, found.closes_min):
        said += f", {clock(mine.arrives_min)} to {clock(mine.leaves_min)}"
    if mine.written_by:
        said += f". {mine.written_by} wrote it down"
    return said + "."


def _notes(found: Day) -> list[str]:
    notes = []
    says_yes = found.mine is not None and found.mine.answer == "yes"
    if found.most is not None and len(found.comers) >= found.most and not says_yes:
        notes.append(f"This day takes {found.most} people, and all have said yes. You can still say perhaps.")
    if found.state == "sent":
        notes.append("The plan is out. A change now is told to the coordinator.")
    return notes


def people_part(found: Day, actor: Actor, *, frozen: bool) -> SimpleNamespace:
    """Who comes, in a sentence and as a list."""
    rows = [_comer(comer, found, actor, frozen=frozen) for comer in found.comers]
    others = []
    if found.perhaps:
        others.append(f"Perhaps: {listed(found.perhaps)}.")
    if found.declined and actor.plans:
        others.append(f"No: {listed(found.declined)}.")
    return SimpleNamespace(
        title="Who had said yes" if found.over else "Who comes",
        said=count_words(found),
        rows=rows,
        fold=len(rows) > NAMES_SHOWN,
        others=others,
        more="See who comes",
    )


def count_words(found: Day) -> str:
    """How many have said yes against what the day needs and can take."""
    yes = len(found.comers)
    if not yes and found.state in ("held", "cancelled"):
        return "Nobody had said yes."
    said = f"{in_words(yes) if yes else 'Nobody'} {'has' if yes <= 1 else 'have'} said yes."
    if found.over:
        return said
    if yes < found.least:
        missing = found.least - yes
        verb = "is" if missing == 1 else "are"
        return f"{said} {in_words(missing)} more {verb} needed, {found.least} at least."
    if found.most is not None and yes >= found.most:
        return f"{said} The day is full."
    return said


def _comer(comer: Comer, found: Day, actor: Actor, *, frozen: bool) -> SimpleNamespace:
    notes = [comer.level]
    notes += ["leads the day"] if comer.is_lead else []
    notes += ["first aider"] if comer.first_aider else []
    actions = []
    if actor.plans and found.plan and not found.over and not frozen:
        actions.append(
            Action(
                "Not here" if comer.here else "Here after all",
                reverse("plan-not-here", args=[found.plan.id, comer.id]),
                post=True,
                plain=True,
                small=True,
                hidden=hidden(here="" if comer.here else "yes"),
            )
        )
    hours = f"{clock(comer.arrives_min)} to {clock(comer.leaves_min)}"
    return SimpleNamespace(
        name=comer.name,
        comes=hours if comer.here else f"Not here ({hours} was offered)",
        note=", ".join(notes),
        actions=actions,
    )


def silent_part(found: Day, form: Form) -> SimpleNamespace | None:
    """Who has not answered, each with one press for an answer by telephone; for coordinators."""
    rows = [_silent(person, found) for person in found.silent]
    said = "Everybody has answered."
    if rows:
        said = f"{in_words(len(rows))} {'has' if len(rows) == 1 else 'have'} not answered yet."
    return SimpleNamespace(
        said=said,
        rows=rows,
        open=form.is_bound,
        more="Answer for them by telephone",
        other="Another answer, or other hours",
        url=reverse("day-answer", args=[found.id]),
        form=form,
        words="Write the answer down",
    )


def _silent(person: Silent, found: Day) -> SimpleNamespace:
    url = reverse("day-answer", args=[found.id])
    actions = [
        Action(
            words,
            url,
            post=True,
            plain=True,
            small=True,
            hidden=hidden(member=person.id, answer=answer, version=0),
        )
        for words, answer in (("Yes", "yes"), ("Perhaps", "perhaps"), ("No", "no"))
    ]
    return SimpleNamespace(
        name=person.name,
        telephone=person.telephone,
        call="tel:" + "".join(person.telephone.split()) if person.telephone else "",
        actions=actions,
    )
