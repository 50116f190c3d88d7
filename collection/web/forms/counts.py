"""Counting a tree by order, and drawing a branch."""

from __future__ import annotations

from typing import Any

from django import forms

from collection.craft.quantities import ORDERS
from collection.queries.facts import WIRED
from collection.queries.labels import KIND_NAMES
from collection.queries.quantities import THICKNESS
from collection.queries.tree_counts import BranchRow
from collection.web.forms.register import text_field
from collection.web.forms.sizes import CM, INCHES, MM, SizeField

MORE = ("cut_sites", "shoots", "candles")
NUMBER = "Write a whole number from 0 up, or leave it empty."
# How far one press goes: fine branches are counted in fives.
STEPS = {"primary": 1, "secondary": 1, "fine": 5, "cut_sites": 5, "shoots": 5, "candles": 5}
MOST = 100_000
SIDES = {3: ", right", 6: ", front", 9: ", left", 12: ", back"}
CLOCK = [(hour, f"{hour} o'clock{SIDES.get(hour, '')}") for hour in range(1, 13)]


def count_name(kind: str) -> str:
    """A kind of count as a label: "Side branches"."""
    return KIND_NAMES[kind][1].capitalize()


class CountForm(forms.Form):
    """Counts by order, how thick the branches are and whether wire is on; what is left empty stays."""

    def __init__(self, *args: Any, inches: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for kind in (*ORDERS, *MORE):
            self.fields[kind] = forms.IntegerField(
                label=count_name(kind),
                required=False,
                min_value=0,
                max_value=MOST,
                error_messages={"invalid": NUMBER, "min_value": NUMBER, "max_value": NUMBER},
            )
        for kind in THICKNESS.values():
            self.fields[kind] = SizeField("Usual thickness", INCHES if inches else MM)
        for kind in WIRED.values():
            self.fields[kind] = forms.TypedChoiceField(
                label="Wire on them",
                required=False,
                choices=[("1", "yes"), ("0", "no")],
                coerce=float,
                empty_value=None,
                widget=forms.RadioSelect,
                error_messages={"invalid_choice": "Say yes or no, or leave it open."},
            )
        self.fields["guessed"] = forms.BooleanField(label="These figures are guesses", required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.errors and not self._said(data):
            raise forms.ValidationError("Write at least one number.")
        return data

    @staticmethod
    def _said(data: dict[str, Any]) -> dict[str, float]:
        return {k: float(v) for k, v in data.items() if k != "guessed" and v is not None}

    def counts(self) -> dict[str, float]:
        """The kinds that were filled in; the form must be valid."""
        return self._said(self.cleaned_data)


class BranchForm(forms.Form):
    """One branch."""

    label = text_field("Label", 20, required="Give it a short label, like B1.", attrs={"class": "size"})
    place = text_field("Where", 60, help_text="Like lower left.")
    clock = forms.TypedChoiceField(
        label="Side, seen from above",
        required=False,
        coerce=int,
        empty_value=None,
        choices=[("", "not said"), *CLOCK],
        error_messages={"invalid_choice": "Choose an hour of the clock. The front is 6."},
    )
    side_branches = forms.IntegerField(
        label="Side branches",
        required=False,
        min_value=0,
        max_value=1000,
        error_messages={"invalid": NUMBER, "min_value": NUMBER, "max_value": NUMBER},
    )
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(
        self, *args: Any, branch: BranchRow | None = None, inches: bool = False, **kwargs: Any
    ) -> None:
        sizes = {
            "height_mm": SizeField("Height above the soil", INCHES if inches else CM),
            "diameter_mm": SizeField("Thickness", INCHES if inches else MM),
            "length_mm": SizeField("Length", INCHES if inches else CM),
        }
        if branch is not None:
            shown = {n: f.unit.shown(getattr(branch, n)) for n, f in sizes.items()}
            named = {n: getattr(branch, n) for n in ("label", "place", "clock", "side_branches", "version")}
            kwargs["initial"] = named | shown
        super().__init__(*args, **kwargs)
        for name, field in sizes.items():
            field.kept = getattr(branch, name) if branch else None
            self.fields[name] = field

    def values(self) -> dict[str, Any]:
        """What the use cases take; the form must be valid."""
        data = {name: value for name, value in self.cleaned_data.items() if name != "version"}
        return data | {"side_branches": data["side_branches"] or 0}
