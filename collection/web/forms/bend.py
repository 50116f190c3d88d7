"""A heavy bend somebody wants, and a no to one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from collection.craft.bend_methods import METHODS
from collection.queries.bends import CIRCUMSTANCE_WORDS
from collection.queries.branch_choices import BranchChoice, words_of

DEGREES = "Write an angle from 10 to 90 degrees, like 45."
MM = "Write a size in mm, like 28."
DAY = "Write a day, like 2027-03-06."


def _mm(label: str, *, help_text: str = "", most: float = 5000) -> forms.FloatField:
    return forms.FloatField(
        label=label,
        required=False,
        min_value=0.1,
        max_value=most,
        help_text=help_text,
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
        error_messages={
            "invalid": MM,
            "min_value": MM,
            "max_value": f"Write a size up to {most:.0f} mm, or leave it empty.",
        },
    )


def _day(label: str, help_text: str) -> forms.DateField:
    return forms.DateField(
        label=label,
        help_text=help_text,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": DAY, "invalid": DAY},
    )


class BendForm(forms.Form):
    """Where, how thick, how far, by which means, and when."""

    branch = forms.ChoiceField(label="Branch", required=False)
    diameter_mm = _mm(
        "Thickness at the bend, mm",
        help_text="Leave it empty to take the branch's own thickness.",
        most=400,
    )
    length_mm = _mm("Length of the branch, mm")
    drop_mm = _mm("How far the tip comes down, mm", help_text="If somebody has measured it.")
    radius_mm = _mm("Radius of the bend, mm", help_text="If somebody has measured it.")
    method = forms.ChoiceField(label="How", required=False)
    load_arm_mm = _mm("Lever, from its pivot to the branch, mm", help_text="Where a lever is used.")
    hand_arm_mm = _mm("Lever, from its pivot to the hand, mm")
    people_on_lever = forms.TypedChoiceField(
        label="Hands on the lever",
        required=False,
        coerce=int,
        empty_value=None,
        choices=[("", "One person"), ("2", "Two people")],
    )
    guy_deg = forms.FloatField(
        label="Guy wire, angle to the branch, degrees",
        required=False,
        min_value=10,
        max_value=90,
        help_text="Where a guy wire pulls it down.",
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
        error_messages={
            "invalid": DEGREES,
            "min_value": DEGREES,
            "max_value": DEGREES,
        },
    )
    circumstances = forms.MultipleChoiceField(
        label="What else asks for people",
        required=False,
        choices=list(CIRCUMSTANCE_WORDS.items()),
        widget=forms.CheckboxSelectMultiple,
    )
    opens = _day("From", "The first day on which it suits the tree.")
    closes = _day("To", "The last day. Both days are needed.")

    def __init__(self, *args: Any, branches: Sequence[BranchChoice] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.thickness = {str(branch.id): branch.diameter_mm for branch in branches}
        known = [(str(branch.id), words_of(branch)) for branch in branches]
        self.fields["branch"].choices = [("", "Not drawn, or the trunk"), *known]  # type: ignore[attr-defined]
        ways = [("", "Not decided yet"), *((name, name) for name in METHODS)]
        self.fields["method"].choices = ways  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("diameter_mm") is None and "diameter_mm" not in self.errors:
            known = self.thickness.get(data.get("branch", ""))
            if known is None:
                self.add_error("diameter_mm", "Write how thick the branch is at the bend, in mm.")
            data["diameter_mm"] = known
        return data

    def wish(self) -> dict[str, Any]:
        """What the use case takes; the form must be valid."""
        data = dict(self.cleaned_data)
        branch = data.pop("branch")
        return {**data, "branch_id": int(branch) if branch else None}


class RefuseForm(forms.Form):
    """Why not."""

    version = forms.IntegerField(widget=forms.HiddenInput)
    why = forms.CharField(
        label="Why not",
        max_length=200,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Write why, in a few words."},
    )
