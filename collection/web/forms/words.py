"""What a field says when its own form has no sentence for it, instead of the framework's words."""

from __future__ import annotations

from django import forms

# A sentence never gives back an id that was sent: another club's must read like one that does not exist.
OURS: dict[type[forms.Field], dict[str, str]] = {
    forms.Field: {"required": "Fill this in."},
    forms.ChoiceField: {"invalid_choice": "Choose one from the list."},
    forms.TypedChoiceField: {"invalid_choice": "Choose one from the list."},
    forms.MultipleChoiceField: {
        "invalid_choice": "Choose from the list.",
        "invalid_list": "Choose from the list.",
    },
    forms.IntegerField: {"invalid": "Write a whole number, like 12."},
    forms.FloatField: {"invalid": "Write a number, like 2.4."},
    forms.DateField: {"invalid": "Write a day, like 2027-03-06."},
    forms.TimeField: {"invalid": "Write hours and minutes, like 9:30."},
    forms.EmailField: {"invalid": "Write an e-mail address, like name@example.org."},
}


def say_it_our_way() -> None:
    """Put our sentences where fields look for theirs; called once when the service starts."""
    for field, sentences in OURS.items():
        field.default_error_messages = {**field.default_error_messages, **sentences}
