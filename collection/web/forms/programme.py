"""The club's own dates for a row of the programme."""

from __future__ import annotations

from typing import Any

from django import forms

from collection.web.forms.club import MonthDayField


class OwnDatesForm(forms.Form):
    """First and last day in the club's own calendar, and why."""

    opens = MonthDayField(label="Opens")
    closes = MonthDayField(label="Closes", help_text="A window may run over New Year.")
    why = forms.CharField(label="Why", required=False, max_length=300)
    version = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def values(self) -> dict[str, Any]:
        """The row's own columns; the form must be valid."""
        return {"opens": self.cleaned_data["opens"], "closes": self.cleaned_data["closes"]}
