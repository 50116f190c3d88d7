"""A file to bring, and answers about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms

from collection.queries.import_words import FIELDS, SIZES, UNITS
from collection.queries.uploads import Column, UploadSheet

KINDS = [("trees", "Trees"), ("people", "People"), ("offers", "Answers for workdays and weekly hours")]
DAY = "day:"
LEAVE_OUT = "Leave this column out"


class BringForm(forms.Form):
    """What kind of list, and the file."""

    kind = forms.ChoiceField(label="What is on the list", choices=KINDS)
    file = forms.FileField(
        label="The file",
        help_text="A spreadsheet, saved as .xlsx or .csv, up to 10 MiB.",
        widget=forms.ClearableFileInput(attrs={"accept": ".xlsx,.csv,.tsv,.txt"}),
        error_messages={
            "required": "Choose a file.",
            "empty": "There is nothing in this file. Check that you chose the right one.",
            "missing": "Choose a file.",
            "invalid": "Choose a file.",
            "max_length": "The name of the file is too long. Give it a shorter one.",
        },
        max_length=300,
    )


class AnswersForm(forms.Form):
    """One question a column, one field a cell that is at fault, and which sheet is meant.

    Fields are numbered, because headings may hold anything: ``column_3``, ``unit_3``, ``cell_0``.
    """

    def __init__(
        self, sheet: UploadSheet, cells: Sequence[str], data: Mapping[str, Any] | None = None
    ) -> None:
        super().__init__(data)
        self.sheet, self.cells = sheet, cells
        self.fields["version"] = forms.IntegerField(
            widget=forms.HiddenInput, initial=sheet.version, required=False
        )
        if len(sheet.tabs) > 1:
            names = [("", "All sheets that look alike"), *((tab, tab) for tab in sheet.tabs)]
            self.fields["sheet"] = forms.ChoiceField(
                label="Which sheet is the list", required=False, choices=names, initial=sheet.sheet
            )
        for number, column in enumerate(sheet.columns):
            self._ask(number, column)
        for number, _ in enumerate(cells):
            self.fields[f"cell_{number}"] = forms.CharField(
                label="Write it right", required=False, max_length=500, strip=False
            )
        self.fields["set_aside"] = forms.BooleanField(
            label="Leave the rows with faults out",
            help_text="They can come in later, from the same file put right.",
            required=False,
        )

    def _ask(self, number: int, column: Column) -> None:
        field, _, unit = column.answer.partition(":")
        day = column.answer.startswith(DAY)
        choices = [("", LEAVE_OUT), *choices_of(self.sheet.kind)]
        if day:
            choices.append((column.answer, "Who comes on that day"))
        self.fields[f"column_{number}"] = forms.ChoiceField(
            label=f"What the column '{column.heading}' holds",
            required=False,
            choices=choices,
            initial=column.answer if day else field,
        )
        size = SIZES.get(f"{self.sheet.kind}.{field}")
        if size:
            units = [("", "as written in the cells"), *((u, str(UNITS[u])) for u in size)]
            self.fields[f"unit_{number}"] = forms.ChoiceField(
                label=f"Plain numbers in {column.heading} are", required=False, choices=units, initial=unit
            )

    def told(self) -> dict[str, str]:
        """Answer by heading, as the use case takes it; none for another sheet. The form must be valid."""
        if self.other_sheet:
            return {}
        found = {}
        for number, column in enumerate(self.sheet.columns):
            answer = self.cleaned_data[f"column_{number}"]
            unit = self.cleaned_data.get(f"unit_{number}", "")
            kept = unit and unit in SIZES.get(f"{self.sheet.kind}.{answer}", ())
            found[column.heading] = f"{answer}:{unit}" if kept else answer
        return found

    def corrected(self) -> dict[str, str]:
        """Cells put right now, with those put right before."""
        typed = {
            cell: self.cleaned_data[f"cell_{number}"].strip()
            for number, cell in enumerate(self.cells)
            if self.cleaned_data[f"cell_{number}"].strip()
        }
        return {**self.sheet.corrected, **typed}

    @property
    def other_sheet(self) -> bool:
        """Whether another sheet was chosen: its columns are asked about afresh."""
        return bool(self.cleaned_data.get("sheet", self.sheet.sheet) != self.sheet.sheet)

    @property
    def changed(self) -> bool:
        """Whether anything was answered otherwise than the file was read."""
        as_read = {column.heading: column.answer for column in self.sheet.columns}
        return self.other_sheet or self.told() != as_read or self.corrected() != dict(self.sheet.corrected)


def choices_of(kind: str) -> list[tuple[str, str]]:
    """Everything a column of a kind of list can be, in words."""
    own = [(name, str(words)) for name, words in FIELDS.items() if name.startswith(f"{kind}.")]
    return [(name.partition(".")[2], words[:1].upper() + words[1:]) for name, words in own]
