"""People: adding and changing them, their part, what they can do, how they are reached, weekly hours."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms

from collection.queries.labels import WEEKDAYS
from collection.queries.people_list import kind_words, level_word
from collection.queries.reach import Said
from collection.queries.sentences import FAMILY_NAMES

NAME = "Write a name of up to 80 letters."
HOURS = "Write hours from 0.25 to 15, like 2.5."
ROLES = (
    ("member", "Member"),
    ("bench_lead", "Bench lead, looks after a bench on a workday"),
    ("coordinator", "Coordinator, plans days and knows how people are reached"),
    ("admin", "Club admin, says who coordinates"),
)
SAID = {True: "yes", False: "no", None: ""}


def _day(label: str, *, required: bool = True, help_text: str = "") -> forms.DateField:
    return forms.DateField(
        label=label,
        required=required,
        help_text=help_text,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )


def _version() -> forms.IntegerField:
    return forms.IntegerField(required=False, widget=forms.HiddenInput)


def roles(*, administers: bool, now: str = "") -> list[tuple[str, str]]:
    """The parts somebody may give: only a club admin names coordinators and club admins."""
    return [pair for pair in ROLES if administers or pair[0] in ("member", "bench_lead", now)]


class NameForm(forms.Form):
    """What a person is called."""

    name = forms.CharField(
        label="Name",
        max_length=80,
        help_text="As the club calls him or her.",
        error_messages={"required": NAME, "max_length": NAME},
    )


class ReachForm(forms.Form):
    """How a person is reached."""

    email = forms.EmailField(
        label="E-mail", required=False, widget=forms.EmailInput(attrs={"autocomplete": "email"})
    )
    telephone = forms.CharField(
        label="Telephone",
        required=False,
        max_length=40,
        error_messages={"max_length": "Write a telephone number of up to 40 figures, or leave it empty."},
        widget=forms.TextInput(attrs={"type": "tel", "autocomplete": "tel"}),
    )


class ContactForm(ReachForm):
    """The same, of somebody who is there already."""

    version = _version()


class NewPersonForm(NameForm, ReachForm):
    """Somebody new."""

    role = forms.ChoiceField(label="Part in the club", initial="member")

    def __init__(self, *args: Any, administers: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["role"].choices = roles(administers=administers)  # type: ignore[attr-defined]


class ChangePersonForm(NameForm):
    """Name, and from when to when."""

    active_from = _day("Member since")
    active_to = _day(
        "Last day in the club", required=False, help_text="Leave it empty while no end is in sight."
    )
    version = _version()


class RoleForm(forms.Form):
    """The part a person has."""

    role = forms.ChoiceField(label="Part in the club")
    version = _version()

    def __init__(self, *args: Any, administers: bool = False, now: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["role"].choices = roles(administers=administers, now=now)  # type: ignore[attr-defined]


class SkillForm(forms.Form):
    """How well somebody does a kind of work, from a day on."""

    family = forms.ChoiceField(label="Kind of work")
    level = forms.ChoiceField(label="Level")
    since = _day("Since")

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        families = [(code, words()[:1].upper() + words()[1:]) for code, words in FAMILY_NAMES.items()]
        levels = [(code, level_word(code)) for code in ("novice", "learning", "practised", "expert")]
        self.fields["family"].choices = families  # type: ignore[attr-defined]
        self.fields["level"].choices = levels  # type: ignore[attr-defined]

    def clean_since(self) -> date:
        since: date = self.cleaned_data["since"]
        if since > self.today:
            raise forms.ValidationError("This day has not come yet. Choose today or an earlier day.")
        return since


class SaysForm(forms.Form):
    """Plain answers without reasons."""

    def __init__(self, *args: Any, said: Iterable[Said] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for one in said:
            words = kind_words(one.kind)
            self.fields[one.kind] = forms.ChoiceField(
                label=words[:1].upper() + words[1:],
                choices=[("yes", "Yes"), ("no", "No"), ("", "Not said")],
                required=False,
                initial=SAID[one.answer],
                widget=forms.RadioSelect,
            )

    def answers(self) -> dict[str, bool | None]:
        """Every answer that was sent; the form must be valid."""
        return {kind: {"yes": True, "no": False}.get(said) for kind, said in self.cleaned_data.items()}


class HabitForm(forms.Form):
    """Hours most weeks."""

    weekday = forms.TypedChoiceField(label="Day of the week", coerce=int, choices=list(enumerate(WEEKDAYS)))
    hours = forms.DecimalField(
        label="Hours",
        min_value=0,
        max_value=15,
        decimal_places=2,
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value", "max_value", "max_decimal_places"), HOURS
        ),
    )
    every_weeks = forms.IntegerField(
        label="Every how many weeks",
        initial=1,
        min_value=1,
        max_value=8,
        help_text="1 for every week, 2 for every other.",
        error_messages={
            "min_value": "Write a number from 1 to 8.",
            "max_value": "Write a number from 1 to 8.",
        },
    )
    starts = _day("From")

    def values(self) -> dict[str, Any]:
        """The use case's values; the form must be valid."""
        data = {k: v for k, v in self.cleaned_data.items() if k not in ("hours", "version")}
        return data | {"minutes": round(self.cleaned_data["hours"] * 60)}


class ChangeHabitForm(HabitForm):
    """The same, changed or given an end."""

    ends = _day("Last day", required=False, help_text="Leave it empty while no end is in sight.")
    version = _version()


class InviteForm(forms.Form):
    """Where a letter of welcome goes."""

    email = forms.EmailField(
        label="E-mail",
        help_text="The letter goes there. They sign in with this address.",
        error_messages={"required": "Write the e-mail address the letter goes to."},
    )
