"""What it touches when somebody leaves, in words, before it is done."""

from __future__ import annotations

from types import SimpleNamespace

from django.urls import reverse

from collection.queries.labels import counted, dated
from collection.queries.leaving import DayTouched, Leaving
from collection.queries.speech import listed
from collection.web.forms.leaving import LeaveForm
from collection.web.pages.parts import Action, lead, page

ANSWERS = {"yes": "comes", "perhaps": "perhaps comes", "no": "does not come", "": "has not answered"}


def leave_page(found: Leaving, form: LeaveForm) -> SimpleNamespace:
    """Everything ``person/leave.html`` reads."""
    who = "You" if found.is_me else found.name
    names = [name for name in form.fields if name.startswith("owned_") or name == "all_owned"]
    cared = [name for name in form.fields if name.startswith("cared_")]
    return page(
        title="Leave the club" if found.is_me else f"{found.name} leaves the club",
        lead=lead("Read what happens, then press the button below. It happens at once."),
        version=form["version"],
        errors=form.non_field_errors(),
        owned=[form[name] for name in names],
        owned_about="Each goes to somebody, or out of the club." if names else "",
        shared=_shared(found),
        cared=[form[name] for name in cared],
        days=[_day(day) for day in found.days],
        happens=_happens(found, who),
        stays=_stays(found, who),
        button="Leave the club now" if found.is_me else f"Let {found.name} leave now",
        back=Action(
            "Stay" if found.is_me else f"Back to {found.name}",
            reverse("you") if found.is_me else reverse("person", args=[found.id]),
            plain=True,
        ),
        foot_left="A coordinator can take somebody back in. Answers and addresses are then asked again.",
        foot_right="",
    )


def _shared(found: Leaving) -> str:
    trees = [tree.accession for tree in found.owned if tree.shared]
    if not trees:
        return ""
    return f"{listed(trees)} {'stays' if len(trees) == 1 else 'stay'} with the other owner."


def _day(day: DayTouched) -> SimpleNamespace:
    said = [ANSWERS[day.answer]]
    said += ["leads the day"] if day.leads else []
    said += ["is first aider"] if day.first_aider else []
    said += [counted(day.jobs, "job in the plan", "jobs in the plan")] if day.jobs else []
    said += [counted(day.places, "place as helper", "places as helper")] if day.places else []
    after = ["The answer becomes no."] if day.answer in ("yes", "perhaps") else []
    after += ["The plan is out of date."] if day.plan_made or day.jobs else []
    after += ["A lead is missing."] if day.leads else []
    after += ["A first aider is missing."] if day.first_aider else []
    after += ["The place is free again."] if day.places else []
    return SimpleNamespace(
        when=dated(day.on),
        url=reverse("day", args=[day.day_id]),
        said=f"{day.site}: {', '.join(said)}.",
        after=" ".join(after),
    )


def _happens(found: Leaving, who: str) -> list[str]:
    """One sentence for each thing that ends; nothing is listed that is not there."""
    plural = who == "You"
    rows = [
        (found.brings, f"{listed(found.brings)}: somebody else must bring it to workdays."),
        (found.bends, f"The bend on {listed(found.bends)} needs another lead."),
        (found.questions, _ends(found.questions, "question for a helper", "questions for a helper")),
        (found.weekly, _ends(found.weekly, "line of weekly hours", "lines of weekly hours")),
        (found.unsent, f"{counted(found.unsent, 'message', 'messages')} not sent yet will not be sent."),
        (found.letter, "The letter of welcome stops working."),
        (found.contact, "Telephone and e-mail are erased."),
        (found.answers, "Answers about lifting, training and first aid are erased."),
        (found.keys, _ends(found.keys, "key for programs", "keys for programs")),
        (
            found.signs_in and not found.signs_in_elsewhere,
            f"{'Your' if plural else 'The'} sign-in ends at once, with its password.",
        ),
        (
            found.signs_in and found.signs_in_elsewhere,
            f"{'Your' if plural else 'The'} sign-in opens this club no more. It stays for the other club.",
        ),
        (
            found.role in ("coordinator", "admin"),
            f"{'You are' if plural else f'{found.name} is'} no longer {_part(found.role)}.",
        ),
    ]
    return [sentence for there, sentence in rows if there] or ["Nothing else is touched."]


def _ends(number: int, one: str, many: str) -> str:
    return f"{counted(number, one, many)} {'ends' if number == 1 else 'end'}."


def _part(role: str) -> str:
    return "club admin" if role == "admin" else "coordinator"


def _stays(found: Leaving, who: str) -> str:
    name = "your name" if who == "You" else "the name"
    if not found.sittings:
        return f"What was written down stays, with {name}."
    stay = "stays" if found.sittings == 1 else "stay"
    return f"{counted(found.sittings, 'sitting', 'sittings')} on record {stay}, with {name}."


def nothing_page(found: Leaving) -> SimpleNamespace:
    """Somebody who left, with nothing more to settle."""
    return page(
        title=found.name,
        lead=lead(f"{found.name} has left, and nothing is left to settle."),
        heading="",
        sentences=(),
        actions=(Action(f"Back to {found.name}", reverse("person", args=[found.id])),),
    )
