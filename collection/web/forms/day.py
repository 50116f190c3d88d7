"""A new workday, and an answer for one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

TIME = "Write hours and minutes, like 9:30."
DAY = "Write a day, like 2027-03-06."


def five_minutes(value: time) -> None:
    """Refuse a time between the steps of five minutes."""
    if value.minute % 5 or value.second:
        raise ValidationError("Write a time in steps of five minutes, like 9:30 or 9:35.")


def _time(label: str, *, required: bool = True) -> forms.TimeField:
    return forms.TimeField(
        label=label,
        required=required,
        validators=[five_minutes],
        widget=forms.TimeInput(attrs={"type": "time", "step": "300"}, format="%H:%M"),
        error_messages={"required": TIME, "invalid": TIME},
    )


class DayForm(forms.Form):
    """When and where, and the break."""

    on = forms.DateField(
        label="Day",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": DAY, "invalid": DAY},
    )
    opens = _time("From")
    closes = _time("To")
    site = forms.ChoiceField(label="Where", error_messages={"required": "Choose where."})
    break_from = _time("Break from", required=False)
    break_to = _time("Break to", required=False)
    bring = forms.CharField(
        label="What to bring", required=False, max_length=500, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *args: Any, sites: Sequence[tuple[int, str]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].choices = [(str(pk), name) for pk, name in sites]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if bool(data.get("break_from")) != bool(data.get("break_to")):
            self.add_error("break_to", "Give both times of the break, or neither.")
        return data


class AnswerForm(forms.Form):
    """Who comes, and from when to when."""

    member = forms.ChoiceField(label="Who", error_messages={"required": "Choose who."})
    answer = forms.ChoiceField(
        label="Answer", choices=[("yes", "Yes, comes"), ("perhaps", "Perhaps"), ("no", "No")]
    )
    arrives = _time("From", required=False)
    leaves = _time("To", required=False)

    def __init__(self, *args: Any, people: Sequence[tuple[int, str]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["member"].choices = [(str(pk), name) for pk, name in people]  # type: ignore[attr-defined]
