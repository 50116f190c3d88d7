"""How long will it take, without needing a tree."""

from __future__ import annotations

from typing import Any

from django import forms

from collection.craft.reference import groups
from collection.queries.estimates import TASKS_TO_ASK
from collection.queries.labels import LEVEL_NAMES, STAGE_NAMES, group_name, task_name

NOUGHT = "Write a number from 0 up, or leave it empty."
_number = {
    "min_value": 0,
    "max_value": 100_000,
    "required": False,
    "error_messages": {"min_value": NOUGHT, "invalid": NOUGHT},
}


class EstimateForm(forms.Form):
    """Task, branches, wire; the rest only if somebody knows it."""

    task = forms.ChoiceField(label="What is to be done")
    branches_total = forms.FloatField(label="Branches in all", **_number)  # type: ignore[arg-type]
    primary = forms.FloatField(label="Main branches", help_text="Grow from the trunk.", **_number)  # type: ignore[arg-type]
    secondary = forms.FloatField(label="Side branches", **_number)  # type: ignore[arg-type]
    fine = forms.FloatField(label="Fine branches", **_number)  # type: ignore[arg-type]
    wire_m = forms.FloatField(label="Metres of wire", **_number)  # type: ignore[arg-type]
    amount = forms.FloatField(
        label="Other count",
        help_text="Cut sites, shoots, candles, leaves or pots, as the task wants.",
        **_number,  # type: ignore[arg-type]
    )
    diameter_mm = forms.FloatField(label="Thickness at the bend, mm", **_number)  # type: ignore[arg-type]
    pot_litres = forms.FloatField(label="Pot, litres", **_number)  # type: ignore[arg-type]
    height_cm = forms.FloatField(label="Height, cm", **_number)  # type: ignore[arg-type]
    group = forms.ChoiceField(label="Kind of tree", required=False)
    stage = forms.ChoiceField(label="Stage", required=False)
    skill = forms.ChoiceField(label="Who does it", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices: dict[str, list[tuple[str, str]]] = {
            "task": sorted(((code, task_name(code)) for code in TASKS_TO_ASK), key=lambda pair: pair[1]),
            "group": [("", "not said"), *[(code, group_name(code)) for code in sorted(groups())]],
            "stage": [("", "not said"), *STAGE_NAMES.items()],
            "skill": [
                ("practised", "a practised hand"),
                *[(code, f"{name} hand") for code, name in LEVEL_NAMES.items() if code != "practised"],
            ],
        }
        for name, options in choices.items():
            self.fields[name].choices = options  # type: ignore[attr-defined]
