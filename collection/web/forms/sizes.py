"""Fields for sizes and weights, in the club's own units; any other unit may be written beside the number."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms

from collection.usecases.importing.numbers import KG_PER, LITRES_PER, MM_PER, CannotRead, Style, read_amount


@dataclass(frozen=True, slots=True)
class Unit:
    """How a size is written when nobody names another unit.

    Attributes:
        name: The unit, such as "cm".
        table: What one of each unit of this kind is in the base unit (mm, kg or litres).
        other: An example in a unit that may be written as well.
    """

    name: str
    table: Mapping[str, float]
    other: str

    def shown(self, value: float | None) -> str:
        """A stored value (mm, kg or litres) in this unit, to one decimal place in ten."""
        if value is None:
            return ""
        return f"{round(value / self.table[self.name], 2 if self.name == 'in' else 1):g}"


CM, MM = Unit("cm", MM_PER, "24 in"), Unit("mm", MM_PER, "2 in")
INCHES = Unit("in", MM_PER, "62 cm")
KG, POUNDS = Unit("kg", KG_PER, "40 lb"), Unit("lb", KG_PER, "18 kg")
LITRES = Unit("l", LITRES_PER, "800 ml")
NAMES = {"cm": "cm", "mm": "mm", "in": "inches", "kg": "kg", "lb": "pounds", "l": "litres"}


class SizeField(forms.CharField):
    """A size: gives mm, kg or litres, or None; a size nobody touched keeps its exact value.

    ``kept`` is set by the form: what the row holds now.
    """

    kept: float | None = None

    def __init__(self, label: str, unit: Unit) -> None:
        super().__init__(
            label=f"{label}, {NAMES[unit.name]}",
            required=False,
            max_length=20,
            widget=forms.TextInput(attrs={"inputmode": "decimal", "size": "8", "class": "size"}),
        )
        self.unit = unit

    def clean(self, value: Any) -> float | None:
        """The size in the base unit.

        Raises:
            ValidationError: With the sentence of what to write instead.
        """
        text = super().clean(value).strip()
        if not text:
            return None
        if self.kept is not None and text == self.unit.shown(self.kept):
            return self.kept
        try:
            return read_amount(text, self.unit.table, Style(unit=self.unit.name), "import_not_a_number")
        except CannotRead:
            said = f"Write a number above 0, like 12 or 12.5. You can name the unit: {self.unit.other}."
            raise forms.ValidationError(said) from None
