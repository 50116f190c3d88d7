"""Consent until a day, and somebody who cares for a tree."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from collection.web.forms.register import choice_field, day_field


class ConsentForm(forms.Form):
    """Until when the owner agrees; the version is the line's."""

    until = day_field("Until", required=True)
    version = forms.IntegerField(widget=forms.HiddenInput)
    to = forms.CharField(widget=forms.HiddenInput, required=False)


class SeasonForm(forms.Form):
    """Until when an owner agrees for all of his trees."""

    until = day_field("Until", required=True)


class CareForm(forms.Form):
    """Somebody who owns a tree or cares for it."""

    member = choice_field("Who", "Choose who.")
    role = choice_field(
        "As", "Choose owner or carer.", choices=[("owner", "Owner"), ("carer", "Carer")], initial="carer"
    )
    ask_first = forms.BooleanField(label="Wants to be asked before each season's work", required=False)

    def __init__(self, *args: Any, people: Sequence[tuple[int, str]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["member"].choices = [("", "choose"), *[(str(pk), name) for pk, name in people]]  # type: ignore[attr-defined]
