"""Wire or a guy put on a tree, the day it came off, and wire on the rack."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from collection.queries.branch_choices import BranchChoice, words_of

DAY = "Write a day, like 2027-03-06."
METALS = [("copper", "Copper"), ("aluminium", "Aluminium")]


def _number(label: str, example: str, most: float, *, help_text: str = "") -> forms.FloatField:
    wrong = f"Write a number like {example}."
    return forms.FloatField(
        label=label,
        min_value=0,
        max_value=most,
        help_text=help_text,
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
        error_messages={"required": wrong, "invalid": wrong, "min_value": wrong, "max_value": wrong},
    )


def _day(label: str) -> forms.DateField:
    return forms.DateField(
        label=label,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": DAY, "invalid": DAY},
    )


class GearForm(forms.Form):
    """What a wire and a guy have in common."""

    label = forms.CharField(
        label="Label", max_length=20, error_messages={"required": "Write a label, like W1."}
    )
    branch = forms.ChoiceField(label="Branch", required=False)
    gauge_mm = _number("Thickness of the wire, mm", "2.5", 12)
    metal = forms.ChoiceField(label="Metal", choices=METALS)
    on = _day("Put on")

    def __init__(self, *args: Any, branches: Sequence[BranchChoice] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = [(str(branch.id), words_of(branch)) for branch in branches]
        self.fields["branch"].choices = [("", "Trunk, or not drawn"), *known]  # type: ignore[attr-defined]

    def said(self) -> dict[str, Any]:
        """What the use case takes; the form must be valid."""
        data = dict(self.cleaned_data)
        branch = data.pop("branch")
        return {**data, "branch_id": int(branch) if branch else None}


class WireForm(GearForm):
    """Wire wound on a branch or the trunk."""

    length_m = _number("Metres", "2.4", 200)
    fit = forms.ChoiceField(label="How it sits", choices=[("snug", "Snug"), ("loose", "Loose")])


class GuyForm(GearForm):
    """A straight wire from a branch to an anchor."""

    anchor = forms.CharField(label="Anchor", max_length=60, required=False, help_text="Like: root, left.")


class OffForm(forms.Form):
    """The day it came off."""

    on = _day("Came off")


class StockForm(forms.Form):
    """Wire of one kind on the rack."""

    metal = forms.ChoiceField(label="Metal", choices=METALS)
    gauge_mm = _number("Thickness, mm", "2.5", 12)
    grams = _number("Grams on the rack", "450", 100_000)
