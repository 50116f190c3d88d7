"""A key for a program: what it is for, how long it is good, what it may."""

from __future__ import annotations

from django import forms

DAYS = [("30", "a month"), ("90", "three months"), ("365", "a year")]
MAY = [("read", "read only"), ("write", "read and write what I may")]


class KeyForm(forms.Form):
    """The three choices of a key."""

    name = forms.CharField(
        label="Which program is it for",
        max_length=60,
        error_messages={
            "required": "Name the program that will use the key.",
            "max_length": "Write a shorter name, up to 60 letters.",
        },
    )
    days = forms.ChoiceField(label="Good for", choices=DAYS, initial="90")
    may = forms.ChoiceField(label="It may", choices=MAY, initial="read")
