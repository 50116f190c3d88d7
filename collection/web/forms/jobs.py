"""A job: how pressing, why not this year, when it was done before."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

from collection.craft.reference import tasks as catalogue
from collection.queries.labels import task_name
from collection.usecases.importing.dates import read_past_date
from collection.usecases.importing.numbers import CannotRead, Style
from collection.web.forms.register import choice_field, text_field

PRIORITIES = [(1, "1, can wait"), (2, "2"), (3, "3, usual"), (4, "4"), (5, "5, very")]
WHY_NOT = "Like: the tree rests, the owner wishes it, it was repotted late."


class PriorityForm(forms.Form):
    """How pressing a job is."""

    priority = forms.TypedChoiceField(
        label="How pressing",
        coerce=int,
        choices=PRIORITIES,
        error_messages={"required": "Choose from 1 to 5.", "invalid_choice": "Choose from 1 to 5."},
    )
    version = forms.IntegerField(widget=forms.HiddenInput)


class NotThisYearForm(forms.Form):
    """Why a job is left out this year."""

    reason = text_field("Why not", 200, required="Write why, in a few words.", help_text=WHY_NOT)
    version = forms.IntegerField(widget=forms.HiddenInput)


class WhenField(forms.CharField):
    """A day, a month or a year that is past: gives its first day."""

    def __init__(self, **more: Any) -> None:
        super().__init__(
            max_length=40,
            help_text="A year like 2024 is enough, or a day like 2024-03-20.",
            error_messages={"required": "Write a year like 2024, or a day like 2024-03-20."},
            **more,
        )
        self.today = date.max

    def clean(self, value: Any) -> date:
        """The day.

        Raises:
            ValidationError: With the sentence of what to write instead.
        """
        text = super().clean(value)
        try:
            return read_past_date(text, Style(day_first=True), self.today)
        except CannotRead as wrong:
            ahead = wrong.reason.code == "import_date_ahead"
            said = (
                "This has not come yet. Write an earlier day or year."
                if ahead
                else "Write a year like 2024, or a day like 2024-03-20."
            )
            raise forms.ValidationError(said) from None


class BeforeForm(forms.Form):
    """Work that was done before the club kept records."""

    task = choice_field("What was done", "Choose what was done.")
    on = WhenField(label="When")
    why = text_field(
        "How that is known", 200, required="Write how that is known, like: Gerd remembers it.", help_text=""
    )
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, today: date, task: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["on"].today = today  # type: ignore[attr-defined]
        if task:
            del self.fields["task"]
        else:
            named = sorted((task_name(code), code) for code in catalogue() if code != "WATER")
            self.fields["task"].choices = [("", "choose"), *[(code, name) for name, code in named]]  # type: ignore[attr-defined]
