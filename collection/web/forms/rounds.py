"""Ticking a round off."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms

from collection.web.forms.day import date_field

Choices = Sequence[tuple[int, str]]


class RoundForm(forms.Form):
    """Who walked the round, when, how long, and which trees were done."""

    people = forms.MultipleChoiceField(
        label="Who walked it",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose who walked it."},
    )
    on = date_field("Day")
    minutes = forms.IntegerField(
        label="Minutes, each",
        min_value=1,
        max_value=960,
        help_text="For the whole round. They are shared evenly by its trees and marked so.",
        error_messages={
            "required": "Write whole minutes, like 40.",
            "invalid": "Write whole minutes, like 40.",
            "max_value": "Write up to 960 minutes.",
        },
    )
    trees = forms.MultipleChoiceField(
        label="Done on these trees",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Take the tick away from a tree that was left out.",
    )
    key = forms.CharField(widget=forms.HiddenInput, max_length=64)

    def __init__(
        self, *args: Any, people: Choices = (), trees: Choices = (), today: date, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["people"].choices = [(str(pk), name) for pk, name in people]  # type: ignore[attr-defined]
        self.fields["trees"].choices = [(str(pk), name) for pk, name in trees]  # type: ignore[attr-defined]
        self.fields["key"].initial = uuid.uuid4().hex
        self.on_round = [pk for pk, _ in trees]

    def clean_on(self) -> date:
        on: date = self.cleaned_data["on"]
        if on > self.today:
            raise forms.ValidationError("This day has not come yet. Choose today or an earlier day.")
        return on

    def left_out(self) -> list[int]:
        """Trees without a tick."""
        return [pk for pk in self.on_round if str(pk) not in self.cleaned_data["trees"]]
