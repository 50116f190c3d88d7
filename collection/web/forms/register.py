"""A tree of the register: adding it and changing it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from collection.craft.reference import groups
from collection.queries.labels import STAGE_NAMES, group_name
from collection.queries.tree_fields import TreeFields
from collection.web.forms.sizes import CM, INCHES, KG, LITRES, MM, POUNDS, SizeField

DAY = "Write a day, like 2027-03-06."
CONDITIONS = [
    ("sound", "Sound"),
    ("weak", "Weak"),
    ("sick", "Sick"),
    ("collected", "Newly collected from the wild"),
    ("imported", "Newly imported"),
]
SIZES = {
    "height_mm": ("Height", CM, INCHES),
    "spread_mm": ("Spread", CM, INCHES),
    "trunk_mm": ("Trunk, at the base", MM, INCHES),
    "pot_litres": ("Pot holds", LITRES, LITRES),
    "mass_kg": ("Weight with pot", KG, POUNDS),
}


def day_field(label: str, *, required: bool = False, help_text: str = "") -> forms.DateField:
    """A day, chosen or typed."""
    return forms.DateField(
        label=label,
        required=required,
        help_text=help_text,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": DAY, "invalid": DAY},
    )


def text_field(
    label: str,
    length: int,
    *,
    required: str = "",
    help_text: str = "",
    rows: int = 0,
    attrs: dict[str, Any] | None = None,
) -> forms.CharField:
    """A line of text, or a box of some rows; ``required`` is what to say when it is empty."""
    return forms.CharField(
        label=label,
        required=bool(required),
        max_length=length,
        help_text=help_text,
        widget=forms.Textarea(attrs={"rows": rows}) if rows else forms.TextInput(attrs=attrs or {}),
        error_messages={"required": required, "max_length": f"Write it shorter: up to {length} letters."},
    )


def choice_field(label: str, sentence: str, **more: Any) -> forms.ChoiceField:
    """One of a list; ``sentence`` says what to do when it is left out or not on the list."""
    said = {"required": sentence, "invalid_choice": sentence}
    return forms.ChoiceField(label=label, error_messages=said, **more)


class TreeForm(forms.Form):
    """Everything people know of a tree. ``accession`` and the place are asked for a new tree only."""

    accession = text_field(
        "Tag", 30, required="Write the number on the tag, like 2026.014.", help_text="Its number for ever."
    )
    name = text_field("Name of its own", 120, help_text="Leave it empty when it has none.")
    species = text_field("Latin name", 120, help_text="Like Juniperus chinensis.", attrs={"class": "latin"})
    common_name = text_field("Common name", 120, help_text="Like shimpaku.")
    group = choice_field(
        "Kind of tree", "Choose the kind of tree.", help_text="It decides which work comes when."
    )
    stage = choice_field("Stage", "Choose a stage.", choices=list(STAGE_NAMES.items()), initial="B")
    style = text_field("Style", 60, help_text="Like informal upright.")
    batch = forms.IntegerField(
        label="How many, for a batch",
        required=False,
        help_text="A batch of like trees has one number. Leave it empty for a single tree.",
        error_messages={"invalid": "Write a whole number from 2 up, or leave it empty."},
    )
    acquired_on = day_field("In the collection since")
    place = choice_field("Where it stands", "Choose where it stands.")
    may_travel = forms.BooleanField(label="It may travel to another site", required=False)
    brought_by_id = choice_field("Who brings it", "Choose who brings it.", required=False)
    pot = text_field("Pot", 120, help_text="Like oval, unglazed, 45 x 35 x 9 cm.")
    mass_weighed = forms.BooleanField(label="Weighed, not guessed", required=False)
    condition = choice_field("Condition", "Choose how it is.", choices=CONDITIONS)
    no_hard_work_until = day_field("No hard work until", help_text="Light work may go on.")
    no_hard_work_why = text_field("Why", 200)
    leave_alone_until = day_field(
        "Leave alone until", help_text="No work at all: a weak tree, or its owner's wish."
    )
    leave_alone_why = text_field("Why", 200)
    note = text_field("Note", 2000, rows=3)

    def __init__(
        self,
        *args: Any,
        tree: TreeFields | None = None,
        inches: bool = False,
        places: Sequence[tuple[str, str]] = (),
        people: Sequence[tuple[int, str]] = (),
        **kwargs: Any,
    ) -> None:
        if tree is not None:
            kwargs["initial"] = self._initial(tree, inches)
        super().__init__(*args, **kwargs)
        kinds = [(code, f"{group_name(code)}") for code in groups()]
        self.fields["group"].choices = [("", "choose"), *sorted(kinds, key=lambda k: k[1])]  # type: ignore[attr-defined]
        self.fields["place"].choices = places  # type: ignore[attr-defined]
        self.fields["brought_by_id"].choices = [("", "nobody named"), *[(str(p), n) for p, n in people]]  # type: ignore[attr-defined]
        for name, (label, metric, imperial) in SIZES.items():
            field = SizeField(label, imperial if inches else metric)
            field.kept = getattr(tree, name) if tree else None
            self.fields[name] = field
        if tree is not None:
            del self.fields["accession"], self.fields["place"]
            self.fields["version"] = forms.IntegerField(widget=forms.HiddenInput)

    @staticmethod
    def _initial(tree: TreeFields, inches: bool) -> dict[str, Any]:
        shown: dict[str, Any] = {name: getattr(tree, name) for name in TreeFields.__slots__}
        for name, (_, metric, imperial) in SIZES.items():
            shown[name] = (imperial if inches else metric).shown(getattr(tree, name))
        return shown

    def clean_brought_by_id(self) -> int | None:
        """A member's id, or nobody."""
        text = self.cleaned_data["brought_by_id"]
        return int(text) if text else None

    def values(self) -> dict[str, Any]:
        """Everything but the number, the place and the version; the form must be valid."""
        return {
            name: value.strip() if isinstance(value, str) else value
            for name, value in self.cleaned_data.items()
            if name not in ("accession", "place", "version")
        }

    def site_and_bench(self) -> tuple[int, int | None]:
        """Where a new tree stands."""
        return site_and_bench(self.cleaned_data["place"])


def site_and_bench(place: str) -> tuple[int, int | None]:
    """The ids in a place's value: "3" is a site, "3:7" a bench of it."""
    site, _, bench = place.partition(":")
    return int(site), int(bench) if bench else None
