"""What happened to a tree: one small form for each kind."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from collection.usecases.tree_events import WAYS_OUT
from collection.web.forms.register import choice_field, day_field, text_field


class EventForm(forms.Form):
    """A day."""

    on = day_field("Day", required=True)


class ChangeForm(EventForm):
    """A day, and the version of the tree that was seen, which is then changed."""

    version = forms.IntegerField(widget=forms.HiddenInput)


class OutForm(ChangeForm):
    """It left the collection."""

    how = choice_field("How it left", "Choose how it left.", choices=list(WAYS_OUT.items()))
    note = text_field("To whom, or why", 150)
    field_order = ("how", "note", "on")


class DiedForm(ChangeForm):
    """It died."""

    cause = text_field(
        "What it died of",
        200,
        required="Write what it died of, as far as anybody knows, or write: not known.",
    )
    field_order = ("cause", "on")


class LentForm(EventForm):
    """It is lent."""

    to = text_field("To whom", 200, required="Write to whom the tree is lent.")
    on = day_field("From", required=True)
    until = day_field("Until", help_text="The last day away. Leave it empty when nobody has said.")
    field_order = ("to", "on", "until")


class ShowForm(EventForm):
    """It goes to a show."""

    where = text_field("Which show, and where", 200, required="Write which show it is.")
    on = day_field("From", required=True, help_text="The day it travels.")
    until = day_field("Until", required=True, help_text="The day it is back.")
    field_order = ("where", "on", "until")


class MoveForm(ChangeForm):
    """It stands somewhere else."""

    place = choice_field("Where it stands now", "Choose where it stands.")
    why = text_field("Why", 80)
    field_order = ("place", "why", "on")

    def __init__(self, *args: Any, places: Sequence[tuple[str, str]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["place"].choices = places  # type: ignore[attr-defined]


class BackForm(ChangeForm):
    """It is back."""

    note = text_field("Note", 150, help_text="How it came back.")
    field_order = ("note", "on")


FORMS: dict[str, type[EventForm]] = {
    "out": OutForm,
    "died": DiedForm,
    "lent": LentForm,
    "show": ShowForm,
    "moved": MoveForm,
    "back": BackForm,
}
