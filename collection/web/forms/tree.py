"""Small changes on a tree's page: a job by hand, a sign seen."""

from __future__ import annotations

from typing import Any

from django import forms

from collection.craft.reference import table
from collection.craft.reference import tasks as catalogue
from collection.queries.labels import task_name

DAY = "Write a day, like 2027-03-06."


def _day(label: str) -> forms.DateField:
    return forms.DateField(
        label=label,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": DAY, "invalid": DAY},
    )


class JobForm(forms.Form):
    """A job somebody wants on this tree."""

    task = forms.ChoiceField(label="What is to be done")
    opens = _day("From")
    closes = _day("To")
    priority = forms.TypedChoiceField(
        label="How pressing",
        coerce=int,
        initial=3,
        choices=[(1, "1, can wait"), (2, "2"), (3, "3, usual"), (4, "4"), (5, "5, very")],
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        named = sorted((task_name(code), code) for code in catalogue() if code != "WATER")
        self.fields["task"].choices = [(code, name) for name, code in named]  # type: ignore[attr-defined]


class SignForm(forms.Form):
    """A sign seen on the tree today."""

    sign = forms.ChoiceField(label="Sign seen today")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = [(row["code"], row["name"].capitalize()) for row in table("tree_signs")]
        self.fields["sign"].choices = rows  # type: ignore[attr-defined]
