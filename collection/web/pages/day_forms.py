"""Pages that ask something about a workday before it is written."""

from __future__ import annotations

from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.queries.labels import counted, day
from collection.queries.workdays import Day
from collection.web.pages.parts import lead, page

STEPS = "Times are the club's own, in steps of five minutes."


def new_page(form: Form) -> SimpleNamespace:
    """Everything ``day/form.html`` reads for a new day."""
    said = f"It is a draft at first: only coordinators see it. {STEPS}"
    return _page("A new workday", said, "When and where", reverse("day-new"), form, "Keep it as a draft")


def change_page(found: Day, form: Form) -> SimpleNamespace:
    """Everything ``day/form.html`` reads for the facts of a day."""
    said = " ".join((STEPS, f"The sun: {found.sun.said}.", *found.sun.warnings))
    if found.state in ("open", "sent"):
        said = f"Other times or another place are told to everybody with an answer. {said}"
    url = reverse("day-change", args=[found.id])
    return _page(f"Change {day(found.date)}", said, "The day", url, form, "Keep the changes", found)


def move_page(found: Day, form: Form) -> SimpleNamespace:
    """Everything ``day/form.html`` reads for another date."""
    said = "Nobody has answered yet."
    if answers := _answers(found):
        said = f"{answers} told. Their answers were for the old date, so they are asked again."
    if found.state == "sent":
        said += " The plan that went out no longer counts."
    url = reverse("day-move", args=[found.id])
    return _page(f"Move {day(found.date)}", said, "To which date", url, form, "Move the day", found)


def cancel_page(found: Day, form: Form) -> SimpleNamespace:
    """Everything ``day/form.html`` reads before a day is called off."""
    said = "Nobody has answered yet."
    if answers := _answers(found):
        said = f"{answers} told why."
    said += " The date is free again for another day."
    url = reverse("day-cancel", args=[found.id])
    return _page(f"Cancel {day(found.date)}", said, "The reason", url, form, "Cancel this day", found)


def _answers(found: Day) -> str:
    number = len(found.comers) + len(found.perhaps) + len(found.declined)
    if not number or found.state == "draft":
        return ""
    return f"{counted(number, 'person', 'people')} {'has' if number == 1 else 'have'} answered and will be"


def _page(
    title: str, said: str, about: str, url: str, form: Form, send: str, found: Day | None = None
) -> SimpleNamespace:
    back = reverse("day", args=[found.id]) if found else reverse("days")
    return page(
        title=title,
        lead=lead(said),
        about=about,
        url=url,
        form=form,
        send=send,
        back=SimpleNamespace(url=back, words="Back to the day" if found else "Back to the days"),
        foot_left="",
        foot_right="",
    )
