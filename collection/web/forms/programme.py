"""The club's own dates for a row of the programme."""

from __future__ import annotations

from typing import Any

from django import forms

MONTH_DAY = "Write a month and a day with a dash, like 04-25."
WORDS = {"invalid": MONTH_DAY, "required": MONTH_DAY}


class OwnDatesForm(forms.Form):
    """First and last day in the club's own calendar, and why."""

    opens = forms.RegexField(
        r"^\d\d-\d\d$",
        label="Opens, month and day",
        error_messages={"invalid": MONTH_DAY, "required": MONTH_DAY},
    )
    closes = forms.RegexField(
        r"^\d\d-\d\d$",
        label="Closes, month and day",
        error_messages={"invalid": MONTH_DAY, "required": MONTH_DAY},
    )
    why = forms.CharField(label="Why", required=False, max_length=300)
    version = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def values(self) -> dict[str, Any]:
        """The row's own columns; the form must be valid."""
        return {"opens": self.cleaned_data["opens"], "closes": self.cleaned_data["closes"]}
